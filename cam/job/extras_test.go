package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// accepted reports whether a job has no fault.
func accepted(text string) bool {
	_, err := job.Load("job.yaml", []byte(text))
	return err == nil
}

// board is a job of a board that says no more than it must.
const board = "form: board\nradius: 20 ft\nlength: 400 mm\nwidth: 80 mm\nblank: {length: 500 mm, width: 160 mm, thickness: 25 mm}\nmachine: bench-600\n"

// Holes on a circle stand evenly round it, the first at the angle that is given: k/n of a turn on.
// All have a millimetre of wood between them: their middles are circle·sin(π/n) apart (own
// derivation: half of a chord). Two hundred in all are the most.
func TestHolesOnACircle(t *testing.T) {
	circle := func(count int, diameter, more string) string {
		return fmt.Sprintf("{diameter: %s, circle: 520 mm, count: %d%s}", diameter, count, more)
	}
	w := load(t, short+"extras: {holes: ["+circle(5, "8 mm", ", from: 20 deg, depth: 6 mm")+", "+circle(1, "3 mm", "")+"]}\n").Work
	require.Len(t, w.Extras.Holes, 6)
	for k, h := range w.Extras.Holes[:5] {
		a := (20 + 72*float64(k)) * math.Pi / 180
		require.InDelta(t, 260*math.Cos(a), h.X, 5.1e-5) // places are told to 0.0001 mm
		require.InDelta(t, 260*math.Sin(a), h.Y, 5.1e-5)
		require.Equal(t, [2]float64{8, 6}, [2]float64{h.Diameter, h.Depth})
		require.Equal(t, fmt.Sprintf("hole %d of 5 on a circle of 520 mm", k+1), h.Name)
		require.Equal(t, work.Key("extras/holes/0"), h.Key)
	}
	require.Equal(t, work.HoleWanted{Name: "hole 1 of 1 on a circle of 520 mm", Group: "1 hole on a circle of 520 mm", Key: "extras/holes/1", X: 260, Diameter: 3}, w.Extras.Holes[5])
	apart := func(n int) float64 { return 520 * math.Sin(math.Pi/float64(n)) }
	for text, ok := range map[string]bool{
		circle(12, fmt.Sprintf("%.3f mm", apart(12)-1.01), ""):  true,
		circle(12, fmt.Sprintf("%.3f mm", apart(12)-0.99), ""):  false,
		circle(2, "200 mm", ""):                                 true,
		circle(0, "3 mm", ""):                                   false,
		circle(200, "3 mm", ""):                                 true,
		circle(201, "3 mm", ""):                                 false,
		circle(150, "3 mm", "") + ", " + circle(50, "3 mm", ""): true,
		circle(150, "3 mm", "") + ", " + circle(51, "3 mm", ""): false,
		circle(4, "8 mm", ", depth: 24.9 mm"):                   true,
		circle(4, "8 mm", ", depth: 25 mm"):                     false, // through the blank
	} {
		require.Equal(t, ok, accepted(short+"extras: {holes: ["+text+"]}\n"), text)
	}
}

// A centre hole or centre lines may be told by their size alone. A covering hides what is
// scribed on the face, so that lines are drawn there on bare wood alone.
func TestCentreHoleAndLines(t *testing.T) {
	w := load(t, short+"extras: {centre hole: 8 mm, centre lines: 0.4 mm}\n").Work
	require.Equal(t, []work.HoleWanted{{Name: "the centre hole", Key: "extras/centre hole", Diameter: 8}}, w.Extras.Holes)
	require.Equal(t, &work.LinesWanted{Key: "extras/centre lines", Depth: 0.4, Face: true}, w.Extras.Lines)
	w = load(t, short+"covering: 0.6 mm\nshelf:\n  spare: "+ball+"\n  one: "+ball+"\nextras: {centre hole: {diameter: 8 mm, depth: 5 mm, cutter: one}, centre lines: {depth: 0.4 mm, cutter: one}}\n").Work
	require.Equal(t, []work.HoleWanted{{Name: "the centre hole", Key: "extras/centre hole", Diameter: 8, Depth: 5, Cutter: "one"}}, w.Extras.Holes)
	require.Equal(t, &work.LinesWanted{Key: "extras/centre lines", Depth: 0.4, Cutter: "one"}, w.Extras.Lines)
}

// An extra is cut by a cutter of the shelf alone.
func TestCutterOfAnExtra(t *testing.T) {
	for name, ok := range map[string]bool{"one": true, "two": true, "three": false, "auto": false} {
		text := short + "shelf:\n  one: " + ball + "\n  two: " + strings.Replace(ball, "ball", "flat", 1) + "\nextras: {%s}\n"
		for _, extra := range []string{"centre hole: {diameter: 16 mm, cutter: %s}", "centre lines: {depth: 0.3 mm, cutter: %s}", "holes: [{diameter: 16 mm, circle: 520 mm, count: 3, cutter: %s}]", "cut out: {tabs: 4, cutter: %s}"} {
			require.Equal(t, ok, accepted(fmt.Sprintf(text, fmt.Sprintf(extra, name))), "%s: %s", name, extra)
		}
	}
}

// What is cut out runs 10 mm outside the rim, or along the land or size that is stated; of a
// board along its sides. It is held by tabs spread evenly along it, four of 9 mm by 3 mm, no
// higher than half the blank.
func TestCutOut(t *testing.T) {
	square := func(x, y float64) []r2.Vec {
		return []r2.Vec{{X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}, {X: -x, Y: -y}}
	}
	for _, tt := range []struct {
		text  string
		shape string  // round, square or octagon; "" for a board
		half  float64 // of a board along X; 80 less across
		tabs  int
	}{
		{short + "extras: {cut out: {tabs: 4}}\n", "round", 260, 4},
		{short + "extras: {cut out: {}}\n", "round", 260, 4},
		{short + "land: 4 mm\nextras: {cut out: {tabs: 7}}\n", "round", 254, 7},
		{short + "extras: {cut out: {shape: square, size: 530 mm, tabs: 3}}\n", "square", 265, 3},
		{short + "extras: {cut out: {shape: octagon, tabs: 2}}\n", "octagon", 260, 2},
		{board + "extras: {cut out: {tabs: 4}}\n", "", 200, 4},
		{board + "land: 5 mm\nextras: {cut out: {tabs: 5}}\n", "", 205, 5},
	} {
		w := load(t, tt.text).Work
		require.Len(t, w.Extras.CutOuts, 1)
		o := w.Extras.CutOuts[0]
		want := square(tt.half, tt.half-160)
		if tt.shape != "" {
			var err error
			want, err = dish.EdgeLine(map[string]dish.BlankShape{"round": dish.Round, "square": dish.Square, "octagon": dish.Octagon}[tt.shape], tt.half, 0)
			require.NoError(t, err)
		}
		require.Equal(t, want, o.Line, tt.text)
		require.Equal(t, [2]float64{9, 3}, [2]float64{o.TabLength, o.TabHeight})
		// Tab k stands (k + ½)/n of the way round.
		long := 0.0
		for i, p := range o.Line {
			long += r2.Norm(r2.Sub(o.Line[(i+1)%len(o.Line)], p))
		}
		require.Len(t, o.Tabs, tt.tabs)
		for k, at := range o.Tabs {
			run, found := 0.0, false
			for i, p := range o.Line {
				q := o.Line[(i+1)%len(o.Line)]
				l, a := r2.Norm(r2.Sub(q, p)), r2.Norm(r2.Sub(at, p))
				if !found && a+r2.Norm(r2.Sub(q, at)) < l+1e-9 {
					require.InDelta(t, (float64(k)+0.5)*long/float64(tt.tabs), run+a, 1e-6, tt.text)
					found = true
				}
				run += l
			}
			require.True(t, found, "on the line")
		}
	}
	for thick, high := range map[string]float64{"5 mm": 2.5, "6 mm": 3, "25 mm": 3} {
		text := strings.Replace(strings.Replace(short, "25 ft", "60 m", 1), "thickness: 25 mm", "thickness: "+thick, 1)
		require.Equal(t, high, load(t, text+"floor: 1 mm\nextras: {cut out: {tabs: 4}}\n").Work.Extras.CutOuts[0].TabHeight)
	}
	o := load(t, short+"extras: {cut out: {tabs: 4, tab length: 12 mm, tab height: 0.4 mm}}\n").Work.Extras.CutOuts[0]
	require.Equal(t, [2]float64{12, 0.4}, [2]float64{o.TabLength, o.TabHeight})
}

// A cut-out keeps off the face and the land that is stated, and a flat on its edge off the face:
// a chord f long of a round D across lies √(D² − f²)/2 from its middle (Machinery's Handbook,
// 31st ed., p. 79: the chord of a segment).
func TestCutOutsRefused(t *testing.T) {
	flat := 2 * math.Sqrt(265*265-250*250)
	for text, ok := range map[string]bool{
		"extras: {cut out: {diameter: 500 mm}}":                 true,
		"extras: {cut out: {diameter: 499.9 mm}}":               false,
		"land: 10 mm\nextras: {cut out: {diameter: 520 mm}}":    true,
		"land: 10 mm\nextras: {cut out: {diameter: 519.9 mm}}":  false,
		"extras: {cut out: {shape: square, diameter: 520 mm}}":  false,
		"extras: {cut out: {size: 520 mm}}":                     false,
		"extras: {cut out: {shape: octagon, diameter: 520 mm}}": false,
		"extras: {cut out: {shape: square, size: 520 mm}}":      true,
		"extras: {cut out: {tabs: 1}}":                          false,
		"extras: {cut out: {tabs: 2}}":                          true,
		"extras: {cut out: {tabs: 50}}":                         true,
		"extras: {cut out: {tabs: 51}}":                         false,
		"extras: {index flat: 60 mm}":                           false,
		"extras: {cut out: {shape: square}, index flat: 60 mm}": false,
		"land: 25 mm":   true,
		"land: 25.1 mm": false, // beyond the blank
		fmt.Sprintf("extras: {cut out: {diameter: 530 mm}, index flat: %.3f mm}", flat-0.1): true,
		fmt.Sprintf("extras: {cut out: {diameter: 530 mm}, index flat: %.3f mm}", flat+0.1): false,
	} {
		require.Equal(t, ok, accepted(short+text+"\n"), text)
	}
	require.True(t, accepted(board+"land: 45 mm\n"), "a board's land is held against nothing but its slot")
	for _, more := range []string{"shape: round", "diameter: 450 mm", "size: 450 mm"} {
		require.False(t, accepted(board+"extras: {cut out: {"+more+"}}\n"), more)
	}
}

// The shelf that most workshops own, where a job has none: a half-inch flat and a half-inch ball
// (common practice). A cutter sticks out a centimetre more than its flutes are long, or the
// face is deep.
func TestUsualShelf(t *testing.T) {
	w := load(t, short).Work
	flat, round := w.Shelf[0], w.Shelf[1]
	require.Equal(t, []any{"half-inch flat", 12.7, 2, 25.0, 16000.0, 0.06, 3.0}, []any{flat.Name, flat.Diameter, flat.Flutes, flat.FluteLength, flat.Speed, flat.ChipLoad, flat.DepthOfCut})
	require.Equal(t, []any{"half-inch ball", 12.7, 2, 25.0, 16000.0, 0.05, 3.0}, []any{round.Name, round.Diameter, round.Flutes, round.FluteLength, round.Speed, round.ChipLoad, round.DepthOfCut})
	for radius, want := range map[string]float64{"2 m": 35, "1 m": 42, "900 mm": 46} { // 250²/2R deep, and more: 15.7, 31.8, 35.4
		text := strings.Replace(strings.Replace(short, "25 ft", radius, 1), "thickness: 25 mm", "thickness: 60 mm", 1)
		require.Equal(t, want, load(t, text).Work.Shelf[0].StickOut, radius)
	}
	for part, ok := range map[string]bool{
		"flutes: 1": true, "flutes: 20": true, "flutes: 21": false,
		"flutes: 2, ramp: 0.2 deg": true, "flutes: 2, ramp: 0.19 deg": false, "flutes: 2, ramp: 45 deg": true, "flutes: 2, ramp: 45.1 deg": false,
		"flutes: 2, core: 0 mm": true, "flutes: 2, core: 12.6 mm": true, "flutes: 2, core: 1/2 in": false,
		"flutes: 2, stick out: 25 mm": true, "flutes: 2, stick out: 24.9 mm": false,
	} {
		require.Equal(t, ok, accepted(shelf("flutes: 2", part)), part)
	}
}

// Who writes inches or feet anywhere but in a radius has a rule of inches; a radius in feet is
// told in feet whatever the rule.
func TestInchesAndRules(t *testing.T) {
	metric := strings.Replace(short, "25 ft", "7.62 m", 1)
	for text, want := range map[string]bool{
		metric: false,
		short:  false,
		strings.Replace(short, "25 ft", "300 in", 1):                      false,
		strings.Replace(metric, "500 mm", "20 in", 1):                     true,
		strings.Replace(metric, "500 mm", "1 ft 8 in", 1):                 true,
		strings.Replace(metric, "size: 550 mm", "size: 22 in", 1):         true,
		strings.Replace(metric, "thickness: 25 mm", "thickness: 1 in", 1): true,
		strings.Replace(metric, "bench-600", "inch-24", 1):                false, // its programs are in inches
	} {
		j := load(t, text)
		require.Equal(t, want, j.Ruler.Inches, text)
	}
}
