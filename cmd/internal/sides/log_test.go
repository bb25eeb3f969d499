package sides_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/sides"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

var (
	workedMu sync.Mutex
	worked   = map[string]*sides.Result{}
)

// fresh is a sample worked out, to take a log.
func fresh(t testing.TB, name string) *sides.Result {
	workedMu.Lock()
	defer workedMu.Unlock()
	if worked[name] == nil {
		worked[name] = sample(t, name)
	}
	r := *worked[name]
	return &r
}

// logged takes a log into a sample.
func logged(t testing.TB, name, log, back string) (*sides.Result, error) {
	r := fresh(t, name)
	return r, r.TakeLog("w.csv", []byte(log), back)
}

// rows writes a log of a sample's ends, bouts and waists: what is left over the finished widths
// after each round, mm, and in which unit.
func rows(r *sides.Result, unit string, left ...func(s sides.Station) float64) string {
	size := map[string]float64{"mm": 1, "cm": 10, "in": 25.4}[unit]
	places := slices.DeleteFunc(slices.Clone(r.Report.Places), func(s sides.Station) bool { return strings.HasSuffix(s.Name, " begins") })
	var b strings.Builder
	b.WriteString("round")
	for _, s := range places {
		b.WriteString("," + s.Name + "_" + unit)
	}
	for round, of := range left {
		fmt.Fprintf(&b, "\n%d", round)
		for _, s := range places {
			fmt.Fprintf(&b, ",%.4f", (s.WidthMM+of(s))/size)
		}
	}
	return b.String()
}

func all(mm float64) func(sides.Station) float64 {
	return func(sides.Station) float64 { return mm }
}

// Every state of a log says first what to do.
func TestLogStates(t *testing.T) {
	r := fresh(t, "bouzouki-sides")
	low := func(at string, mm float64) func(s sides.Station) float64 {
		return func(s sides.Station) float64 { return map[bool]float64{true: mm, false: 0.5}[s.Name == at] }
	}
	tail := func(mm, rest float64) func(s sides.Station) float64 {
		return func(s sides.Station) float64 { return map[bool]float64{true: mm, false: rest}[s.Name == "tail"] }
	}
	for _, tt := range []struct {
		state, verdict string
		log            string
	}{
		{"no pace", "1.3 mm to 1.3 mm are left to come off, pressed evenly; one round tells no pace", rows(r, "mm", all(1.3))},
		{"sanding", "about 2 more rounds, if both so far were alike: a third tells how sure that is, pressed evenly", rows(r, "mm", all(2), all(1.3))},
		{"sanding", "about 3 more rounds (3 to 3), pressed evenly; stop when every width is within 0.1 mm", rows(r, "mm", all(3), all(2.5), all(2), all(1.5))},
		{"not resolved", "in how many rounds is not resolved", rows(r, "mm", all(2), all(2.05), all(1.95), all(2))},
		{"done", "stop: every place that was measured is within 0.1 mm of its width", rows(r, "mm", all(1), all(0.05))},
		{"done", "stop: every place", rows(r, "mm", all(1), low("tail", 0.1), all(-0.1))}, // just within, as its row says
		{"not resolved", "the widths grew, by 1 mm a round on the mean", rows(r, "mm", all(1), all(2), all(3))},
		{"read finer", "read to 0.1 mm or finer before another stroke", "round,tail_mm\n0,100\n1,99\n2,98\n3,97\n4,96\n5,95\n"},
		{"measure again", "measure the tail again before another stroke", rows(r, "mm", all(3), all(2.6), all(2.2), all(1.8), tail(-0.3, 1.4))},
		{"sanding", "about 9 more rounds", rows(r, "mm", all(3), tail(2.75, 2.5), tail(2.5, 2), tail(2.25, 1.5))}, // the slowest place's, not the mean's
	} {
		t.Run(tt.verdict, func(t *testing.T) {
			r, err := logged(t, "bouzouki-sides", tt.log, sides.BackFinished)
			require.NoError(t, err)
			require.Equal(t, tt.state, r.Report.Log.State)
			require.Contains(t, r.Report.Log.Verdict.String(), tt.verdict)
			require.Equal(t, tt.state == "too much gone" || tt.state == "measure again", len(r.Report.Broken) > 0)
			var text strings.Builder
			r.LogAnswer().Text(&text, 78)
			require.True(t, strings.HasPrefix(text.String(), strings.Fields(tt.verdict)[0]) || tt.state == "not resolved")
			require.LessOrEqual(t, strings.Count(text.String(), "\n"), 21, "with its caution a screen\n%s", text.String())
			for _, l := range strings.Split(text.String(), "\n") {
				require.LessOrEqual(t, len([]rune(l)), 80)
			}
		})
	}
}

// While the back's edge is not sanded the top's is done so much earlier; in whatever unit.
func TestLogTargets(t *testing.T) {
	r := fresh(t, "bouzouki-sides") // 1.5 mm on either edge
	for _, unit := range []string{"mm", "cm", "in"} {
		log := rows(r, unit, all(3), all(2.5), all(2))
		first, err := logged(t, "bouzouki-sides", log, sides.BackUnsanded)
		require.NoError(t, err)
		last, err := logged(t, "bouzouki-sides", log, sides.BackFinished)
		require.NoError(t, err)
		for i, p := range first.Report.Log.Places {
			require.InDelta(t, 0.5, p.LeftMM, 0.002, unit) // four decimals of an inch
			require.InDelta(t, p.DoneMM+1.5, p.WantedMM, 1e-5)
			require.InDelta(t, 2, last.Report.Log.Places[i].LeftMM, 0.002)
		}
		require.InDelta(t, 1, *first.Report.Log.Mean.Rounds, 0.01)
		require.InDelta(t, 4, *last.Report.Log.Mean.Rounds, 0.02)
		require.InDelta(t, map[string]float64{"mm": 1e-4, "cm": 1e-3, "in": 25.4e-4}[unit], first.Report.Log.StepMM, 1e-6)
	}
}

// What is sawn off the back's edge before any sanding is no longer on it.
func TestLogTargetsOfASawnRim(t *testing.T) {
	r := fresh(t, "flat-top-sides")
	got, err := logged(t, "flat-top-sides", rows(r, "mm", all(1.5)), sides.BackUnsanded)
	require.NoError(t, err)
	sawn := 0.0
	for _, p := range got.Report.Log.Places {
		i := slices.IndexFunc(r.Report.Places, func(s sides.Station) bool { return s.Name == p.Name })
		s := r.Report.Places[i]
		require.InDelta(t, s.WidthMM+s.BackLeft(), p.WantedMM, 3e-6, "told alike on the log's page") // three figures of six decimals
		sawn = max(sawn, s.BackSaw)
	}
	require.Greater(t, sawn, 1.0)
}

// The widths that a log and the key measured tell alike leave as much, and press alike.
func TestLogAsMeasured(t *testing.T) {
	r, err := logged(t, "mandola-sides", "round,head_mm,tail_mm,left widest_mm,right widest_mm\n4,49.1,52.4,53.4,53.9\n", sides.BackUnsanded)
	require.NoError(t, err)
	a, l := r.Report.Attitude, r.Report.Log
	require.Equal(t, a.Press, l.Press)
	require.InDelta(t, a.PressMM, l.PressMM, 1e-6)
	for _, left := range a.Left {
		found := false
		for _, p := range l.Places {
			if p.Name == left.Name {
				found = true
				require.InDelta(t, left.TooMMM, p.LeftMM, 1e-6)
				require.InDelta(t, left.Wanted, p.WantedMM, 1e-6)
				require.InDelta(t, left.Finished, p.DoneMM, 1e-6)
			}
		}
		require.True(t, found, left.Name)
	}
}

// A misread width is told with its place in the file, and the forecast is that of the others.
func TestLogLeavesOut(t *testing.T) {
	r := fresh(t, "bouzouki-sides")
	good := rows(r, "mm", all(4), all(3.5), all(3), all(2.5))
	clean, err := logged(t, "bouzouki-sides", good, sides.BackFinished)
	require.NoError(t, err)
	lines := strings.Split(good, "\n")
	cells := strings.Split(lines[3], ",")
	cells[2] = "95.03" // 1 mm less
	lines[3] = strings.Join(cells, ",")
	bad, err := logged(t, "bouzouki-sides", strings.Join(lines, "\n"), sides.BackFinished)
	require.NoError(t, err)
	require.Len(t, bad.Report.Log.Wrong, 1)
	w := bad.Report.Log.Wrong[0]
	require.Equal(t, [3]int{4, 1 + len(cells[0]) + 1 + len(cells[1]) + 1, 2}, [3]int{w.Line, w.Column, w.Round})
	require.Equal(t, "round 2, right widest: 95.03 mm does not fit: the others there say 96.03 mm", w.Message.String())
	require.InDelta(t, *clean.Report.Log.Mean.Rounds, *bad.Report.Log.Mean.Rounds, 1e-3)
	var text strings.Builder
	bad.LogAnswer().Text(&text, 200)
	require.Contains(t, text.String(), "w.csv:4:11: round 2")
}

// What is wrong with a log is said at its line and column, with a hint, all at once.
func TestWrongLogs(t *testing.T) {
	for _, tt := range []struct{ log, at, message, hint string }{
		{"", "1:1", "empty", "round,tail_mm,right widest_mm"},
		{"", "1:1", "empty", "a line for each round"},
		{"\xff\xfer\x00o\x00", "1:1", "UTF-16", "save it as UTF-8"},
		{"\x00r\x00o", "1:1", "UTF-16", "save it as UTF-8"},
		{"\x00\x01\xff,\xfe\n", "1:1", "no table of plain text", "its header line such as round,"},
		{"round,tail_mm\n", "1:1", "no widths yet", "0 before sanding"},
		{"round,tail_mm\n0,\n1,\n", "1:1", "no widths yet", ""},
		{"round\n0\n", "1:1", "no column of a place", "tail_mm, right widest_mm, head_mm, left widest_mm"},
		{"tail_mm\n96\n", "1:1", "no column round", ""},
		{"round,tial_mm\n0,96\n", "1:7", `"tial_mm" is not known`, "tail_mm"},
		{"round,tail\n0,96\n", "1:7", "not known", "ends in its unit"},
		{"round,left waist_mm\n0,96\n", "1:7", "not known", "left widest_mm"},
		{"round,tail_mm,tail_in\n0,96,3\n", "1:15", "comes twice", ""},
		{"round,tail_mm\n1,96\n0,97\n", "3:1", "round 0 comes after round 1", "in their order"},
		{"round,tail_mm\n1,96\n1,97\n", "3:1", "round 1 comes twice", ""},
		{"round,tail_mm\n0.5,96\n", "2:1", `"0.5" is no round`, "whole number"},
		{"round,tail_mm\n-1,96\n", "2:1", `"-1" is no round`, ""},
		{"round,tail_mm\n99999,96\n", "2:1", "no round 99999", ""},
		{"round,tail_mm\n0,-96\n", "2:3", "a width of -96 mm at the tail", "to have 96.5 mm"},
		{"round,tail_mm\n0,0\n", "2:3", "a width of 0 mm", ""},
		{"round,tail_mm\n0,nan\n", "2:3", `"nan" is no number`, ""},
		{"round,tail_mm\n0,9e1\n", "2:3", `"9e1" is no number`, ""},
		{"round,tail_mm\n0,96 mm\n", "2:3", "no number", ""},
		{"round;tail_mm\n0;96,5\n", "2:3", "no number", "a point, not a comma"},
		{"round,tail_mm\n0,3.8\n", "2:3", "a width of 3.8 mm", "tail_in"},
		{"round,tail_in\n0,96.5\n", "2:3", "a width of 2451.1 mm", "tail_mm"},
		{"round,tail_mm\n0,9.65\n", "2:3", "a width of 9.65 mm", "_cm"},
		{"round,tail_mm\n0,965\n", "2:3", "a width of 965 mm", "point misplaced"},
		{"round,tail_mm\n0,300\n", "2:3", "a width of 300 mm", "from edge to edge"},
		{"round,tail_mm\n0,40\n", "2:3", "a width of 40 mm", "from edge to edge"},
		{"round,tail_mm,head_mm\n0,96\n", "2:1", "2 numbers for 3 columns", ""},
		{"round,tail_mm\n" + strings.Repeat("0,96\n", 501), "502:1", "too long", "at most 500"},
		{"round,tail_mm\n\"0,96\n", "2", "no table", ""},
	} {
		t.Run(tt.message+" "+tt.at, func(t *testing.T) {
			_, err := logged(t, "bouzouki-sides", tt.log, sides.BackUnsanded)
			var faults strict.Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			f := faults[0]
			require.True(t, strings.HasPrefix(fmt.Sprintf("%d:%d", f.Line, f.Column), tt.at), "%+v", f)
			require.Equal(t, "w.csv", f.File)
			require.Contains(t, f.Message, tt.message)
			require.Contains(t, f.Hint, tt.hint)
			require.NotEmpty(t, f.Hint)
		})
	}
	_, err := logged(t, "bouzouki-sides", "round,tail_mm,head_mm\n2,3.8,85\n1,96,0\n1,96,83\n", sides.BackUnsanded)
	var faults strict.Faults
	require.True(t, errors.As(err, &faults))
	var where []string
	for _, f := range faults {
		where = append(where, fmt.Sprintf("%d:%d", f.Line, f.Column))
	}
	require.Equal(t, []string{"2:3", "3:1", "3:6", "4:1"}, where, "all at once, as they stand in the file")
	_, err = logged(t, "bouzouki-sides", "round,tail_mm\n"+strings.Repeat("0,1\n", 400), sides.BackUnsanded)
	require.True(t, errors.As(err, &faults))
	require.LessOrEqual(t, len(faults), 50)
}

// The template is a log: filled in it is read, and it has every place.
func TestLogTemplate(t *testing.T) {
	for _, name := range []string{"parlour-cutaway", "ukulele-sides"} {
		r := fresh(t, name)
		text := string(r.LogTemplate())
		_, err := logged(t, name, text, sides.BackUnsanded)
		require.ErrorContains(t, err, "no widths yet")
		cells := "0"
		for _, s := range r.Report.Places {
			v := s.WidthMM + 2
			if r.Job.Ruler.Inches {
				v /= 25.4
			}
			cells += fmt.Sprintf(",%.3f", v)
		}
		filled := strings.Replace(text, "\n0"+strings.Repeat(",", len(r.Report.Places))+"\n", "\n"+cells+"\n", 1)
		require.NotEqual(t, text, filled)
		got, err := logged(t, name, filled, sides.BackFinished)
		require.NoError(t, err)
		require.Len(t, got.Report.Log.Places, len(r.Report.Places))
		for _, p := range got.Report.Log.Places {
			require.InDelta(t, 2, p.LeftMM, 0.02)
		}
	}
}

// Of a rule with marks the marks are the step, even where whole ones were met by chance.
func TestLogStepOfARule(t *testing.T) {
	r, err := logged(t, "ukulele-sides", "round,tail_in,head_in\n0,3 3/8,3 1/16\n", sides.BackFinished)
	require.NoError(t, err)
	require.InDelta(t, 25.4/32, r.Report.Log.StepMM, 1e-6)
	require.InDelta(t, 25.4/32, r.Report.Log.ToleranceMM, 1e-6)
}

// JSON has a null where nothing is known, and reads back.
func TestLogJSON(t *testing.T) {
	r, err := logged(t, "bouzouki-sides", "round,tail_mm\n0,98\n", sides.BackUnsanded)
	require.NoError(t, err)
	data, err := json.Marshal(r.Report)
	require.NoError(t, err)
	var back struct {
		Log map[string]any `json:"log"`
	}
	require.NoError(t, json.Unmarshal(data, &back))
	mean := back.Log["mean"].(map[string]any)
	for _, k := range []string{"mm_per_round", "rounds_left", "rounds_left_low", "rounds_left_high"} {
		v, there := mean[k]
		require.True(t, there && v == nil, k)
	}
	require.Nil(t, back.Log["noise_mm"])
	require.Equal(t, "no pace", back.Log["state"])
	require.NotContains(t, string(must(json.Marshal(fresh(t, "bouzouki-sides").Report))), `"log"`)
}

func must(data []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return data
}

// Whatever is in a log, it is refused with a place and a hint, or worked out in numbers.
func FuzzLog(f *testing.F) {
	f.Add("round,tail_mm,head_mm\n0,98.1,85\n1,97.7,84.4\n2,97.2,83.9\n", true)
	f.Add("round;left widest_in;tail_in\n0;3 7/8;3 3/4\n3;3 3/4;\n", false)
	f.Add("# invented\nround,tail_mm\n0,\n2,96\n4,97.5\n6,95.9\n", true)
	r := sample(f, "bouzouki-sides")
	f.Fuzz(func(t *testing.T, text string, first bool) {
		r, back := *r, sides.BackFinished
		if first {
			back = sides.BackUnsanded
		}
		if err := r.TakeLog("w.csv", []byte(text), back); err != nil {
			var faults strict.Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			for _, one := range faults {
				require.True(t, one.Hint != "" && one.Line > 0, "%+v", one)
			}
			return
		}
		_, err := json.Marshal(r.Report)
		require.NoError(t, err)
		var b strings.Builder
		r.LogAnswer().Text(&b, 78)
		require.NotContains(t, b.String(), "NaN")
		require.NotContains(t, b.String(), "Inf")
		for _, p := range r.Report.Log.Places {
			require.False(t, math.IsNaN(p.LeftMM) || p.Readings < 1)
		}
		require.NotEmpty(t, r.LogRows())
		require.NotEmpty(t, r.Report.Log.Verdict.In(measure.Ruler{Inches: true}))
	})
}
