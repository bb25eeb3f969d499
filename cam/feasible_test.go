package cam

import (
	"math"
	"strings"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// One case for each rule, each the usual work with one thing wrong: the rule
// answers with its key, alone, and says what would be right.
func TestFeasible(t *testing.T) {
	tests := []struct {
		name  string
		kind  work.Kind
		key   work.Key
		spoil func(w *work.Work)
	}{
		{"face wider than its blank", work.KindSize, "diameter", func(w *work.Work) { w.Blank.Width = 300; w.Blank.Shape = dish.Rectangle; w.ZeroAtBed = true }},
		{"blank too long for the uprights", work.KindRoom, "blank/length", func(w *work.Work) {
			w.Blank.Shape, w.Blank.Length, w.Machine.BetweenUprights = dish.Rectangle, 640, 639.9
		}},
		{"square between the uprights", work.KindRoom, "blank/size", func(w *work.Work) { w.Machine.BetweenUprights = 499 }},
		{"face beyond X", work.KindTravel, "machine", func(w *work.Work) { w.Machine.Travel.X = 387 }},
		{"face beyond Y", work.KindTravel, "machine", func(w *work.Work) { w.Blank.Shape = dish.Round; w.Machine.Travel.Y = 387 }},
		{"corner out of reach", work.KindRoom, "touch off/on", func(w *work.Work) { w.TouchOff.On, w.Machine.Travel.Y = work.TouchCorner, 512 }},
		{"sides out of reach of a block", work.KindRoom, "touch off/on", func(w *work.Work) { w.TouchOff = work.TouchOff{On: work.TouchEdges, Block: 55}; w.ZeroAtBed = true }},
		{"no floor left", work.KindThickness, "blank/thickness", func(w *work.Work) { w.Floor = 13 }},
		{"beyond Z", work.KindRoom, "blank/thickness", func(w *work.Work) { w.Machine.Travel.Z = 20 }},
		{"beyond Z for a clamp", work.KindRoom, "blank/thickness", func(w *work.Work) {
			w.HoldDowns = []path.Obstacle{{X: 238, Y: 238, Radius: 8, Height: 75}}
		}},
		{"under the gantry", work.KindRoom, "blank/thickness", func(w *work.Work) { w.Machine.UnderGantry = 16 }},
		{"no land to touch", work.KindLand, "zero", func(w *work.Work) { w.Blank.Shape = dish.Round; w.Blank.Length, w.Blank.Width = 403, 403 }},
		{"hold-down on the face", work.KindHoldDown, "hold downs/0", func(w *work.Work) { w.HoldDowns = []path.Obstacle{{X: 150, Y: 120, Radius: 10, Height: 5}} }},
		{"hold-down off the blank", work.KindHoldDown, "hold downs/1", func(w *work.Work) {
			w.HoldDowns = []path.Obstacle{{X: 238, Y: 238, Radius: 8, Height: 5}, {X: 300, Y: 0, Radius: 8, Height: 5}}
		}},
		{"unknown pattern", work.KindPattern, "pattern", func(w *work.Work) { w.Pattern = "stars" }},
		{"a bowl", work.KindSize, "radius", func(w *work.Work) {
			w.CutAll(given.Sphere(dish.Hollow, 390, 200))
			w.Blank.Thickness, w.Machine.Travel.Z = 80, 200
			for i := range w.Shelf {
				w.Shelf[i].FluteLength, w.Shelf[i].StickOut = 80, 90
			}
		}},
		{"finishing alone bites too deep", work.KindBite, "rough", func(w *work.Work) { w.Rough = ""; w.CutAll(given.Sphere(dish.Hollow, 4572, 200)) }},
		{"spindle too fast", work.KindCutter, "shelf/half-inch ball/speed", func(w *work.Work) { w.Shelf[0].Speed = 7000 }},
		{"cutter too fast", work.KindCutter, "shelf/half-inch ball/speed", func(w *work.Work) { w.Shelf[0].FastestSpeed = 7000 }},
		{"cutter wider than the face", work.KindCutter, "shelf/half-inch ball/diameter", func(w *work.Work) { w.Shelf[0].Diameter = 400 }},
		{"depth of cut beyond the flutes", work.KindCutter, "shelf/half-inch ball/flute length", func(w *work.Work) { w.Shelf[0].DepthOfCut = 26 }},
		{"shank rubs on the wall", work.KindCutter, "shelf/half-inch ball/flute length", func(w *work.Work) {
			w.Shelf[0].FluteLength, w.Shelf[0].Diameter = 4, 6
		}},
		{"no collet", work.KindCutter, "shelf/half-inch ball/shank", func(w *work.Work) { w.Shelf[0].Shank = 10 }},
		{"holder comes down", work.KindCutter, "shelf/half-inch ball/stick out", func(w *work.Work) { w.Shelf[0].StickOut = 6 }},
		{"hood comes down", work.KindRoom, "machine", func(w *work.Work) { w.Machine.Hood = &machines.Hood{Diameter: 100, AboveTip: 4} }},
		{"allowance within the zero's error", work.KindBite, "allowance", func(w *work.Work) { w.ZeroError = 0.5 }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := given.Work(dish.Hollow, 4572, 200)
			w.Shelf = []path.Cutter{given.HalfBall, given.InchFlat}
			w.Rough, w.Finish = given.HalfBall.Name, given.HalfBall.Name
			require.Empty(t, Feasible(work.Whole(&w)), "the work before it is spoilt")
			tt.spoil(&w)
			ps := Feasible(work.Whole(&w))
			require.Len(t, ps, 1, "%v", ps)
			require.Equal(t, tt.kind, ps[0].Kind)
			require.Equal(t, tt.key, ps[0].Key)
			require.NotEmpty(t, ps[0].Message.String())
			require.NotEmpty(t, ps[0].Hint.String())
			require.True(t, strings.HasPrefix(ps.Error(), string(tt.key)+": "+ps[0].Message.String()+"\n  hint: "), ps.Error())
			require.True(t, strings.HasSuffix(ps.Error(), ps[0].Hint.String()), ps.Error())
			if _, err := Make(work.Whole(&w)); tt.key != "pattern" {
				require.Equal(t, ps, err, "Make refuses for the same reason")
			}
		})
	}
}

// What can be known only while planning is refused with a key too.
func TestRefusedWhilePlanning(t *testing.T) {
	tests := []struct {
		name  string
		kind  work.Kind
		key   work.Key
		spoil func(w *work.Work)
	}{
		{"over a million moves", work.KindMoves, "scallop", func(w *work.Work) {
			w.CutAll(given.Sphere(dish.Hollow, 4572, 280))
			w.Blank.Length, w.Blank.Width = 620, 620
			w.Scallop, w.Shelf[0].Diameter, w.Blank.Thickness = work.LeastScallop, 0.5, 30
		}},
		{"a flat that bridges the apex", work.KindScallop, "scallop", func(w *work.Work) {
			w.CutAll(given.Sphere(dish.Hollow, 500, 60))
			w.Finish, w.Scallop = given.InchFlat.Name, 0.1
			w.Blank.Thickness = 30
		}},
		{"allowance more than finishing may bite", work.KindBite, "allowance", func(w *work.Work) { w.Allowance = 2.9 }},
		{"roughing in films", work.KindBite, "shelf/half-inch ball/depth of cut", func(w *work.Work) { w.Shelf[0].DepthOfCut = 0.3; w.Allowance = 0.06; w.ZeroError = 0 }},
		{"spokes too near for their turns", work.KindRamp, "pattern", func(w *work.Work) {
			w.CutAll(given.Sphere(dish.Hollow, 235.7, 13.5))
			w.Blank.Length, w.Blank.Width = 46.6, 46.6
			w.Pattern, w.Scallop, w.Shelf = "spokes", 0.058, []path.Cutter{given.HalfFlat}
			w.Shelf[0].Diameter, w.Shelf[0].Core, w.Shelf[0].Shank = 5.4472, 1.63, 6.35
			w.Rough, w.Finish = given.HalfFlat.Name, given.HalfFlat.Name
		}},
		{"a clamp in the way", work.KindHoldDown, "hold downs/0", func(w *work.Work) { w.HoldDowns = []path.Obstacle{{X: 205, Y: 0, Radius: 4, Height: 6}} }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := given.Work(dish.Hollow, 4572, 200)
			w.Shelf = []path.Cutter{given.HalfBall, given.InchFlat}
			w.Rough, w.Finish = given.HalfBall.Name, given.HalfBall.Name
			tt.spoil(&w)
			_, err := Make(work.Whole(&w))
			var ps work.Problems
			require.ErrorAs(t, err, &ps)
			require.Len(t, ps, 1, "%v", ps)
			require.Equal(t, tt.kind, ps[0].Kind, "%v", ps)
			require.Equal(t, tt.key, ps[0].Key, "%v", ps)
			require.NotEmpty(t, ps[0].Hint.String())
		})
	}
}

// TouchPlace gives land: a circle of it lies on the blank, off the face (and off
// a crown's moat), and off every hold-down.
func TestTouchPlaceIsLand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyLand(t)
		x, y, ok := TouchPlace(work.Whole(&w))
		if !ok {
			return
		}
		const half = work.TouchLand / 2
		require.GreaterOrEqual(t, w.Blank.Inside(x, y), half-1e-9)
		require.GreaterOrEqual(t, math.Hypot(x, y)-outer(work.Whole(&w)), half-1e-9)
		for _, h := range w.HoldDowns {
			require.GreaterOrEqual(t, math.Hypot(x-h.X, y-h.Y)-h.Radius, half-1e-9)
		}
	})
}

// anyLand draws a work with more or less land round its face.
func anyLand(t *rapid.T) work.Work {
	w := given.Work(rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind"), 4572, rapid.Float64Range(30, 90).Draw(t, "rim"))
	b := &w.Blank
	b.Shape = rapid.SampledFrom([]dish.BlankShape{dish.Square, dish.Rectangle, dish.Round, dish.Octagon}).Draw(t, "outline")
	b.Length = 2*w.Face.Rim + rapid.Float64Range(0, 150).Draw(t, "land")
	b.Width = b.Length
	if b.Shape == dish.Rectangle {
		b.Width = 2*w.Face.Rim + rapid.Float64Range(0, 150).Draw(t, "land across")
	}
	w.Shelf = []path.Cutter{given.HalfBall, given.HalfFlat}
	w.Rough, w.Finish = given.HalfFlat.Name, given.HalfBall.Name
	for range rapid.IntRange(0, 4).Draw(t, "hold-downs") {
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		d := w.Face.Rim + rapid.Float64Range(20, 100).Draw(t, "out")
		w.HoldDowns = append(w.HoldDowns, path.Obstacle{X: d * math.Cos(turn), Y: d * math.Sin(turn), Radius: rapid.Float64Range(2, 12).Draw(t, "radius"), Height: 6})
	}
	return w
}

// Where the plan says that the blank can be held down, it can: a hold-down as
// large as the circle that is given lies on the blank and no move comes near it.
func TestHoldPlacesAreFree(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		w := anyLand(t)
		w.HoldDowns, w.ZeroAtBed, w.Scallop = nil, true, 0.5
		w.Machine.Travel = r3.Vec{X: 2000, Y: 2000, Z: 200}
		p, err := Make(work.Whole(&w))
		if err != nil {
			require.Empty(t, withoutBlank(Feasible(work.Whole(&w))), "%v", err)
			return
		}
		places := HoldPlaces(work.Whole(&w), p.Programs)
		for _, place := range places {
			found++
			require.GreaterOrEqual(t, place.Radius, leastHold)
			require.GreaterOrEqual(t, w.Blank.Inside(place.X, place.Y), place.Radius-1e-9)
			w.HoldDowns = append(w.HoldDowns, path.Obstacle{X: place.X, Y: place.Y, Radius: place.Radius, Height: 3})
		}
		require.Empty(t, work.NearHoldDowns(work.Whole(&w), p.Programs))
		require.Empty(t, holdDownProblems(work.Whole(&w)))
		// A second way: no point of any move comes within the two together.
		for _, pr := range p.Programs {
			for _, s := range pr.Sections {
				for _, m := range s.Moves {
					for k := range 5 {
						at := m.At(float64(k) / 4)
						for _, h := range w.HoldDowns {
							require.False(t, math.Hypot(at.X-h.X, at.Y-h.Y) < pr.Cutter.Radius()+h.Radius+work.NearSide-1e-9, "%+v near %+v", m, h)
						}
					}
				}
			}
		}
	})
	require.Positive(t, found, "no blank had room: the test looks at nothing")
}

// withoutBlank drops what is said of the blank's own size.
func withoutBlank(p work.Problems) (left work.Problems) {
	for _, one := range p {
		if one.Key != work.KeyDiameter && one.Key != work.KeyThickness && one.Key != work.KeyZero {
			left = append(left, one)
		}
	}
	return left
}

// The hold-downs that something comes near to: by cutter, holder and hood, over
// what they do and do not pass.
func TestNearHoldDowns(t *testing.T) {
	w := given.Work(dish.Hollow, 4572, 200)
	w.Machine.Holder = machines.Holder{Diameter: 32, Length: 40}
	line := func(z float64) []work.Program {
		m := path.Move{Kind: path.Line, From: r3.Vec{X: -100, Z: z}, To: r3.Vec{X: 100, Z: z}}
		return []work.Program{{Cutter: given.HalfFlat, Sections: []work.Section{{Moves: []path.Move{m}}}}}
	}
	tests := []struct {
		name string
		h    path.Obstacle
		z    float64
		hood bool
		near bool
	}{
		{"beside the cutter", path.Obstacle{X: 0, Y: 13, Radius: 5, Height: 4}, -1, false, true},
		{"just far enough", path.Obstacle{X: 0, Y: 6.35 + 5 + 2.001, Radius: 5, Height: 4}, -1, false, false},
		{"just not", path.Obstacle{X: 0, Y: 6.35 + 5 + 1.999, Radius: 5, Height: 4}, -1, false, true},
		{"beyond the end, far enough", path.Obstacle{X: 113.36, Y: 0, Radius: 5, Height: 4}, -1, false, false},
		{"beyond the end, near", path.Obstacle{X: 113.34, Y: 0, Radius: 5, Height: 4}, -1, false, true},
		{"passed over", path.Obstacle{X: 0, Y: 0, Radius: 5, Height: 4}, 6, false, false},
		{"passed over too low", path.Obstacle{X: 0, Y: 0, Radius: 5, Height: 4}, 5.9, false, true},
		{"a post beside the holder", path.Obstacle{X: 0, Y: 18, Radius: 2, Height: 40}, -1, false, true},
		{"lower than the holder", path.Obstacle{X: 0, Y: 18, Radius: 2, Height: 30}, -1, false, false},
		{"under the hood", path.Obstacle{X: 0, Y: 50, Radius: 5, Height: 8}, -1, true, true},
		{"far below the hood", path.Obstacle{X: 0, Y: 50, Radius: 5, Height: 5}, -1, true, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := w
			if tt.hood {
				w.Machine.Hood = &machines.Hood{Diameter: 100, AboveTip: 10}
			}
			w.HoldDowns = []path.Obstacle{{X: 2000, Radius: 5, Height: 4}, tt.h}
			ps := work.NearHoldDowns(work.Whole(&w), line(tt.z))
			if !tt.near {
				require.Empty(t, ps)
				return
			}
			require.Len(t, ps, 1)
			require.Equal(t, work.HoldDownKey(1), ps[0].Key)
			require.NotEmpty(t, ps[0].Hint.String())
		})
	}
}

// A finer scallop never takes fewer passes, wider steps or a shorter way; the
// job's own has the share 1.
func TestChoices(t *testing.T) {
	for _, c := range []path.Cutter{given.HalfBall, given.InchFlat, given.BigBull} {
		for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
			w := given.Work(kind, 4572, 100)
			table := Choices(work.Whole(&w), c)
			require.GreaterOrEqual(t, len(table), 4)
			own := 0
			for i, one := range table {
				require.GreaterOrEqual(t, one.Scallop, work.LeastScallop)
				if one.Scallop == w.Scallop {
					own++
					require.Equal(t, 1.0, one.Share)
				}
				require.InDelta(t, one.Share, one.Length/table[i].Length*one.Share, 1e-12)
				if i == 0 {
					continue
				}
				require.Greater(t, one.Scallop, table[i-1].Scallop)
				require.GreaterOrEqual(t, one.Step, table[i-1].Step)
				require.LessOrEqual(t, one.Passes, table[i-1].Passes)
				require.LessOrEqual(t, one.Length, table[i-1].Length)
				require.LessOrEqual(t, one.Share, table[i-1].Share)
			}
			require.Equal(t, 1, own)
		}
	}
	w := given.Work(dish.Hollow, 4572, 200)
	w.Scallop = 0.012
	require.InDelta(t, 0.006, Choices(work.Whole(&w), given.HalfBall)[0].Scallop, 1e-12, "a quarter of it is less than may be asked for")
}
