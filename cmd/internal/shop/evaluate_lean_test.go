package shop_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
)

// The spindle and cutters of a job that says nothing of them, as the tests know them:
// rise over length, and mm of diameter.
const silentTilt, silentUndersize = 0.0005, 0.05

// worn returns the tool with its diameter less by so much, its corner as it was.
func (c tool) worn(undersize float64) tool {
	if c.flat > 0 {
		c.flat = math.Max(0, c.flat-undersize/2)
		return c
	}
	c.corner -= undersize / 2
	return c
}

// lean is how a spindle stands: how much the cutter's end rises for every mm towards +X
// and +Y. The end of a flat is then a disc that slopes, touched off at its lowest point,
// and rises over the tip by flat·|lean| in the middle. A bull's corner is taken to slope
// with it, which leaves corner·|lean|·(slope of what it touches) more or less than a ball
// that cannot lean; a ball is the same ball.
type lean [2]float64

func (l lean) slope() float64 { return math.Sqrt(l[0]*l[0] + l[1]*l[1]) }

// leaning returns the piece as a cutter that leans runs it over the place: its end
// rises over the tip from where the tip is to the place, ever less as it comes nearer.
func (s *sweep) leaning(c *tool, x, y float64) sweep {
	q := *s
	q.z += c.flat*c.lean.slope() + c.lean[0]*(x-s.x) + c.lean[1]*(y-s.y)
	q.m -= c.lean[0]*s.dx + c.lean[1]*s.dy
	return q
}

// stand has every tool with a level end lean so, as it leaves the machine square for
// the other tools.
func (l *left) stand(to lean) {
	for i := range l.tools {
		if l.tools[i].lean = (lean{}); l.tools[i].flat > 0 {
			l.tools[i].lean = to
		}
	}
	l.thinned, l.patches = make([][]int32, len(l.thinned)), nil
}

// leans are the ways in which the spindle is out of square, at most, for a search;
// the first is one that no axis runs along.
func (w wanted) leans() []lean {
	if w.tilt == 0 {
		return []lean{{}}
	}
	n := 2
	if chance.Long() {
		n = 8
	}
	list := make([]lean, n)
	for i := range list {
		sin, cos := math.Sincos(2*math.Pi*float64(i)/float64(n) + 0.4)
		list[i] = lean{w.tilt * cos, w.tilt * sin}
	}
	return list
}

// widestEnd is the radius of the widest level end of the tools.
func (w wanted) widestEnd() (f float64) {
	for _, c := range w.tools {
		f = math.Max(f, c.flat)
	}
	return f
}

// TestLeaning: what a cutter that leans has over a place, along slanted lines, is what
// its body has that is really turned: a disc, or a ring of balls, tipped about its middle
// and lowered until its lowest point is at the tip.
func TestLeaning(t *testing.T) {
	t.Parallel()
	dice := rand.New(rand.NewPCG(5, 6))
	between := func(a, b float64) float64 { return a + (b-a)*dice.Float64() }
	for n := range 300 {
		c := []tool{{flat: 12.7}, {flat: 9.5, corner: 6.35}, {flat: 2, corner: 3}, {corner: 6.35}}[n%4]
		tilt, way := between(0, 0.01), between(0, 2*math.Pi)
		f := newLeft(newGlobe(false, 5000, 60))
		s := straight(0, point{-40, between(-5, 5), between(-0.4, -0.1)}, point{40, between(-5, 5), between(-0.4, -0.1)})
		f.add(c, []sweep{s})
		f.stand(lean{tilt * math.Cos(way), tilt * math.Sin(way)})
		x, y := between(-20, 20), between(-1, 1)*0.8*c.radius()
		got, want := f.pieces[0].under(&f.tools[0], x, y, math.Inf(1)), math.Inf(1)
		for i := range 4001 {
			a := s.long * float64(i) / 4000
			want = math.Min(want, s.at(a)+c.turned(math.Atan(tilt), way, x-s.x-a*s.dx, y-s.y-a*s.dy))
		}
		near := 3e-4 // steps of 0.02 mm on slopes of up to 0.015
		if c.flat > 0 && c.corner > 0 {
			near += tilt * c.corner // see lean: up to its side
		}
		require.InDelta(t, want, got, near, "%+v leaning %g towards %g at %g %g", c, tilt, way, x, y)
	}
}

// turned is the height over the tip of the cutter's end at (x, y) from its axis, turned by
// the angle so that it rises that way, and lowered until it touches 0; +Inf beyond it.
func (c tool) turned(angle, way, x, y float64) float64 {
	u, v := x*math.Cos(way)+y*math.Sin(way), y*math.Cos(way)-x*math.Sin(way) // u along the rise
	sin, cos := math.Sincos(angle)
	raised := c.flat*sin + c.corner // of the disc in which the balls' middles lie
	if c.corner == 0 {
		if sqr(u/cos)+sqr(v) > sqr(c.flat) {
			return math.Inf(1)
		}
		return raised + u*math.Tan(angle)
	}
	best := math.Inf(1)
	look := func(r, phi float64) {
		p, q := r*math.Cos(phi), r*math.Sin(phi)
		if d := sqr(u-p*cos) + sqr(v-q); d < sqr(c.corner) {
			best = math.Min(best, raised+p*sin-math.Sqrt(sqr(c.corner)-d))
		}
	}
	at, phi := math.Min(c.flat, math.Hypot(u/cos, v)), math.Atan2(v, u/cos)
	for k := range 5 { // the nearest of the disc, and a little aside: the disc slopes
		look(at, phi+float64(k-2)*0.005)
		look(at*(1-0.002*float64(k)), phi)
	}
	return best
}

// TestSquarePlansAreNotEnough: programs that are laid for a square spindle and named
// diameters leave too much on a spindle and by cutters as builders own them; the same
// job that says nothing is kept with them.
func TestSquarePlansAreNotEnough(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, pattern, cutter string
		tilt, undersize       float64 // that are really there
	}{
		{"flat out of square", "raster", "inch flat", silentTilt, 0},
		{"flat out of square, spokes", "spokes", "inch flat", silentTilt, 0},
		{"bull out of square", "rings", "big bull", silentTilt, 0},
		{"worn flat", "spokes", "inch flat", 0, 1},
		{"worn ball", "raster", "half-inch ball", 0, 0.4},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.cutter == "big bull" && !chance.Long() {
				t.Skip("LONG=1 takes it too: its underside is searched for at every place")
			}
			o := dishFor("as owned", milli(3000), milli(130), milli(0.06), c.cutter, c.cutter).with(func(o *order) { o.pattern = c.pattern })
			square := o.with(trueBench)
			if c.undersize > silentUndersize { // more than is taken: both are stated
				o = o.with(func(o *order) { o.tilt, o.undersize = stated(c.tilt*100), stated(c.undersize) })
			}
			for _, laid := range []order{square, o} {
				r, err := run(laid)
				require.NoError(t, err)
				require.Empty(t, r.Report.Broken)
				w := laid.wanted()
				w.tilt, w.undersize = c.tilt, c.undersize
				v := evaluate(w, texts(r), 4_000)
				t.Logf("certified %.5f, found %.5f", r.Report.Scallop.CertifiedMM, v.ridge.over)
				if laid.tilt == square.tilt && laid.undersize == square.undersize {
					require.Greater(t, v.ridge.over, o.scallop.mm, "a plan for a square spindle would do")
					continue
				}
				require.Empty(t, v.faults)
				require.LessOrEqual(t, v.ridge.over, r.Report.Scallop.CertifiedMM+agree)
			}
		})
	}
}
