package shop_test

import (
	"fmt"
	"math"
	"slices"

	"dishwright/machines"
)

// gouge returns how much the cutter with its tip at p takes below what is
// wanted, along the normal: it looks at rings of the cutter one by one, each at
// the place where the ring comes nearest to the face. Outside the rim a hollow
// keeps the blank's top; a crown's moat has its own depth.
func (g globe) gouge(c tool, p point) float64 {
	d := math.Hypot(p[0], p[1])
	ring := func(u float64) float64 {
		z := p[2] + c.edge(min(u, c.radius()))
		worst := math.Inf(-1)
		if g.crown {
			if d-u <= g.rim {
				worst = -g.above(max(0, math.Abs(d-u)), z)
			}
			return max(worst, -g.moat(c)-z)
		}
		if d-u <= g.rim { // some of the ring is over the face
			worst = -g.above(min(d+u, g.rim), z)
		}
		if d+u > g.rim {
			worst = max(worst, -z)
		}
		return worst
	}
	const rings = 24
	best, at := math.Inf(-1), 0
	for i := range rings + 1 {
		if v := ring(c.radius() * float64(i) / rings); v > best {
			best, at = v, i
		}
	}
	lo, hi := c.radius()*float64(max(at-1, 0))/rings, c.radius()*float64(min(at+1, rings))/rings
	for range 24 { // 2/3 a turn
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		va, vb := ring(a), ring(b)
		best = max(best, max(va, vb))
		if va > vb {
			hi = b
		} else {
			lo = a
		}
	}
	return best
}

// moat is how deep the tip may go round a crown: so deep that a rounded corner
// still touches the rim itself, where the face slopes and the tip hangs lower by
// the corner less its height there.
func (g globe) moat(c tool) float64 {
	cos := math.Sqrt(sqr(g.radius)-sqr(g.rim)) / g.radius
	return g.deep + max(g.corner, c.corner)*(1-cos)
}

// gouging is the distance in mm between the places of a motion that are looked
// at: on a crown of 1.5 m a chord falls 0.2 µm below its neighbours in it.
const gouging = 1.5

// deepest returns the deepest gouge of the motions, 0 or less for none.
func (g globe) deepest(c tool, steps []step) (worst float64, line int) {
	worst = math.Inf(-1)
	for _, s := range steps {
		if s.what != "move" || math.IsNaN(s.from[0]) || min(s.from[2], s.to[2]) >= 0 && s.g < 2 {
			continue
		}
		n := int(math.Ceil(s.long()/gouging)) + 1
		n = min(max(n, 2), 2000)
		for i := range n + 1 {
			if v := g.gouge(c, s.place(float64(i)/float64(n))); v > worst {
				worst, line = v, s.line
			}
		}
	}
	return worst, line
}

// columns is what stands of a blank, known exactly at the places of a square
// grid that fits neither the blank's middle nor any pass.
type columns struct {
	size   float64
	n      int
	corner float64
	tops   []float64
	posts  []float64 // tops, but for what a core stood over all along a piece
}

// newColumns stands a blank up in columns, 240 across it.
func newColumns(b board) *columns {
	wide := max(b.length, b.width)
	c := &columns{size: wide / 240}
	c.n = int(wide/c.size) + 2
	c.corner = -wide/2 - 0.37*c.size
	c.tops = make([]float64, c.n*c.n)
	for k := range c.tops {
		if x, y := c.at(k); !b.holds(x, y) {
			c.tops[k] = math.Inf(-1)
		}
	}
	c.posts = slices.Clone(c.tops)
	return c
}

func (c *columns) at(k int) (x, y float64) {
	return c.corner + float64(k%c.n)*c.size, c.corner + float64(k/c.n)*c.size
}

// near calls do for every column within reach of the box of a piece that stands higher
// than the piece's lowest.
func (c *columns) near(s *sweep, reach float64, do func(k int, x, y float64)) {
	cell := func(v float64) int { return min(max(int((v-c.corner)/c.size), 0), c.n-1) }
	ex, ey := s.x+s.dx*s.long, s.y+s.dy*s.long
	i0, i1 := cell(min(s.x, ex)-reach), cell(max(s.x, ex)+reach)
	j0, j1 := cell(min(s.y, ey)-reach), cell(max(s.y, ey)+reach)
	for j := j0; j <= j1; j++ {
		for k := j*c.n + i0; k <= j*c.n+i1; k++ {
			if c.posts[k] > s.zLeast {
				x, y := c.corner+float64(k-j*c.n)*c.size, c.corner+float64(j)*c.size
				do(k, x, y)
			}
		}
	}
}

// same is what two heights may differ by that are the same place of one
// surface, reached by two pieces: a micrometre.
const same = 1e-3

// run cuts the columns with one motion and returns how deep it bit, how far stock
// stood above the cutter's core (which cannot cut) where it came by, if that is asked, and
// how deep the core went into what it has not left since it came. What a column can say
// no more than is known is not worked out.
func (c *columns) run(pieces []sweep, t tool, asked bool) (bite, core, pressed float64) {
	for i := range pieces {
		s := &pieces[i]
		if s.zLeast >= 0 {
			continue
		}
		c.near(s, t.radius(), func(k int, x, y float64) {
			top := c.tops[k]
			if most := top - s.zLeast; most <= bite && (!asked || most <= core) {
				return
			}
			if h := top - s.under(&t, x, y, top); h > 0 {
				bite = max(bite, h)
				px, py := x-s.x, y-s.y
				a, w := px*s.dx+py*s.dy, math.Abs(px*s.dy-py*s.dx)
				if half := math.Sqrt(max(0, sqr(t.core)-w*w)); asked && w < t.core && a > -half && a < s.long+half {
					core = max(core, c.overCore(s, t, a, w, half, top))
				}
			}
		})
	}
	// Only after all of the motion: what stood before it is what it meets.
	for i := range pieces {
		s := &pieces[i]
		if s.zLeast >= 0 {
			continue
		}
		ex, ey := s.x+s.dx*s.long, s.y+s.dy*s.long
		c.near(s, t.radius(), func(k int, x, y float64) {
			post := c.posts[k]
			stays := max(sqr(x-s.x)+sqr(y-s.y), sqr(x-ex)+sqr(y-ey)) < sqr(t.core)
			if stays && c.tops[k] <= s.zLeast && post-s.zLeast <= pressed {
				return
			}
			z := s.under(&t, x, y, post)
			c.tops[k] = min(c.tops[k], z)
			if stays {
				pressed = max(pressed, post-z)
			} else {
				c.posts[k] = min(post, z)
			}
		})
	}
	return bite, core, pressed
}

// overCore returns how far a column stands above the lowest that the core
// comes over it: the least of a convex height, by thirds.
func (c *columns) overCore(s *sweep, t tool, a, w, half, top float64) float64 {
	lo, hi := max(0, a-half), min(s.long, a+half)
	z := func(v float64) float64 { return s.at(v) + t.edge(math.Hypot(w, v-a)) }
	for range 40 {
		p, q := lo+(hi-lo)/3, hi-(hi-lo)/3
		if z(p) < z(q) {
			hi = q
		} else {
			lo = p
		}
	}
	return top - z(lo)
}

// board is a blank as the tests know it.
type board struct {
	outline                  string
	length, width, thickness float64
}

// holds reports whether a place lies on the board.
func (b board) holds(x, y float64) bool {
	x, y = math.Abs(x), math.Abs(y)
	switch b.outline {
	case "round":
		return x*x+y*y <= sqr(b.length/2)
	case "octagon":
		if x+y > b.length/2*math.Sqrt2 {
			return false
		}
	}
	return x <= b.length/2 && y <= b.width/2
}

// pin stands for a screw head or a clamp.
type pin struct{ x, y, radius, height float64 }

// clear returns what of the cutter, its shank, holder and hood runs into a pin.
func clear(pins []pin, m machines.Machine, c tool, steps []step) error {
	type part struct {
		name          string
		radius, above float64
	}
	parts := []part{{"cutter", c.radius(), 0}, {"shank", c.shank / 2, c.fluteLong}, {"holder", m.Holder.Diameter / 2, c.stickOut}}
	if m.Hood != nil {
		parts = append(parts, part{"hood", m.Hood.Diameter / 2, m.Hood.AboveTip})
	}
	for _, p := range pins {
		for _, s := range steps {
			if s.what != "move" || math.IsNaN(s.from[0]) {
				continue
			}
			for i := range 9 {
				q := s.place(float64(i) / 8)
				for _, part := range parts {
					if q[2]+part.above < p.height && math.Hypot(q[0]-p.x, q[1]-p.y) < part.radius+p.radius {
						return fmt.Errorf("line %d: the %s runs into the hold-down at X%g Y%g", s.line, part.name, p.x, p.y)
					}
				}
			}
		}
	}
	return nil
}
