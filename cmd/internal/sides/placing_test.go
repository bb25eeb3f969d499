package sides_test

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/sides"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// guitarJob is an invented guitar of 508 by 397 mm; more are its top's other keys and its dish.
func guitarJob(top, tool string) string {
	return "form: rim\noutline: {upper bout: 290 mm, waist: 245 mm, lower bout: 397 mm, length: 508 mm}\n" +
		"top: {radius: 8534.4 mm" + top + "}\nback: {radius: 15 ft}\ndepth: {head: 98 mm, tail: 120 mm}\n" + tool
}

func guitar(t testing.TB, top, tool string) *sides.Result {
	r, err := run(guitarJob(top, tool), nil)
	require.NoError(t, err)
	return r
}

// kinds are those of a report's warnings.
func kinds(r *sides.Result) (list []string) {
	for _, w := range r.Report.Warnings {
		list = append(list, w.Kind)
	}
	return list
}

// upright is the direction from the top's centre to its face over a place.
func upright(r *sides.Result, p r2.Vec) r3.Vec {
	R, v := r.Body.Top.Radius, r2.Sub(p, r.Body.Top.Apex)
	return r3.Scale(1/R, r3.Vec{X: v.X, Y: v.Y, Z: math.Sqrt(R*R - r2.Dot(v, v))})
}

// Wherever the apex stands, an ordinary dish of 24 in holds a guitar with its swing; the same
// is needed of it to a hundredth of what the apex moves.
func TestDishWhereverTheApexIs(t *testing.T) {
	var needed []float64
	for _, apex := range []string{"", ", apex: 130 mm", ", apex: 330 mm", ", apex: [254 mm, 20 mm]"} {
		r := guitar(t, apex, "dish: {diameter: 24 in}\n")
		p := r.Report.Tool
		require.Zero(t, p.OverhangMM)
		require.True(t, p.Turns)
		require.Empty(t, p.Placings)
		require.Empty(t, kinds(r))
		require.Greater(t, p.LeastMM, 508.0)
		require.Greater(t, p.ReachMM, 40.0)
		require.GreaterOrEqual(t, p.ReachCross, p.ReachAlong)
		require.InDelta(t, 609.6/2-p.LeastMM/2-40, p.UnusedMM, 0.1)
		needed = append(needed, p.NeededMM)
		require.NotContains(t, fmt.Sprint(r.Verdict()), "dish")
		require.Len(t, r.Laid(figure.Page), 1)
	}
	for _, n := range needed {
		require.InDelta(t, needed[0], n, 1)
		require.Less(t, n, 609.6)
	}
	// Where no dish is stated, the one that is needed is told, with the usual swing.
	p := guitar(t, "", "").Report.Tool
	require.InDelta(t, needed[0], p.NeededMM, 1e-6)
	require.Equal(t, [3]float64{40, 0, 0}, [3]float64{p.SwingMM, p.HasMM, p.ReachMM})
}

// A round body about its apex needs what it is across and its swing along the sphere.
func TestDishOfARoundBody(t *testing.T) {
	text, f := circleJob("dish: {diameter: 500 mm, swing: 30 mm}\n")
	r, err := run(text, f)
	require.NoError(t, err)
	p := r.Report.Tool
	require.InDelta(t, 400, p.LeastMM, 1e-4)
	require.InDelta(t, 2*7620*math.Sin(math.Asin(200/7620.0)+30/7620.0), p.NeededMM, 1e-4)
	require.InDelta(t, 7620*(math.Asin(250/7620.0)-math.Asin(200/7620.0)), p.ReachMM, 1e-4)
	require.InDelta(t, 200, p.LayX, 1e-3)
	require.InDelta(t, 0, p.LeanDeg, 1e-5)
}

// A dish between the rim's own circle and what its swing takes holds it with less swing.
func TestDishWithLessSwing(t *testing.T) {
	r := guitar(t, "", "dish: {diameter: 530 mm}\n")
	require.Equal(t, []string{"swing"}, kinds(r))
	require.Zero(t, r.Report.Tool.OverhangMM)
	require.InDelta(t, (530-r.Report.Tool.LeastMM)/2, r.Report.Tool.ReachMM, 0.02)
	require.Zero(t, r.Report.Tool.UnusedMM)
}

// Two placings hold every place of the rim between them, each turned as it may be; where the
// rim overhangs at its best place is told, and that is so.
func TestTwoPlacings(t *testing.T) {
	r := guitar(t, "", "dish: {diameter: 18 in}\n")
	p := r.Report.Tool
	require.Equal(t, []string{"tool-too-small"}, kinds(r))
	require.False(t, p.Turns)
	require.InDelta(t, (p.LeastMM-457.2)/2, p.OverhangMM, 1e-5)
	require.Equal(t, []string{"tail", "head"}, []string{p.Placings[0].Part, p.Placings[1].Part})
	within := func(at, middle r2.Vec, by float64) bool {
		R := r.Body.Top.Radius
		between := R * 2 * math.Asin(r3.Norm(r3.Sub(upright(r, at), upright(r, middle)))/2)
		return between+by <= R*math.Asin(457.2/2/R)+1e-6
	}
	lap, over, beyond := r.Body.Outline.Perimeter(), 0.0, 0.0
	for arc := 0.25; arc < lap; arc += 0.5 {
		at, held := r.Body.Outline.At(arc).At, false
		for _, one := range p.Placings {
			held = held || within(at, r2.Vec{X: one.LayX, Y: one.LayY}, one.ReachMM)
		}
		require.True(t, held, "at %v", at)
		if !within(at, r2.Vec{X: p.LayX, Y: p.LayY}, 0) {
			over += 0.5
		}
	}
	var near []string
	for _, o := range p.Overhangs {
		near, beyond = append(near, o.Near), beyond+o.LengthMM
		require.InDelta(t, p.OverhangMM, o.ByMM, 0.01)
		require.False(t, within(r2.Vec{X: o.X, Y: o.Y}, r2.Vec{X: p.LayX, Y: p.LayY}, 0))
	}
	require.Equal(t, []string{"head", "tail"}, near)
	require.InDelta(t, over, beyond, 5)
	text := strings.Join(r.Report.Placed(measure.Ruler{}), "\n")
	require.Contains(t, text, "at the head and the tail. Sand in two placings:")
	require.Contains(t, r.Report.Lay(measure.Ruler{}), "for the tail, then")
}

// What cannot be sanded so is refused at its key, and the hint says what would do.
func TestToolsRefused(t *testing.T) {
	for _, tt := range []struct{ top, tool, at, message, hint string }{
		{"", "dish: {diameter: 390 mm}\n", "6:18", "not in two placings either", "at least 397 mm for two placings"},
		{", shape: cylinder across", "dish: {diameter: 620 mm}\n", "6:7", "bent across the body alone", "board:"},
		{", shape: cylinder along", "dish: {diameter: 620 mm}\n", "6:7", "bent along the body alone", "board:"},
		{"flat", "dish: {radius: 28 ft, diameter: 620 mm}\n", "6:16", "the top is flat", "leave the radius out"},
		{"flat", "board: {radius: 28 ft, length: 620 mm, width: 80 mm}\n", "6:17", "the top is flat", "leave the radius out"},
	} {
		text := guitarJob(tt.top, tt.tool)
		if tt.top == "flat" {
			text = strings.Replace(text, "8534.4 mmflat", "flat", 1)
		}
		_, err := run(text, nil)
		var faults strict.Faults
		require.True(t, errors.As(err, &faults), "%v", err)
		require.Len(t, faults, 1)
		require.Equal(t, tt.at, fmt.Sprintf("%d:%d", faults[0].Line, faults[0].Column))
		require.Contains(t, faults[0].Message, tt.message)
		require.Contains(t, faults[0].Hint, tt.hint)
	}
	_, err := run(guitarJob("", "dish: {diameter: 398 mm}\n"), nil)
	require.NoError(t, err)
}

// A board reaches across, along the bend of a top that is bent one way, over what is domed.
func TestBoards(t *testing.T) {
	board := func(long int) string { return fmt.Sprintf("board: {length: %d mm, width: 80 mm}\n", long) }
	for _, tt := range []struct {
		top         string
		long        int
		takes, way  string
		span, reach float64
		stretches   int
		kinds       []string
	}{
		{"", 500, "dish", "across", 397, 51.5, 7, nil},
		{"", 450, "dish", "across", 397, 26.5, 7, []string{"swing"}},
		{"", 390, "dish", "across", 397, 0, 7, []string{"tool-too-small"}},
		{", shape: cylinder across", 500, "board", "across", 397, 51.5, 7, nil},
		{", shape: cylinder along", 600, "board", "along", 508, 46, 5, nil},
		{", flat above: 380 mm", 500, "dish", "across", 397, 51.5, 5, nil},
	} {
		r := guitar(t, tt.top, board(tt.long))
		p := r.Report.Tool
		require.Equal(t, []string{tt.takes, tt.way}, []string{p.Takes, p.BoardWay}, tt)
		require.InDelta(t, tt.span, p.SpanMM, 0.05, tt)
		require.InDelta(t, tt.reach, p.ReachMM, 0.05, tt)
		require.InDelta(t, tt.span+80, p.AcrossMM, 0.05, tt)
		require.Equal(t, tt.stretches, p.Stretches, tt)
		require.InDelta(t, max(0, tt.span-float64(tt.long))/2, p.OverhangMM, 0.01, tt)
		require.Equal(t, tt.kinds, kinds(r), tt)
		require.Equal(t, tt.takes == "dish", p.NeededMM > 0)
		require.Len(t, r.Laid(figure.Page), 1)
	}
	require.Empty(t, guitar(t, ", shape: cylinder along", "").Laid(figure.Page))
}

// Of a top that is flat beyond a place the flat and its blend stay off the dish, outside to inside, at
// every stroke of the swing that is told, and the tail's half of the dome lies in it at every one; what it
// leaves before the line is what is told. A flat that cuts the dome lies below it, and all of the rim
// in the dish.
func TestDishBesideAFlat(t *testing.T) {
	for _, tt := range []struct {
		flat, dish string
		placings   int
		kinds      []string
	}{
		{"380", "", 0, nil},
		{"380", "dish: {diameter: 24 in}\n", 0, nil},
		{"380", "dish: {diameter: 900 mm, swing: 25 mm}\n", 0, nil},
		{"380", "dish: {diameter: 420 mm, swing: 5 mm}\n", 0, nil},
		{"380", "dish: {diameter: 24 in, swing: 120 mm}\n", 0, []string{"swing"}},
		{"420", "dish: {diameter: 15.8 in}\n", 2, []string{"tool-too-small"}},
	} {
		r := guitar(t, ", flat above: "+tt.flat+" mm, blend: 60 mm", tt.dish)
		p := r.Report.Tool
		require.True(t, p.Domed)
		require.Len(t, p.Placings, tt.placings)
		require.Equal(t, tt.kinds, kinds(r))
		require.Equal(t, r.Body.DomedTo(), p.LineMM)
		placings, R := p.Placings, r.Body.Top.Radius
		if len(placings) == 0 {
			placings = []sides.Placing{{LayX: p.LayX, LayY: p.LayY, ReachMM: cmp.Or(p.ReachMM, p.NeedsMM)}}
		}
		arc := R * math.Asin(cmp.Or(p.HasMM, p.NeededMM)/2/R)
		var never, partly float64
		for at := 0.0; at < r.Body.Outline.Perimeter(); at += 0.5 {
			o := r.Body.Outline.At(at)
			in, all := false, false
			for _, one := range placings {
				far := func(p r2.Vec) float64 {
					return R * 2 * math.Asin(r3.Norm(r3.Sub(upright(r, p), upright(r, r2.Vec{X: one.LayX, Y: one.LayY})))/2)
				}
				in, all = in || far(o.At) <= arc+one.ReachMM, all || far(o.At) <= arc-one.ReachMM+0.001
				for _, deep := range []float64{0, 0.4, 1} {
					if p := o.Inward(deep * r.Body.EdgeWidth()); r.Body.Top.Zone(p) != rim.Domed {
						require.Greater(t, far(p), arc+one.ReachMM+1, "%v %v", tt, p)
					}
				}
			}
			if r.Body.Top.Zone(o.At) != rim.Domed {
				continue
			}
			require.True(t, all || o.At.X > p.LineMM/2-1, "%v %v", tt, o.At)
			if !in {
				never += 0.25 // of both sides
			}
			if !all {
				partly += 0.25
			}
		}
		require.InDelta(t, never, p.UnreachedMM, 1.5)
		require.InDelta(t, partly, p.PartlyMM, 1.5)
		require.Contains(t, fmt.Sprint(r.Brief()), "it never reaches the last "+measure.Ruler{}.Up(p.UnreachedMM, 0))
		require.Contains(t, strings.Join(r.Report.Placed(measure.Ruler{}), " "), "stays on the tail's side of the line")
		require.Contains(t, r.Report.Lay(measure.Ruler{}), "Blend and flat stay off it")
	}
	whole, cut := guitar(t, "", "").Report.Tool, guitar(t, ", flat above: 380 mm, flat lean: 3 deg", "").Report.Tool
	require.Equal(t, whole, cut)
}

// The diameters that a refusal tells hold the dome with the swing that is told with them.
func TestTheHintBesideAFlat(t *testing.T) {
	const top = ", flat above: 400 mm, blend: 35 mm"
	_, err := run(guitarJob(top, "dish: {diameter: 12 in}\n"), nil)
	var faults strict.Faults
	require.True(t, errors.As(err, &faults))
	var two, one, all float64
	_, err = fmt.Sscanf(faults[0].Hint, "at least %f mm with a swing of 10 mm for two placings, and for one %f mm with a swing of 10 mm, %f mm with a swing of 40 mm;", &two, &one, &all)
	require.NoError(t, err, faults[0].Hint)
	for _, tt := range []struct {
		across, least float64
		placings      int
	}{{two, 10, 2}, {one, 10, 0}, {all, 40, 0}} {
		p := guitar(t, top, fmt.Sprintf("dish: {diameter: %.0f mm}\n", tt.across)).Report.Tool
		require.Len(t, p.Placings, tt.placings)
		swing := p.ReachMM
		if tt.placings > 0 {
			swing = min(p.Placings[0].ReachMM, p.Placings[1].ReachMM)
		}
		require.GreaterOrEqual(t, swing, tt.least)
	}
	_, err = run(guitarJob(top, fmt.Sprintf("dish: {diameter: %.0f mm}\n", two-2)), nil)
	require.Error(t, err)
	less := guitar(t, top, fmt.Sprintf("dish: {diameter: %.0f mm}\n", all-2))
	require.Equal(t, []string{"swing"}, kinds(less))
	require.Contains(t, less.Report.Warnings[0].Message.String(), "not the usual 40 mm")
	stated := guitar(t, top, fmt.Sprintf("dish: {diameter: %.0f mm, swing: 40 mm}\n", all-2))
	require.Contains(t, stated.Report.Warnings[0].Message.String(), "not the 40 mm asked for")
}

// A dish whose middle lies outside the body is laid beyond the tail.
func TestBeyondTheTail(t *testing.T) {
	r := guitar(t, ", flat above: 380 mm, blend: 60 mm", "dish: {diameter: 900 mm}\n")
	require.Less(t, r.Report.Tool.LayX, 0.0)
	require.Contains(t, r.Report.Lay(measure.Ruler{}), "mm beyond the tail")
	require.NotContains(t, fmt.Sprint(r.Brief()), " -")
}
