package motion_test

import (
	"math"
	"testing"

	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// The fine-step integration: the tip is put on a dense grid along the rounded
// path, each grid point gets the highest speed that its own limits allow, then
// the envelopes of braking and speeding up are drawn point by point. It shares
// nothing with the package: directions, curvature and the limits of arcs come
// from places of the tip alone, corners from the angle between them.

// sampled is one move as places of the tip.
type sampled struct {
	at           []r3.Vec
	length       float64
	speed, accel float64
}

// least returns the largest speed along unit direction u that keeps each axis in limit.
func least(limit, u r3.Vec) float64 {
	return 1 / math.Max(math.Abs(u.X)/limit.X, math.Max(math.Abs(u.Y)/limit.Y, math.Abs(u.Z)/limit.Z))
}

func sample(m machines.Machine, mv path.Move, n int) sampled {
	s := sampled{speed: mv.Feed / 60, accel: math.Inf(1)}
	limit := m.Feed
	if mv.Kind == path.Traverse {
		limit, s.speed = m.Rapid, math.Inf(1)
	}
	for i := range n + 1 {
		s.at = append(s.at, mv.At(float64(i)/float64(n)))
	}
	step := func(i int) r3.Vec { return r3.Sub(s.at[i+1], s.at[i]) }
	for i := range n {
		d := step(i)
		s.length += r3.Norm(d)
		s.speed = math.Min(s.speed, least(limit, r3.Unit(d))/60)
		s.accel = math.Min(s.accel, least(m.Acceleration, r3.Unit(d)))
		if mv.Kind == path.Arc && i > 0 {
			turn := r3.Sub(r3.Unit(d), r3.Unit(step(i-1)))
			curvature := r3.Norm(turn) / r3.Norm(d)
			s.speed = math.Min(s.speed, math.Sqrt(least(m.Acceleration, r3.Unit(turn))/curvature))
		}
	}
	return s
}

// leaving returns the direction in which a curve through three evenly spaced
// points leaves the first, right to the second order of their distance.
func leaving(a, b, c r3.Vec) r3.Vec {
	return r3.Unit(r3.Sub(r3.Scale(3, r3.Sub(b, a)), r3.Sub(c, b)))
}

// rounded is a corner: how far it reaches into either move, how long it is, how
// quick it may be. The zero value is a stop.
type rounded struct{ reach, turn, speed float64 }

// round returns the corner between two moves.
func round(m machines.Machine, before, after sampled) rounded {
	n := len(before.at) - 1
	in := r3.Scale(-1, leaving(before.at[n], before.at[n-1], before.at[n-2]))
	out := leaving(after.at[0], after.at[1], after.at[2])
	turn := math.Atan2(r3.Norm(r3.Cross(in, out)), r3.Dot(in, out))
	if turn < 1e-7 { // straight on, but for the arithmetic
		return rounded{speed: math.Inf(1)}
	}
	if turn > 2*math.Pi/3 { // not worth a rounding
		return rounded{}
	}
	beyond := 1/math.Cos(turn/2) - 1 // from the arc to the corner, for a radius of 1
	radius := min(before.length, after.length) / 2 / math.Tan(turn/2)
	if m.PathMode == "G61" && radius*beyond > 1e-4 { // more than the fourth decimal can tell
		return rounded{}
	}
	if m.PathMode == "G64" {
		radius = min(radius, m.CornerRounding/beyond)
	}
	across := least(m.Acceleration, r3.Unit(r3.Sub(out, in)))
	return rounded{radius * math.Tan(turn/2), radius * turn, math.Sqrt(radius * across)}
}

// integrate returns the seconds from rest to rest over moves that are all
// traverses or all not, n steps a move.
func integrate(m machines.Machine, moves []path.Move, n int) float64 {
	runs := make([]sampled, len(moves))
	for i, mv := range moves {
		runs[i] = sample(m, mv, n)
	}
	corners := make([]rounded, len(moves)+1)
	for i := 1; i < len(moves); i++ {
		corners[i] = round(m, runs[i-1], runs[i])
	}
	// The grid: lengths of its steps, the speed and the acceleration on each,
	// and the square of the speed between them, 0 at both ends.
	var ds, top, acc []float64
	w := []float64{0}
	put := func(length, v, a float64) {
		for range n {
			if k := len(top); k > 0 {
				w[k] = min(w[k], top[k-1]*top[k-1], v*v)
			}
			ds, top, acc, w = append(ds, length/float64(n)), append(top, v), append(acc, a), append(w, math.Inf(1))
		}
	}
	for i, r := range runs {
		c := corners[i]
		w[len(w)-1] = min(w[len(w)-1], c.speed*c.speed)
		if c.turn > 0 {
			// Half of the rounding keeps the limits of the move before, half of the one after.
			put(c.turn/2, min(c.speed, runs[i-1].speed), runs[i-1].accel)
			put(c.turn/2, min(c.speed, r.speed), r.accel)
		}
		put(r.length-c.reach-corners[i+1].reach, r.speed, r.accel)
	}
	w[len(ds)] = 0
	for i := len(ds) - 1; i >= 0; i-- {
		w[i] = min(w[i], w[i+1]+2*acc[i]*ds[i])
	}
	for i := range ds {
		w[i+1] = min(w[i+1], w[i]+2*acc[i]*ds[i])
	}
	var seconds float64
	for i := range ds {
		seconds += 2 * ds[i] / (math.Sqrt(w[i]) + math.Sqrt(w[i+1]))
	}
	return seconds
}

// simulate cuts a path where traverses and feed moves meet and adds the parts.
func simulate(m machines.Machine, p path.Path) float64 {
	var total float64
	var moves []path.Move
	for _, mv := range p.Moves { // what goes straight on at the same feed is one move
		if k := len(moves) - 1; k >= 0 && mv.Kind != path.Arc && moves[k].Kind == mv.Kind && (mv.Kind == path.Traverse || moves[k].Feed == mv.Feed) {
			a, b := r3.Unit(r3.Sub(moves[k].To, moves[k].From)), r3.Unit(r3.Sub(mv.To, mv.From))
			if r3.Norm(r3.Sub(a, b)) < 1e-9 {
				moves[k].To = mv.To
				continue
			}
		}
		moves = append(moves, mv)
	}
	p.Moves = moves
	for from, to := 0, 0; from < len(p.Moves); from = to {
		for to < len(p.Moves) && (p.Moves[to].Kind == path.Traverse) == (p.Moves[from].Kind == path.Traverse) {
			to++
		}
		total += integrate(m, p.Moves[from:to], 200)
	}
	return total
}

// anyMachine draws a hobby router.
func anyMachine(t *rapid.T) machines.Machine {
	vec := func(name string, lo, hi float64) r3.Vec {
		f := rapid.Float64Range(lo, hi)
		return r3.Vec{X: f.Draw(t, name+" x"), Y: f.Draw(t, name+" y"), Z: f.Draw(t, name+" z")}
	}
	return machines.Machine{
		Feed:           vec("feed", 500, 8000),
		Rapid:          vec("rapid", 500, 10000),
		Acceleration:   vec("acceleration", 50, 1500),
		CornerRounding: rapid.Float64Range(0.005, 0.2).Draw(t, "deviation"),
		PathMode:       rapid.SampledFrom([]string{"G64", "G61"}).Draw(t, "mode"),
		Decimals:       4,
	}
}

// anyPath draws up to most moves: traverses, lines, arcs; long, short, or chords of a curve.
func anyPath(t *rapid.T, most int) path.Path {
	var p path.Path
	var at r3.Vec
	angle := rapid.Float64Range(-math.Pi, math.Pi)
	for len(p.Moves) < most {
		feed := rapid.Float64Range(200, 8000).Draw(t, "feed")
		switch rapid.IntRange(0, 9).Draw(t, "what") {
		case 0, 1, 2:
			d := rapid.Float64Range(3, 90).Draw(t, "d")
			sin, cos := math.Sincos(angle.Draw(t, "heading"))
			rise := rapid.SampledFrom([]float64{0, 0, 0.01, -0.4, 1}).Draw(t, "rise")
			kind := path.Line
			if rapid.IntRange(0, 4).Draw(t, "traverse") == 0 {
				kind = path.Traverse
			}
			to := r3.Add(at, r3.Vec{X: d * cos, Y: d * sin, Z: d * rise})
			p.Moves = append(p.Moves, path.Move{Kind: kind, From: at, To: to, Feed: feed})
			at = to
		case 3, 4, 5:
			p.Moves = append(p.Moves, anyArc(t, at, feed))
			at = p.Moves[len(p.Moves)-1].To
		case 6, 7:
			l := rapid.Float64Range(0.3, 3).Draw(t, "chord")
			heading, bend := angle.Draw(t, "heading"), rapid.Float64Range(0.001, 0.3).Draw(t, "bend")
			if rapid.Bool().Draw(t, "right") {
				bend = -bend
			}
			for range rapid.IntRange(2, 30).Draw(t, "chords") {
				sin, cos := math.Sincos(heading)
				to := r3.Add(at, r3.Vec{X: l * cos, Y: l * sin})
				p.Moves = append(p.Moves, path.Move{Kind: path.Line, From: at, To: to, Feed: feed})
				at, heading = to, heading+bend
			}
		default:
			return p
		}
	}
	return p
}

func anyArc(t *rapid.T, at r3.Vec, feed float64) path.Move {
	plane := rapid.SampledFrom([]path.Plane{path.XY, path.ZX, path.YZ}).Draw(t, "plane")
	i, j, n := plane.Axes()
	r := rapid.Float64Range(1, 100).Draw(t, "radius")
	turn := rapid.Float64Range(0.2, 6).Draw(t, "turn")
	clockwise := rapid.Bool().Draw(t, "clockwise")
	from := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "from")
	if clockwise {
		turn = -turn
	}
	p := [3]float64{at.X, at.Y, at.Z}
	centre, to := p, p
	centre[i] -= r * math.Cos(from)
	centre[j] -= r * math.Sin(from)
	to[i] = centre[i] + r*math.Cos(from+turn)
	to[j] = centre[j] + r*math.Sin(from+turn)
	to[n] += rapid.SampledFrom([]float64{0, 0, 1, -5}).Draw(t, "rise")
	vec := func(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }
	return path.Move{Kind: path.Arc, Plane: plane, Clockwise: clockwise, Feed: feed,
		From: at, To: vec(to), Centre: vec(centre)}
}

func TestAgainstFineSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyMachine(t), anyPath(t, 40)
		want := simulate(m, p)
		if got := motion.Estimate(m, p).Total; math.Abs(got-want) > 0.01*want+1e-9 {
			t.Fatalf("estimate %.6f s, integration %.6f s: %+.2f %%", got, want, 100*(got/want-1))
		}
	})
}

// The integration itself gives the closed form of one straight move, see TestRestToRest.
func TestFineStepsStraight(t *testing.T) {
	require.InDelta(t, 2.2, simulate(router(), through(3000, r3.Vec{}, r3.Vec{X: 100})), 1e-3)
	require.InDelta(t, 0.126491, simulate(router(), through(3000, r3.Vec{}, r3.Vec{X: 1})), 1e-3)
}
