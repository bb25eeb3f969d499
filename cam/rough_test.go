package cam_test

import (
	"fmt"
	"math"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// shallow and steep faces, hollow and crown, roughed with each shape of cutter.
func roughings() (works []work.Work) {
	for _, f := range []dish.Face{given.Sphere(dish.Hollow, 3000, 110), given.Sphere(dish.Crown, 3000, 110),
		given.Sphere(dish.Hollow, 400, 60), given.Sphere(dish.Crown, 400, 60)} {
		for _, c := range []path.Cutter{given.HalfBall, given.InchFlat, given.BigBull} {
			w := given.Work(f.Kind, f.Radius, f.Rim)
			w.Blank.Length, w.Blank.Width = 2*f.Rim+160, 2*f.Rim+160
			w.Rough, w.Finish = c.Name, given.HalfBall.Name
			works = append(works, w)
		}
	}
	return works
}

// lowestUnder returns what the moves leave at (x, y) of stock that stood at 0: the
// lowest underside of the cutter at places of the path half a millimetre apart.
func lowestUnder(c path.Cutter, moves []path.Move, x, y float64) float64 {
	low := 0.0
	for _, m := range moves {
		if m.Kind == path.Traverse {
			continue
		}
		n := int(2*m.Length()) + 1
		for k := range n {
			p := r3.Add(m.From, r3.Scale(float64(k)/float64(n), r3.Sub(m.To, m.From)))
			if dx, dy := p.X-x, p.Y-y; p.Z < low && dx*dx+dy*dy <= c.Radius()*c.Radius() {
				low = math.Min(low, p.Z+c.Body().Profile(math.Hypot(dx, dy)))
			}
		}
	}
	return low
}

func TestRoughing(t *testing.T) {
	t.Parallel()
	for _, w := range roughings() {
		if !chance.Long() && (w.Face.Falls()) != (w.Rough == given.BigBull.Name) && w.Rough != given.InchFlat.Name {
			continue // the other kind of face with this cutter is much the same
		}
		t.Run(fmt.Sprintf("%s of %g with %s", w.Face.Kind, w.Face.Radius, w.Rough), func(t *testing.T) {
			p, err := cam.Make(work.Whole(&w))
			require.NoError(t, err)
			rough := p.Programs[0]
			require.Equal(t, work.Roughing, rough.Sections[0].Purpose)
			moves := rough.Sections[0].Moves
			given.RequireMoves(t, w, moves)

			s := proof.NewStock(w.Blank, 1)
			s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
			before := s.Clone()
			rep := s.RunOnMachine(w.Machine, rough.Cutter, moves)
			require.LessOrEqual(t, rep.Depth, rough.Cutter.DepthOfCut)
			require.Positive(t, rep.Depth)
			require.Empty(t, rep.Traverses)
			require.Empty(t, rep.Contacts)
			require.LessOrEqual(t, rep.Steepest, rough.Cutter.Ramp)

			// Nothing of the face is taken, and no more is left than the plan says.
			worst, _ := proof.DeepestGouge(w.Face, []proof.Cut{{Cutter: rough.Cutter, Moves: moves}})
			// (The chords of its rounds leave the circle by 0.02 mm, and those of the
			// ways between two rounds a little more, on a slope.)
			require.LessOrEqual(t, worst.Amount, -w.Allowance+0.05*math.Tan(s.Slope)+0.0005)
			keep, most := s.Slack(s.Slope), 0.0
			if w.Face.Rim < 100 { // short enough to look at every place of the path
				keep = 0.005
			}
			for k := range 200 { // a sunflower's places, the apex and one of the rim
				d, turn := w.Face.Rim*math.Sqrt(float64(k)/199), float64(k)*math.Pi*(3-math.Sqrt(5))
				x, y := d*math.Cos(turn), d*math.Sin(turn)
				z := s.Height(x, y)
				if w.Face.Rim < 100 {
					z = lowestUnder(rough.Cutter, moves, x, y)
				}
				most = math.Max(most, w.Face.Over(d, z))
			}
			require.LessOrEqual(t, most, p.Left+keep)
			require.Greater(t, most, w.Allowance-0.001)

			// No path where nothing stands: most of the cutting way takes wood away.
			// What takes none closes a round or goes down the last of a ramp.
			way, idle := 0.0, 0.0
			for _, m := range moves {
				b := before.Cut(rough.Cutter, m)
				if m.Kind == path.Traverse {
					continue
				}
				way += m.Length()
				if b.Volume <= 0 {
					idle += m.Length()
				}
			}
			require.Less(t, idle, 0.1*way)
		})
	}
}

// Every way down into wood is a ramp: no move of roughing goes down steeper than
// the cutter may, but in the air above what stands.
func TestRoughingNeverPlunges(t *testing.T) {
	for _, w := range roughings() {
		p, err := cam.Make(work.Whole(&w))
		require.NoError(t, err)
		c := p.Programs[0].Cutter
		level := 0.0 // what stands is nowhere above the blank's top
		for _, m := range p.Programs[0].Sections[0].Moves {
			d := r3.Sub(m.To, m.From)
			if m.Kind == path.Traverse || d.Z >= 0 || m.To.Z >= level {
				continue
			}
			slope := math.Atan2(-d.Z, math.Hypot(d.X, d.Y))
			if slope <= c.Ramp {
				continue
			}
			// The short step from a traverse to where the ramp begins lies in the air
			// of a layer that is cut already.
			require.LessOrEqual(t, -d.Z, 1.2, "%s: %+v", c.Name, m)
		}
	}
}

// Where no more stands than the allowance, there is nothing to rough.
func TestNothingToRough(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
		w := given.Work(kind, 7620, 70) // 0.32 mm deep
		p, err := cam.Make(given.Named(w, given.InchFlat.Name, given.HalfFlat.Name))
		require.NoError(t, err)
		require.Len(t, p.Programs, 1)
		require.Equal(t, work.Finishing, p.Programs[0].Purpose())
		require.InDelta(t, 0.3215, p.Left, 1e-4, "what stands is the depth of the face")
	}
}

// A finishing cutter wider than the roughing cutter meets no wall of the moat: it
// bites there no more than elsewhere.
func TestMoatIsWideEnough(t *testing.T) {
	t.Parallel()
	for _, rough := range []path.Cutter{given.HalfBall, given.HalfFlat, given.BigBull} {
		for _, finish := range []path.Cutter{given.HalfBall, given.InchFlat, given.BigBull} {
			w := given.Work(dish.Crown, 600, 55)
			w.Scallop, w.ZeroAtBed, w.Machine.Arcs = 0.5, true, true
			p, err := cam.Make(given.Named(w, rough.Name, finish.Name))
			require.NoError(t, err)
			s := proof.NewStock(w.Blank, 0.8)
			s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
			for _, c := range cutsOf(p) {
				rep := s.RunOnMachine(w.Machine, c.Cutter, c.Moves)
				require.LessOrEqual(t, rep.Depth, c.Cutter.DepthOfCut, "%s after %s: %+v", finish.Name, rough.Name, rep)
				require.Empty(t, rep.Contacts)
			}
		}
	}
}
