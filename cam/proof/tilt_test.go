package proof

import (
	"fmt"
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// The cutter here is a body turned in space: its level end is a disc whose points
// are rotated one by one, with a ball of the corner's radius about each point of
// its edge, and it is touched off at its lowest point. It shares no formula with
// the proof.

// tilted is a cutter on a spindle out of square.
type tilted struct {
	turn   r3.Rotation
	flat   float64
	corner float64
	edge   []r3.Vec // middles of the edge's balls, from the touched-off tip
	raise  float64
}

const edgePoints = 720

func newTilted(c path.Cutter, slope, towards float64) tilted {
	sin, cos := math.Sincos(towards)
	b := tilted{turn: r3.NewRotation(math.Atan(slope), r3.Vec{X: sin, Y: -cos}), flat: c.Body().Flat, corner: c.Body().Corner}
	lowest := 0.0
	points := edgePoints
	if b.flat == 0 {
		points = 1
	}
	for k := range points {
		s, c := math.Sincos(2 * math.Pi * float64(k) / edgePoints)
		p := b.turn.Rotate(r3.Vec{X: b.flat * c, Y: b.flat * s})
		b.edge = append(b.edge, p)
		lowest = math.Min(lowest, p.Z)
	}
	b.raise = -lowest
	return b
}

// under is the height of the underside over its lowest point, at (x, y) from the
// axis's foot, +Inf where there is none.
func (b tilted) under(x, y float64) float64 {
	least := math.Inf(1)
	// The disc: the point of its plane over (x, y), if it is one of the disc.
	ex, ey := b.turn.Rotate(r3.Vec{X: 1}), b.turn.Rotate(r3.Vec{Y: 1})
	det := ex.X*ey.Y - ex.Y*ey.X
	p, q := (x*ey.Y-y*ey.X)/det, (y*ex.X-x*ex.Y)/det
	if math.Hypot(p, q) <= b.flat {
		least = p*ex.Z + q*ey.Z
	}
	if b.corner > 0 {
		n := len(b.edge)
		near := int(math.Atan2(y, x) / (2 * math.Pi) * float64(n))
		for k := -n / 8; k <= n/8; k++ { // those further round are further away
			m := b.edge[(near+k+n)%n]
			if w := math.Hypot(x-m.X, y-m.Y); w <= b.corner {
				least = math.Min(least, m.Z+b.corner-math.Sqrt(b.corner*b.corner-w*w))
			}
		}
	}
	return least + b.raise
}

// left is the height above the face that straight moves leave at (x, y): the least
// over places of every move that reaches it.
func (b tilted) left(face dish.Face, moves []path.Move, x, y float64) float64 {
	z, reach := 0.0, b.flat+b.corner
	for _, m := range moves {
		dx, dy := m.To.X-m.From.X, m.To.Y-m.From.Y
		length := math.Hypot(dx, dy)
		along := ((x-m.From.X)*dx + (y-m.From.Y)*dy) / length
		aside := math.Abs((y-m.From.Y)*dx-(x-m.From.X)*dy) / length
		if aside > reach || along < -reach || along > length+reach {
			continue
		}
		at := func(t float64) float64 {
			v := m.At(t)
			return v.Z + b.under(x-v.X, y-v.Y)
		}
		const n = 12
		best, from := math.Inf(1), 0.0
		for k := range n + 1 {
			if h := at(float64(k) / n); h < best {
				best, from = h, float64(k)/n
			}
		}
		for step := 0.5 / n; step*length > 1e-4; step /= 2 {
			for _, t := range [2]float64{math.Max(0, from-step), math.Min(1, from+step)} {
				if h := at(t); h < best {
					best, from = h, t
				}
			}
		}
		z = math.Min(z, best)
	}
	if face.Kind == dish.Crown {
		return math.Hypot(math.Hypot(x, y), z+face.Radius) - face.Radius
	}
	return face.Radius - math.Hypot(math.Hypot(x, y), face.Radius-face.Sagitta()-z)
}

// TestTiltAgainstBody: on none of 16 directions does a tilted body leave more than
// is certified, and in its worst it leaves nearly that: what is certified is a
// bound close to the truth.
func TestTiltAgainstBody(t *testing.T) {
	const slope = 0.1 / 100
	for _, k := range []struct {
		cutter path.Cutter
		kind   dish.Kind
		step   float64
		loose  float64 // of what the tilt adds, what the bound may have too much beyond its slack
	}{
		{flatCutter(25.4), dish.Hollow, 3, 0.02},
		{flatCutter(25.4), dish.Crown, 3, 0.35}, // its passes meet with opposite edges: no direction raises both
		{bullCutter(31.75, 6.35), dish.Hollow, 4, 0.08},
		{ballCutter(12.7), dish.Hollow, 1.2, 0},
	} {
		t.Run(fmt.Sprint(k.cutter.Shape, k.kind), func(t *testing.T) {
			face := must(dish.NewFace(k.kind, 2000, 70))
			half := func(y float64) float64 { return math.Sqrt(math.Max(0, 85*85-y*y)) }
			moves := rasterMoves(face, k.cutter, evenPasses(-75, 75, int(150/k.step)), half, 6)
			cut := Cut{k.cutter, moves}
			opt := CertifyOptions{Slack: 0.0002}
			square, err := Certify(face, 0, []Cut{cut}, opt)
			require.NoError(t, err)
			opt.Tilt = slope
			r, err := Certify(face, 0, []Cut{cut}, opt)
			require.NoError(t, err)
			require.LessOrEqual(t, r.Certified-r.Found, opt.Slack+1e-8)

			worst := math.Inf(-1)
			look := func(b tilted, x, y float64) {
				if math.Hypot(x, y) > face.Rim {
					return
				}
				h := b.left(face, moves, x, y)
				require.LessOrEqual(t, h, r.Certified+1e-9, "at %g, %g", x, y)
				worst = math.Max(worst, h)
			}
			const directions = 16
			for d := range directions {
				b := newTilted(k.cutter, slope, 2*math.Pi*float64(d)/directions)
				for i := range 12 {
					a, out := float64(i)*2.4, face.Rim*math.Sqrt(float64(i+1)/12)
					look(b, out*math.Cos(a), out*math.Sin(a))
				}
				for _, s := range [...]float64{-1, 1} { // the scallop that was found, and where it has its like
					look(b, r.X, s*r.Y)
					look(b, -r.X, s*r.Y)
				}
			}
			for _, off := range [...]float64{0, math.Pi} { // the contact edge raised
				look(newTilted(k.cutter, slope, math.Atan2(r.Y, r.X)+off), r.X, r.Y)
			}
			added := 2 * k.cutter.Body().Flat * slope
			t.Logf("square %.4f, tilted %.4f (found %.4f), body %.4f: 2 f t = %.4f", square.Certified, r.Certified, r.Found, worst, added)
			require.GreaterOrEqual(t, worst, r.Certified-opt.Slack-k.loose*added-2e-6)
		})
	}
}

// TestTiltNeverGouges: nowhere does a tilted body, touched off at its lowest point,
// lie below the square one.
func TestTiltNeverGouges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := jobCutter(t)
		b := newTilted(c, rapid.Float64Range(0.0001, 0.02).Draw(t, "slope"), rapid.Float64Range(0, 7).Draw(t, "towards"))
		a, u := rapid.Float64Range(0, 7).Draw(t, "a"), c.Diameter/2*rapid.Float64Range(0, 1).Draw(t, "u")
		under := b.under(u*math.Cos(a), u*math.Sin(a))
		require.GreaterOrEqual(t, under, c.Body().Profile(u)-1e-9)
		// and never above what the certificate takes it for
		e := tiltedEnd(c, math.Tan(rotationOf(b)))
		if u <= e.Radius() {
			const edge = 2e-4 // of the 720 points, beside the nearest one, on a corner
			require.LessOrEqual(t, under, e.Profile(u)+edge*c.Diameter)
		}
	})
}

// rotationOf is the angle that a body was turned by.
func rotationOf(b tilted) float64 {
	return math.Acos(b.turn.Rotate(r3.Vec{Z: 1}).Z)
}

// inaccurateJob is a job with a spindle and cutters that are off.
type inaccurateJob struct {
	face             dish.Face
	top              float64
	cut              Cut
	tilt, wear, less float64
}

// TestTiltAndUndersize: a tilt or a missing diameter never makes the bound less, more of
// either never does, and a tilt does not change a ball. A few random jobs only: each
// takes a whole search.
func TestTiltAndUndersize(t *testing.T) {
	jobs := rapid.Custom(func(t *rapid.T) inaccurateJob {
		face, top := jobFace(t)
		c := jobCutter(t)
		w := inaccurateJob{face, top, Cut{c, jobMoves(t, face, c)}, rapid.Float64Range(0, 0.02).Draw(t, "tilt"), 0, rapid.Float64Range(0, 1).Draw(t, "share")}
		if rapid.Bool().Draw(t, "worn") {
			w.wear = rapid.Float64Range(0, 0.3).Draw(t, "undersize")
		}
		return w
	})
	shapes := map[path.Shape]int{}
	for seed := range 16 {
		w := jobs.Example(seed)
		const most = 8000
		run := func(tilt, wear float64) Scallop {
			r, err := Certify(w.face, w.top, []Cut{w.cut}, CertifyOptions{MaxCells: most, Tilt: tilt, Undersize: wear})
			require.NoError(t, err)
			require.LessOrEqual(t, r.Found, r.Certified)
			return r
		}
		none, some, all := run(0, 0), run(w.less*w.tilt, w.less*w.wear), run(w.tilt, w.wear)
		require.LessOrEqual(t, none.Found, some.Certified, "job %d", seed)
		require.LessOrEqual(t, some.Found, all.Certified, "job %d", seed)
		if shapes[w.cut.Cutter.Shape]++; w.cut.Cutter.Shape == path.Ball {
			require.Equal(t, run(0, w.wear), all)
			continue
		}
		if max(none.Cells, some.Cells, all.Cells) >= most/16 || all.Certified-all.Found > defaultSlack+1e-8 {
			continue // no tile ran out of cells
		}
		require.LessOrEqual(t, some.Certified, all.Certified+defaultSlack+1e-8, "job %d", seed)
		if w.wear == 0 { // the linear bound, but for the overstatement and the strip that the slope lays bare
			f := w.cut.Cutter.Body().Flat
			require.LessOrEqual(t, all.Found, none.Certified+w.tilt*(2*f+w.cut.Cutter.Body().Corner)+w.tilt*w.tilt*f+1e-7, "job %d", seed)
		}
	}
	require.Len(t, shapes, 3, "every shape was among them")
}

// A cutter of which nothing is left, and tilts and undersizes that are none, are refused.
func TestCertifyRefuses(t *testing.T) {
	_, err := Certify(must(dish.NewFace(dish.Hollow, 500, 20)), 0, []Cut{{ballCutter(1), []path.Move{lineMove(r3.Vec{}, r3.Vec{X: 1})}}}, CertifyOptions{Undersize: 1})
	require.ErrorContains(t, err, "no usable size")
	for _, opt := range []CertifyOptions{{Tilt: -0.001}, {Tilt: 0.2}, {Tilt: math.NaN()}, {Undersize: -1}, {Undersize: math.NaN()}} {
		_, err := Certify(must(dish.NewFace(dish.Hollow, 500, 20)), 0, nil, opt)
		require.ErrorContains(t, err, "out of range")
	}
}

// TestAllowedTilt: at the tilt that passes are said to bear the body leaves no more than
// is allowed, in 16 directions, and what is certified there is no more than that
// but for the certificate's own slack.
func TestAllowedTilt(t *testing.T) {
	for _, c := range []path.Cutter{flatCutter(25.4), bullCutter(31.75, 6.35)} {
		face := must(dish.NewFace(dish.Hollow, 2000, 70))
		moves := rasterMoves(face, c, evenPasses(-75, 75, 50), func(y float64) float64 { return math.Sqrt(math.Max(0, 85*85-y*y)) }, 6)
		cuts := []Cut{{c, moves}}
		for _, stated := range [...]float64{0, 0.0005} {
			r, err := Certify(face, 0, cuts, CertifyOptions{Slack: 0.0002, Tilt: stated})
			require.NoError(t, err)
			allowed := r.Certified + 0.02
			up := AllowedTilt(c, allowed, r.Certified, stated)
			require.InDelta(t, stated+0.02/(2*c.Body().Flat), up, 2e-6)
			for d := range 16 {
				b := newTilted(c, up, 2*math.Pi*float64(d)/16)
				require.LessOrEqual(t, b.left(face, moves, r.X, r.Y), allowed)
			}
			at, err := Certify(face, 0, cuts, CertifyOptions{Slack: 0.0002, Tilt: up})
			require.NoError(t, err)
			require.LessOrEqual(t, at.Found, allowed+up*c.Body().Corner/5, "but for what is overstated beyond the level end")
			require.Greater(t, at.Certified, allowed-0.02*0.4)
		}
		require.Zero(t, AllowedTilt(c, 0.05, 0.06, 0))
	}
	require.True(t, math.IsInf(AllowedTilt(ballCutter(6), 0.05, 0.049, 0), 1))
}
