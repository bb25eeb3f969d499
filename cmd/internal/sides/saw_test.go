package sides_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/sides"
	"dishwright/dish/measure/strict"
)

// A round rim that is cut flat 5 mm over its finished edge, which is level: 4 mm are sawn off all of
// it, a ring of 200 mm outside and 192 mm inside, and 1 mm is left to be sanded. It takes a board as
// wide as it is cut.
func TestSawBeforeSanding(t *testing.T) {
	text, f := circleJob("start: {flat: 95 mm}\n")
	r, err := run(text, f)
	require.NoError(t, err)
	p := r.Report
	require.InDelta(t, 1, p.Saw.ToMM, 0)
	require.InDelta(t, 4, p.Saw.MostMM, 1e-5)
	require.InDelta(t, 400*math.Pi, p.Saw.AlongMM, 1e-4)
	require.InEpsilon(t, 4*math.Pi*(200*200-192*192), p.Saw.WoodMM3, 1e-5)
	require.InDelta(t, 0, p.Saw.BackMM, 1e-6)
	require.InDelta(t, 1, p.Sanding.MostMM, 1e-6)
	require.InDelta(t, 1, p.Sanding.LeastMM, 1e-6)
	require.InDelta(t, 95, p.Side.BlankWidthMM, 1e-4)
	require.Zero(t, p.Side.AllowanceMM)
	for _, s := range p.Stations {
		require.InDelta(t, 5, s.RemoveMM, 1e-5)
		require.InDelta(t, 4, s.Saw, 1e-5)
	}
	require.Equal(t, []string{"place", "side", "saw top", "sand top", "off the back"}, r.Measures().Head)
	require.Equal(t, []string{"tail", "90.00", "4.00", "1.00", "0.00"}, r.Measures().Rows[0])

	// To a line further out nothing is sawn, and all of it is sanded.
	r, err = run(text+"saw to: 6 mm\n", f)
	require.NoError(t, err)
	require.Nil(t, r.Report.Saw)
	require.InDelta(t, 5, r.Report.Sanding.MostMM, 1e-5)
	require.Equal(t, []string{"place", "side", "off the top", "off the back"}, r.Measures().Head)

	// A rim cut to its pattern is near its line already.
	text, f = circleJob("start: {allowance: 5 mm}\nsaw to: 1 mm\n")
	r, err = run(text, f)
	require.NoError(t, err)
	require.Nil(t, r.Report.Saw)
	require.InDelta(t, 5, r.Report.Sanding.MostMM, 1e-9)
}

// Only what stands over the line is sawn; the sanding begins from what is then left, the lesser of the
// two everywhere, and both together take off what stood there.
func TestSawSharesTheWood(t *testing.T) {
	const body = "form: rim\noutline: {upper bout: 280 mm, waist: 240 mm, lower bout: 380 mm, length: 490 mm}\ntop: {radius: 28 ft}\nback: {radius: 15 ft}\ndepth: {head: 80 mm, tail: 95 mm}\nlining: {width: 6 mm, height: 15 mm}\nstart: {flat: 106 mm}\n"
	all, err := run(body+"saw to: 100 mm\n", nil)
	require.NoError(t, err)
	require.Nil(t, all.Report.Saw)
	for _, to := range []string{"0.5", "3", "8"} {
		r, err := run(body+"saw to: "+to+" mm\n", nil)
		require.NoError(t, err)
		p := r.Report
		require.InEpsilon(t, all.Report.Sanding.WoodMM3, p.Saw.WoodMM3+p.Sanding.WoodMM3, 1e-9)
		require.InDelta(t, all.Report.Sanding.MostMM, p.Saw.MostMM+p.Sanding.MostMM, 1e-9)
		for _, s := range p.Stations {
			require.InDelta(t, math.Min(s.RemoveMM, p.Saw.ToMM), s.RemoveMM-s.Saw, 1e-6)
			require.GreaterOrEqual(t, p.Side.BlankWidthMM, s.WidthMM+s.RemoveMM+s.BackRemove-0.1) // the lean of the side in its board: under 3 degrees
		}
		for _, name := range []string{"a4", "letter"} {
			sheet, err := sides.PaperNamed(name)
			require.NoError(t, err)
			files, err := r.Files(sheet)
			require.NoError(t, err)
			drawn := map[string]bool{}
			for _, one := range files {
				for _, class := range []string{"saw-upper", "saw-lower", "cut-upper"} {
					drawn[class] = drawn[class] || strings.Contains(string(one.Bytes), `class="`+class+`"`)
				}
			}
			require.Equal(t, map[string]bool{"saw-upper": true, "saw-lower": true, "cut-upper": false}, drawn)
		}
	}
}

// What is said of boards that are too narrow would do.
func TestSideBoards(t *testing.T) {
	text, f := circleJob("start: {flat: 95 mm}\nside boards: {width: 93 mm, length: 600 mm}\n")
	_, err := run(text, f)
	var faults strict.Faults
	require.True(t, errors.As(err, &faults))
	require.Len(t, faults, 2)
	require.Contains(t, faults[0].Message, "a side is 629 mm long")
	require.Equal(t, "boards 95 mm wide, or start: {flat: 93 mm}", faults[1].Hint)
	for _, would := range []string{"start: {flat: 95 mm}\nside boards: {width: 95 mm, length: 629 mm}\n", "start: {flat: 93 mm}\nside boards: {width: 93 mm}\n"} {
		text, f = circleJob(would)
		_, err = run(text, f)
		require.NoError(t, err, would)
	}
}

// What is sawn off the back is gone when the top is sanded: a log aims at the finished width and
// what is still to be sanded off the back, and the end is told by the same widths.
func TestSawnBackInALog(t *testing.T) {
	const body = "form: rim\noutline: {upper bout: 280 mm, waist: 240 mm, lower bout: 380 mm, length: 490 mm}\ntop: {radius: 28 ft}\nback: {radius: 15 ft}\ndepth: {head: 80 mm, tail: 95 mm}\nlining: {width: 6 mm, height: 15 mm}\nstart: {flat: 106 mm}\n"
	r, err := run(body, nil)
	require.NoError(t, err)
	require.NoError(t, r.TakeLog("w.csv", []byte("round,tail_mm,head_mm\n0,97,82\n1,96.5,81.5\n2,96,81\n"), sides.BackUnsanded))
	sawn := 0.0
	for _, p := range r.Report.Log.Places {
		for _, s := range r.Report.Places {
			if s.Name == p.Name {
				require.InDelta(t, s.WidthMM+s.BackRemove-s.BackSaw, p.WantedMM, 1e-9)
				sawn += s.BackSaw
			}
		}
	}
	require.Greater(t, sawn, 1.0, "else nothing is shown")
	require.Contains(t, r.StopAt(), "with what is still to be sanded off the back")
	flat, err := run(strings.Replace(body, "back: {radius: 15 ft}", "back: {radius: flat}", 1), nil)
	require.NoError(t, err)
	require.Equal(t, "when the widths hold", flat.StopAt())
}

// A gauge that runs along an edge marks the line of the other one: first the top's from the back as
// it is, then the back's from the sawn top. What is then left is what is sanded, and nothing else.
func TestSawGauge(t *testing.T) {
	const body = "form: rim\noutline: {upper bout: 280 mm, waist: 240 mm, lower bout: 380 mm, length: 490 mm}\ntop: {radius: 28 ft}\nback: {radius: 15 ft}\ndepth: {head: 80 mm, tail: 95 mm}\nlining: {width: 6 mm, height: 15 mm}\nstart: {flat: 106 mm}\n"
	r, err := run(body, nil)
	require.NoError(t, err)
	gauge := r.Report.Saw.Gauge
	require.Len(t, gauge, len(r.Report.Places))
	both := 0
	for i, s := range r.Report.Places {
		require.Equal(t, s.Name, gauge[i].Name)
		before := 106.0 // the sides stand between two planes
		require.InDelta(t, before, s.WidthMM+s.RemoveMM+s.BackRemove, 1e-4)
		require.InDelta(t, before-s.Saw, gauge[i].TopMM, 1e-4)
		require.InDelta(t, before-s.Saw-s.BackSaw, gauge[i].BackMM, 1e-4)
		require.LessOrEqual(t, gauge[i].BackMM, s.WidthMM+2*r.Report.Saw.ToMM+1e-4)
		if s.Saw > 1 && s.BackSaw > 1 {
			both++
			require.InDelta(t, s.WidthMM+2, gauge[i].BackMM, 1e-4, "a saw line outside either edge")
		}
	}
	require.NotZero(t, both)
}
