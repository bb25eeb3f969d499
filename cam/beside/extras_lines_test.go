package beside

import (
	"math"
	"strings"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// boardWork is a board of 300 by 90 in a blank with land all round.
func boardWork(long, wide float64) work.Work {
	w := given.Work(dish.Hollow, 4572, math.Hypot(300, 90)/2)
	w.Region = dish.Strip{Length: 300, Width: 90}
	w.Blank = dish.Blank{Shape: dish.Rectangle, Length: long, Width: wide, Thickness: 25}
	return w
}

// half is half the width of a line that the half-inch ball leaves 0.3 mm deep: half the chord
// of its circle, √(0.3 (12.7 − 0.3)) (a segment's, Machinery's Handbook, 31st ed., p. 79).
var half = math.Sqrt(0.3 * (12.7 - 0.3))

// Lines on the land begin where nothing else is ever cut, the line's own width included, a
// millimetre kept: beside a board half the widest cutter, of a dish the rim, of a crown its
// moat. They run over the blank's edge by the cutter's radius and half a millimetre, so that
// they show on it, as far as the machine travels and the slot of a cut-out lets them; none shorter
// than a millimetre.
func TestCentreLinesOnTheLand(t *testing.T) {
	slot := func(w *work.Work) {
		w.Extras.CutOuts = []work.CutOutWanted{{Name: "the board", Line: []r2.Vec{{X: -190, Y: -80}, {X: 190, Y: -80}, {X: 190, Y: 80}, {X: -190, Y: 80}}, Chord: 0.01, Tabs: []r2.Vec{{Y: -80}, {X: 190}, {Y: 80}}, TabLength: 8, TabHeight: 3}}
		w.Shelf = append(w.Shelf, path.Cutter{Name: "long flat", Shape: path.Flat, Diameter: 6.35, Flutes: 2, FluteLength: 30, Shank: 6.35,
			StickOut: 45, Speed: 16000, FastestSpeed: 16000, ChipLoad: 0.05, DepthOfCut: 3, Core: 1.9, Ramp: 3 * math.Pi / 180})
	}
	const beyond = 12.7/2 + 0.5
	crown := given.Work(dish.Crown, 4572, 100)
	for _, tt := range []struct {
		name   string
		w      work.Work
		change func(*work.Work)
		x, y   [2]float64 // from and to along either axis; none where both are 0
	}{
		{"board", boardWork(440, 190), nil, [2]float64{150 + 31.75/2 + 1, 220 + beyond}, [2]float64{45 + 31.75/2 + 1, 95 + beyond}},
		{"board, named cutters", boardWork(440, 190), func(w *work.Work) { w.Rough, w.Finish = "half-inch flat", "half-inch ball" },
			[2]float64{150 + 6.35 + 1, 220 + beyond}, [2]float64{45 + 6.35 + 1, 95 + beyond}},
		{"board, little land across", boardWork(440, 108), nil, [2]float64{150 + 31.75/2 + 1, 220 + beyond}, [2]float64{}},
		{"board, a line too short", boardWork(440, 2*(45+31.75/2+1+half+0.95-beyond)), nil, [2]float64{150 + 31.75/2 + 1, 220 + beyond}, [2]float64{}},
		{"board, a short line", boardWork(440, 2*(45+31.75/2+1+half+1.05-beyond)), nil, [2]float64{150 + 31.75/2 + 1, 220 + beyond}, [2]float64{45 + 31.75/2 + 1, 45 + 31.75/2 + 1 + half + 1.05}},
		{"board, cut out", boardWork(440, 190), slot, [2]float64{150 + 31.75/2 + 1, 191}, [2]float64{45 + 31.75/2 + 1, 81}},
		{"board, little travel", boardWork(440, 190), func(w *work.Work) { w.Machine.Travel.X, w.Machine.Travel.Y = 444, 202 },
			[2]float64{150 + 31.75/2 + 1, 222}, [2]float64{45 + 31.75/2 + 1, 101}},
		{"dish", given.Work(dish.Hollow, 4572, 100), nil, [2]float64{101, 150 + beyond}, [2]float64{101, 150 + beyond}},
		{"crown", crown, nil, [2]float64{pass.GroundOf(&crown).LandFrom(work.Whole(&crown), r2.Vec{X: 1}), 150 + beyond}, [2]float64{pass.GroundOf(&crown).LandFrom(work.Whole(&crown), r2.Vec{X: 1}), 150 + beyond}},
	} {
		w := tt.w
		w.Extras.Lines = &work.LinesWanted{Key: "extras/centre lines", Depth: 0.3, Cutter: "half-inch ball"}
		if tt.change != nil {
			tt.change(&w)
		}
		out, err := Make(&w)
		require.NoError(t, err, tt.name)
		var want, got [][4]float64
		for _, d := range []r2.Vec{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
			span := tt.x
			if d.X == 0 {
				span = tt.y
			}
			if from, to := span[0]+half, span[1]; to > 0 {
				want = append(want, [4]float64{d.X * from, d.Y * from, d.X * to, d.Y * to})
			}
		}
		for _, g := range out.Set.Grooves {
			require.Len(t, g.Path, 2)
			a, b := g.Path[0], g.Path[1]
			require.Equal(t, [2]float64{-0.3, -0.3}, [2]float64{a.Z, b.Z})
			require.InDelta(t, 2*half, g.Width, 0.01, "of the groove, rounded up")
			require.GreaterOrEqual(t, g.Width, 2*half)
			got = append(got, [4]float64{a.X, a.Y, b.X, b.Y})
		}
		require.Len(t, got, len(want), tt.name)
		for i := range want {
			require.InDeltaSlice(t, want[i][:], got[i][:], 1e-4, tt.name) // places that can be written
		}
	}
	// No land at all is said, where a cutter is named for the lines.
	w := boardWork(320, 96)
	w.Extras.Lines = &work.LinesWanted{Key: "extras/centre lines", Depth: 0.3, Cutter: "half-inch ball"}
	_, err := Make(&w)
	require.ErrorContains(t, err, "no land")
}

// Lines over the face lie as deep below it as they are asked for all the way: their chords
// leave the way of the tip by a hundredth of a millimetre at most, and run from side to side,
// in a hollow to where the cutter's own side comes to the land. The tip of a ball of radius r
// at d from the apex stands at R − r − √((R − r)² − d²) over a hollow's apex, under a crown's at
// √((R + r)² − d²) − R − r (own derivation: its middle runs on a sphere).
func TestCentreLinesOverTheFace(t *testing.T) {
	const r, depth = 6.35, 0.3
	for _, board := range []bool{false, true} {
		for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
			const R = 900.0
			w := given.Work(kind, R, 100)
			side := r2.Vec{X: 100, Y: 100}
			if board {
				w = boardWork(440, 190)
				w.Face, side = given.Sphere(kind, R, w.Face.Rim), r2.Vec{X: 150, Y: 45}
			}
			w.Extras.Lines = &work.LinesWanted{Key: "extras/centre lines", Depth: depth, Face: true, Cutter: "half-inch ball"}
			out, err := Make(&w)
			require.NoError(t, err)
			over := 0
			for _, g := range out.Set.Grooves {
				if len(g.Path) == 2 {
					continue
				}
				end := side.X
				if g.Path[0].X == 0 {
					end = side.Y
				}
				if kind == dish.Hollow {
					end -= r
				}
				a, b := g.Path[0], g.Path[len(g.Path)-1]
				require.InDelta(t, -end, a.X+a.Y, 1e-4)
				require.InDelta(t, end, b.X+b.Y, 1e-4)
				most := 0.0
				for i := 1; i < len(g.Path); i++ {
					p, q := g.Path[i-1], g.Path[i]
					for s := 0.0; s <= 1; s += 0.125 {
						d := math.Abs(p.X + p.Y + s*(q.X+q.Y-p.X-p.Y))
						z := R - r - math.Sqrt((R-r)*(R-r)-d*d) - w.Face.Sagitta()
						if kind == dish.Crown {
							z = math.Sqrt((R+r)*(R+r)-d*d) - R - r
						}
						most = max(most, math.Abs(p.Z+s*(q.Z-p.Z)-(z-depth)))
					}
				}
				require.LessOrEqual(t, most, 0.01+1e-4)
				require.Greater(t, most, 0.004, "in no more pieces than that takes")
				over++
			}
			require.Equal(t, 2, over)
		}
	}
}

// Each program has one cutter, and all that one cutter makes one after another is one program:
// lines first, holes, and what cuts loose last.
func TestOneCutterAProgram(t *testing.T) {
	thin := given.HalfFlat
	thin.Name, thin.Diameter, thin.FluteLength, thin.StickOut, thin.Shank, thin.Core = "thin flat", 6.35, 30, 45, 6.35, 1.9
	for holes, want := range map[string][]string{
		"thin flat":      {"half-inch ball: the centre lines", "thin flat: the centre hole, the cut-out"},
		"half-inch flat": {"half-inch ball: the centre lines", "half-inch flat: the centre hole", "thin flat: the cut-out"},
	} {
		w := given.Work(dish.Hollow, 4572, 100)
		w.Shelf = append(w.Shelf, thin)
		w.Extras = work.Extras{Lines: &work.LinesWanted{Key: "extras/centre lines", Depth: 0.3, Cutter: "half-inch ball"},
			Holes: []work.HoleWanted{{Name: "the centre hole", Key: "extras/centre hole", Diameter: 20, Depth: 5, Cutter: holes}},
			CutOuts: []work.CutOutWanted{{Name: "the cut-out", Key: "extras/cut out", Cutter: "thin flat", Line: []r2.Vec{{X: 120, Y: -120}, {X: 120, Y: 120}, {X: -120, Y: 120}, {X: -120, Y: -120}},
				Chord: 0.01, Tabs: []r2.Vec{{X: 120}, {X: -120}}, TabLength: 9, TabHeight: 3}}}
		out, err := Make(&w)
		require.NoError(t, err)
		var got []string
		for _, p := range out.Programs {
			said := p.Cutter.Name + ": "
			for i, s := range p.Sections {
				if i > 0 {
					said += ", "
				}
				title, _, _ := strings.Cut(s.Pattern.String(), ",")
				said += title
				require.Equal(t, w.Clearance(), s.Moves[len(s.Moves)-1].To.Z)
			}
			got = append(got, said)
		}
		require.Equal(t, want, got)
	}
}

// A stroke too short for a way down is the refusal of a cutter with a blunt middle, and none
// of a ball.
func TestADotIsNoRamp(t *testing.T) {
	for name, want := range map[string]bool{"thin flat": true, "half-inch ball": false} {
		w, thin := given.Work(dish.Hollow, 4572, 100), given.HalfFlat
		thin.Name, thin.Diameter, thin.Core = "thin flat", 3, 1
		w.Shelf = append(w.Shelf, thin)
		w.Extras.Letters = []work.LettersWanted{{Name: "the dot", Group: "the letters", Key: "engrave", Strokes: [][]r2.Vec{{{X: 120}, {X: 120.2}}}, Depth: 0.3, Widest: 5, Cutter: name}}
		_, err := Make(&w)
		require.Equal(t, want, work.KindRamp.In(err), "%s: %v", name, err)
	}
}
