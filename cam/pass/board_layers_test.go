package pass

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Roughing of a board takes nothing of the allowance anywhere, and along its passes leaves at
// most a hundredth of a millimetre more than a layer or the allowance, for its chords: against
// the tip's height in closed form, R − c − √((R − c)² − (d + f)²) over the apex with d the distance
// from it, or of a cylinder the distance along the board (own derivation: the corner's middle
// runs f aside of the axis on a sphere R − c).
func TestRoughingOfABoard(t *testing.T) {
	const R, allowance = 2000.0, 0.4
	for _, c := range []path.Cutter{given.HalfFlat, given.BigBull, given.HalfBall} {
		for _, cylinder := range []bool{false, true} {
			w := given.Work(dish.Hollow, R, math.Hypot(300, 60)/2)
			w.Region, w.Blank = dish.Strip{Length: 300, Width: 60}, dish.Blank{Shape: dish.Rectangle, Length: 440, Width: 160, Thickness: 30}
			w.Face.Cylinder, w.Scallop = cylinder, 0.3
			s, left, err := roughed(board{}.layers(work.Whole(&w), c, given.HalfBall))
			require.NoError(t, err)
			require.GreaterOrEqual(t, left, allowance)
			sagitta, f, k := R-math.Sqrt(R*R-90000/4-3600/4), c.Body().Flat, c.Body().Corner
			require.InDelta(t, w.Face.Sagitta(), sagitta, 1e-9)
			height := func(x, y float64) float64 {
				d := math.Hypot(x, y)
				if cylinder {
					d = math.Abs(x)
				}
				return R - k - math.Sqrt((R-k)*(R-k)-(d+f)*(d+f)) - sagitta + allowance
			}
			total := -height(0, 0)
			depth := total / math.Ceil(total/(c.DepthOfCut-work.BiteMargin-(left-allowance)))
			most, deepest, passes := 0.0, 0.0, map[float64]bool{}
			var run []path.Move // from one lift to the next: of one layer
			for _, m := range append(s.Moves, path.Move{Kind: path.Traverse}) {
				if m.Kind != path.Traverse {
					run = append(run, m)
					continue
				}
				low := 0.0
				for _, m := range run {
					low = min(low, m.To.Z)
				}
				level := -math.Round(-low/depth) * depth
				onCurve := func(x, y, z float64) bool { return z-max(level, height(x, y)) < 2e-4 }
				for _, m := range run {
					pass := m.From.Y == m.To.Y && onCurve(m.From.X, m.From.Y, m.From.Z) && onCurve(m.To.X, m.To.Y, m.To.Z)
					for i := range 9 {
						p := m.At(float64(i) / 8)
						require.GreaterOrEqual(t, p.Z, max(level, height(p.X, p.Y))-1e-6, "%s at %v", c.Name, p)
						if pass {
							most = max(most, lowestAlong(run, p)-max(level, height(p.X, p.Y)))
							passes[p.Y] = true
						}
					}
				}
				deepest, run = min(deepest, low), nil
			}
			middle := math.Inf(1) // the pass that runs nearest to it
			for y := range passes {
				middle = min(middle, math.Abs(y))
			}
			require.InDelta(t, height(0, middle), deepest, 0.011, "down to the face, but for a chord")
			// A chord over the place where the face comes up through the layer is looked at up to
			// a quarter of it aside, where it stands three quarters as high.
			require.LessOrEqual(t, most, 0.01*4/3+2e-4)
			require.Greater(t, most, 0.004)
			require.Greater(t, len(passes), 2)
		}
	}
}

// lowestAlong returns how low any move along X comes at a place: a link may cross over a pass.
func lowestAlong(run []path.Move, p r3.Vec) float64 {
	low := p.Z
	for _, m := range run {
		if d := m.To.X - m.From.X; m.From.Y == p.Y && m.To.Y == p.Y && d != 0 {
			if t := (p.X - m.From.X) / d; t >= 0 && t <= 1 {
				low = min(low, m.At(t).Z)
			}
		}
	}
	return low
}

// The passes of a board leave no more than the scallop anywhere on it, out to its very corners:
// of all passes that come within the cutter's radius, each from end to end, the lowest that the
// cutter's shape leaves, looked for in steps of a sixtieth of its radius.
func TestPassesServeTheBoard(t *testing.T) {
	for _, c := range []path.Cutter{given.HalfFlat, given.BigBull, given.HalfBall} {
		for _, cylinder := range []bool{false, true} {
			w := given.Work(dish.Hollow, 3000, math.Hypot(300, 80)/2)
			w.Region, w.Blank = dish.Strip{Length: 300, Width: 80}, dish.Blank{Shape: dish.Rectangle, Length: 440, Width: 200, Thickness: 30}
			w.Face.Cylinder, w.Scallop = cylinder, 0.3
			p, err := newBoard(work.Whole(&w), c, work.NewBudget(&w, c, 1))
			require.NoError(t, err)
			rows := p.rows
			r := c.Radius()
			stands := func(x, y float64) float64 {
				best := math.Inf(1)
				for _, one := range rows {
					for _, v := range [...]float64{one.V, -one.V} {
						half := math.Sqrt(max(0, r*r-(y-v)*(y-v)))
						if math.Abs(y-v) >= r {
							continue
						}
						for k := -60.0; k <= 60; k++ {
							if u := max(-one.End, min(one.End, x+half*k/60)); math.Abs(u-x) <= half {
								tip := w.Face.Tip(c.Body(), w.Face.Distance(u, v))
								best = min(best, tip+c.Body().Profile(min(r, math.Hypot(u-x, y-v))))
							}
						}
					}
				}
				return w.Face.Over(w.Face.Distance(x, y), best)
			}
			most := 0.0
			for i := 0.0; i <= 12; i++ {
				for k := 0.0; k <= 60; k++ {
					most = max(most, stands(150*math.Sqrt(i/12), 40*k/60)) // closer at the end, where passes are
				}
			}
			require.LessOrEqual(t, most, w.Scallop, "%s, cylinder %v", c.Name, cylinder)
			require.Greater(t, most, w.Scallop/3)
		}
	}
}
