package job_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
)

// A fence runs from one end to the other, its width on both sides; what is only half told is
// refused, and so is a mixture of the two kinds.
func TestObstacles(t *testing.T) {
	w := load(t, short+"obstacles: [{from: [-300 mm, 290 mm], to: [250 mm, 310 mm], width: 18 mm, height: 20 mm}, {x: 300 mm, y: -20 mm, radius: 6 mm, height: 4 mm}]\n").Work
	require.Equal(t, []path.Obstacle{{X: -300, Y: 290, DX: 550, DY: 20, Radius: 9, Height: 20}, {X: 300, Y: -20, Radius: 6, Height: 4}}, w.Obstacles)
	for _, text := range []string{
		"from: [1 mm, 2 mm], to: [3 mm, 4 mm], height: 2 mm", "to: [3 mm, 4 mm], width: 5 mm, height: 2 mm", "from: [1 mm, 2 mm], width: 5 mm, height: 2 mm",
		"from: [1 mm, 2 mm], to: [3 mm, 4 mm], width: 5 mm", "to: [1 mm, 2 mm], from: [3 mm, 4 mm], width: 0 mm, height: 2 mm", "x: 1 mm, y: 2 mm, radius: 5 mm", "x: 1 mm, radius: 5 mm, height: 2 mm",
		"x: 1 mm, y: 2 mm, radius: 5 mm, height: 2 mm, width: 3 mm", "x: 1 mm, y: 2 mm, radius: 5 mm, height: 2 mm, to: [1 mm, 2 mm]",
		"from: [1 mm, 2 mm], to: [3 mm, 4 mm], width: 5 mm, height: 2 mm, radius: 3 mm", "x: 5001 mm, y: 2 mm, radius: 5 mm, height: 2 mm",
		"from: [1 mm, 2 mm], to: [3 mm, 5001 mm], width: 5 mm, height: 2 mm", "from: [-5001 mm, 2 mm], to: [3 mm, 50 mm], width: 5 mm, height: 2 mm",
	} {
		require.False(t, accepted(short+"obstacles: [{"+text+"}]\n"), text)
	}
}

// The places where a top was touched make a plane, by which the spindle is as much more out of
// square; three at least that are no line, a hundred at most, within 2 mm per 100 mm. Where
// they lie off it by more than Z is set again, that is told.
func TestTopPoints(t *testing.T) {
	top := func(points ...[3]float64) string {
		var list []string
		for _, p := range points {
			list = append(list, fmt.Sprintf("{x: %g mm, y: %g mm, z: %g mm}", p[0], p[1], p[2]))
		}
		return short + "top points: [" + strings.Join(list, ", ") + "]\n"
	}
	j := load(t, top([3]float64{-200, -150, 0.1}, [3]float64{250, -150, 0.19}, [3]float64{0, 200, 0.42})+"spindle tilt: 0.1 mm per 100 mm\n")
	// Along X 0.09 in 450; at X0 on the front line 0.14, and 0.28 more in 350 along Y.
	require.InDelta(t, 0.0002, j.Work.Top.A, 1e-9)
	require.InDelta(t, 0.0008, j.Work.Top.B, 1e-9)
	require.InDelta(t, 0.26, j.Work.Top.C, 1e-6)
	require.Equal(t, 0.001, j.Work.Tilt)
	require.InDelta(t, 0.001+math.Hypot(0.0002, 0.0008), j.Work.OutOfSquare(), 1e-9)
	require.False(t, j.Work.Machine.Arcs)
	square := func(up float64) string { // one corner up: a quarter of that off the plane
		return top([3]float64{-200, -200, 0}, [3]float64{200, -200, 0}, [3]float64{200, 200, up}, [3]float64{-200, 200, 0})
	}
	for up, told := range map[float64]bool{0.19: false, 0.21: true} {
		j := load(t, square(up))
		require.Equal(t, told, len(j.Warnings) > 0 && j.Warnings[0].Kind == "top-not-flat", "%g", up)
	}
	far := [3]float64{0, 100, 0}
	many := func(n int) string {
		points := [][3]float64{far}
		for i := range n - 1 {
			points = append(points, [3]float64{float64(i), -100, 0})
		}
		return top(points...)
	}
	for text, ok := range map[string]bool{
		many(100): true, many(101): false,
		top(far, [3]float64{50, 0, 0}):                               false,
		top(far, [3]float64{50, 0, 0}, [3]float64{-50, 0, 0}):        true,
		top(far, [3]float64{0, 0, 0}, [3]float64{0, -50, 0}):         false,
		top(far, [3]float64{100, 0, 1.99}, [3]float64{0, 0, 0}):      true,
		top(far, [3]float64{100, 0, 2.01}, [3]float64{0, 0, 0}):      false,
		top(far, [3]float64{5000, 0, 20}, [3]float64{-5000, 0, -20}): true,
		top(far, [3]float64{5001, 0, 0}, [3]float64{0, 0, 0}):        false,
		top(far, [3]float64{0, -5001, 0}, [3]float64{50, 0, 0}):      false,
		top(far, [3]float64{5000, 0, 20.1}, [3]float64{0, 0, 0}):     false,
		top(far, [3]float64{5000, 0, -20.1}, [3]float64{0, 0, 0}):    false,
		short + "top points: [{x: 0 mm, y: 100 mm, z: 0 mm}, {x: 50 mm, y: 0 mm}, {x: -50 mm, y: 0 mm, z: 0 mm}, {x: 9 mm, y: 9 mm, z: 0 mm}]\n": false,
	} {
		require.Equal(t, ok, accepted(text), text)
	}
}

// A machine that goes too far by a share is told as much less, or more: its travel is taken as
// shorter by that, and X by as much as the lean shifts over all of Y. Such programs have no arcs.
func TestTravelOfACorrectedMachine(t *testing.T) {
	text, ok := machines.ProfileText("bench-600")
	require.True(t, ok)
	arcs := strings.Replace(string(text), "arcs: no", "arcs: yes", 1)
	for errors, want := range map[string][3]any{
		"": {620.0, 620.0, true},
		"errors: {scale: {x: 1 mm per 100 mm, y: -0.5 mm per 100 mm}, lean: -0.2 mm per 100 mm, corrected: yes}\n": {620 * (1 - 0.01 - 0.002), 620 * (1 - 0.005), false},
		"errors: {scale: {x: 1 mm per 100 mm}, corrected: no}\n":                                                   {620.0, 620.0, true},
		"errors: {backlash: {x: 0.1 mm}, corrected: yes}\n":                                                        {620.0, 620.0, true},
	} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "mine.yaml"), []byte(arcs+errors), 0o600))
		j, err := job.Load(filepath.Join(dir, "job.yaml"), []byte(with("machine", "mine.yaml")))
		require.NoError(t, err)
		m := j.Work.Machine
		require.InDelta(t, want[0], m.Travel.X, 1e-9, errors)
		require.InDelta(t, want[1], m.Travel.Y, 1e-9, errors)
		require.Equal(t, want[2], m.Arcs, errors)
	}
}

// What is touched off on has to be there.
func TestTouchable(t *testing.T) {
	blanks := map[string]string{"square": "{size: 550 mm, thickness: 25 mm}", "rectangle": "{length: 550 mm, width: 560 mm, thickness: 25 mm}",
		"round": "{diameter: 550 mm, thickness: 25 mm}", "octagon": "{shape: octagon, size: 550 mm, thickness: 25 mm}"}
	for _, tt := range []struct {
		blank, on, more string
		ok              bool
	}{
		{"square", "corner", "", true}, {"rectangle", "corner", "", true}, {"round", "corner", "", false}, {"octagon", "corner", "", false},
		{"round", "edges", "", true}, {"square", "diagonals", "", true},
		{"square", "centre hole", "", false}, {"square", "centre hole", "extras: {centre hole: 8 mm}\n", true},
		{"square", "centre hole", "extras: {holes: [{diameter: 6 mm, circle: 520 mm, count: 3}]}\n", false},
		{"square", "centre hole", "extras: {centre hole: 8 mm, holes: [{diameter: 6 mm, circle: 520 mm, count: 3}]}\n", true},
		{"square", "apex", "", false}, {"square", "apex", "form: caul\n", true}, {"square", "apex", "form: caul\nzero: centre-bed\n", false},
		{"square", "corner", "setups: 4\nindex error: 0.1 mm, 0.05 deg\n", false}, {"square", "edges", "setups: 4\nindex error: 0.1 mm, 0.05 deg\n", false},
		{"square", "diagonals", "setups: 4\nindex error: 0.1 mm, 0.05 deg\n", true},
	} {
		require.Equal(t, tt.ok, accepted(with("blank", blanks[tt.blank])+"touch off: {on: "+tt.on+"}\n"+tt.more), "%+v", tt)
	}
	w := load(t, short+"touch off: {on: corner}\n").Work
	require.Equal(t, work.TouchOff{On: "corner"}, w.TouchOff)
	for block, ok := range map[string]bool{"0 mm": true, "200 mm": true, "201 mm": false, "-1 mm": false} {
		require.Equal(t, ok, accepted(short+"touch off: {on: corner, block: "+block+"}\n"), block)
	}
}

// What a blank is brought round by, where the job says nothing: a pin in a centre hole that goes
// through, else fences for sides that come to lie alike after each turn, else marks.
func TestIndexedByWhatThereIs(t *testing.T) {
	square, rectangle, round, octagon := "{size: 550 mm, thickness: 25 mm}", "{length: 550 mm, width: 560 mm, thickness: 25 mm}", "{diameter: 550 mm, thickness: 25 mm}", "{shape: octagon, size: 550 mm, thickness: 25 mm}"
	for _, tt := range []struct{ blank, setups, extras, by string }{
		{square, "2", "", work.ByFences}, {square, "4", "", work.ByFences}, {square, "auto", "", work.ByFences}, {square, "3", "", work.ByMarks}, {square, "6", "", work.ByMarks},
		{octagon, "4", "", work.ByFences}, {rectangle, "2", "", work.ByMarks}, {round, "4", "", work.ByMarks},
		{round, "4", "{centre hole: 8 mm}", work.ByPin}, {square, "3", "{centre hole: 8 mm}", work.ByPin},
		{square, "3", "{centre hole: {diameter: 8 mm, depth: 4 mm}}", work.ByMarks}, {square, "2", "{centre hole: {diameter: 8 mm, depth: 4 mm}}", work.ByFences},
	} {
		text := with("blank", tt.blank) + "setups: " + tt.setups + "\nindex error: 0.1 mm, 0.05 deg\n"
		if tt.extras != "" {
			text += "extras: " + tt.extras + "\n"
		}
		require.Equal(t, tt.by, load(t, text).Work.Setups.By, "%+v", tt)
	}
	e := load(t, short+"setups: 2\nindex error: 2 deg, height 0.3 mm, 5 mm\n").Work.Setups.Error
	require.Equal(t, [2]float64{5, 0.3}, [2]float64{e.Shift, e.Height})
	require.InDelta(t, 2*math.Pi/180, e.Turn, 1e-12)
	for text, ok := range map[string]bool{"5.1 mm, 2 deg": false, "5 mm, 2.1 deg": false, "5 mm, 1 deg, height 5 mm": true, "5 mm, 1 deg, height 2 deg": false, "0 mm, 0 deg": true} {
		require.Equal(t, ok, accepted(short+"setups: 2\nindex error: "+text+"\n"), text)
	}
}

// A pair is a dish and the caul that presses a plate into it: on the same centre, its radius
// less by the plate. Of a caul alone it is as much less.
func TestPairs(t *testing.T) {
	j := load(t, "form: pair\nradius: 25 ft\ndiameter: 300 mm\nplate: 3 mm\ncovering: 0.6 mm\nblank: {size: 600 mm, thickness: 25 mm}\nmachine: bench-600\nextras: {centre lines: 0.3 mm}\n")
	m := j.Mate
	require.NotNil(t, m)
	require.Equal(t, []any{"pair", "caul", 7620.0, 7617.0, 7617.0, 0.0, 0.6}, []any{j.Form.Word(), m.Form.Word(), j.Work.Wanted, m.Work.Wanted, m.Work.Face.Radius, m.Work.Covering, j.Work.Covering})
	require.Equal(t, [2]dish.Kind{dish.Hollow, dish.Crown}, [2]dish.Kind{j.Work.Face.Kind, m.Work.Face.Kind})
	require.Equal(t, [2]bool{false, true}, [2]bool{j.Work.Extras.Lines.Face, m.Work.Extras.Lines.Face}, "the caul is bare")
	require.Equal(t, [2]float64{7620, 7620}, [2]float64{j.Radius.MM, m.Radius.MM})
	caul := load(t, short+"form: caul\nplate: 3 mm\ncovering: 0.6 mm\n")
	require.Equal(t, []any{7617.0, 7620.0}, []any{caul.Work.Wanted, caul.Radius.MM})
	require.InDelta(t, 7616.4, caul.Work.Face.Radius, 1e-9)
}

// A covering is laid in 2 to 72 wedges or in strips, with half a millimetre at each seam or what is
// said; a board spans its length less the swing.
func TestLayoutsAndSpans(t *testing.T) {
	l := load(t, short+"covering: 0.6 mm\ncovering layout: {wedges: 8}\n").Layout
	require.Equal(t, &job.CoveringLayout{Wedges: 8, Gap: 0.5}, l)
	l = load(t, short+"covering: 0.6 mm\ncovering layout: {strips: 90 mm, gap: 1 mm}\n").Layout
	require.Equal(t, &job.CoveringLayout{Width: 90, Gap: 1}, l)
	for text, ok := range map[string]bool{"wedges: 2": true, "wedges: 1": false, "wedges: 72": true, "wedges: 73": false, "strips: 5 mm": true, "strips: 4 mm": false,
		"wedges: 8, strips: 90 mm": false, "gap: 1 mm": false, "wedges: 8, gap: 20 mm": true, "wedges: 8, gap: 21 mm": false} {
		require.Equal(t, ok, accepted(short+"covering: 0.6 mm\ncovering layout: {"+text+"}\n"), text)
	}
	require.False(t, accepted(short+"covering layout: {wedges: 8}\n"), "no covering")
	j := load(t, board)
	require.Equal(t, [2]float64{50, 350}, [2]float64{j.Swing, j.Spans})
	j = load(t, board+"swing: 80 mm\n")
	require.Equal(t, [2]float64{80, 320}, [2]float64{j.Swing, j.Spans})
	require.Equal(t, 380.0, load(t, board+"swing: 20 mm\nspans: 380 mm\n").Spans)
	require.False(t, accepted(board+"swing: 20 mm\nspans: 380.1 mm\n"))
	square := strings.Replace(board, "length: 500 mm, width: 160 mm", "size: 550 mm", 1)
	require.True(t, accepted(strings.Replace(square, "width: 80 mm", "width: 400 mm", 1)))
	require.False(t, accepted(strings.Replace(square, "width: 80 mm", "width: 401 mm", 1)), "wider than long")
}
