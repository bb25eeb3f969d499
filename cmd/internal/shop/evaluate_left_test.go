package shop_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// globe is the sphere that a face is part of.
type globe struct {
	crown  bool
	radius float64 // mm
	centre float64 // its height, mm
	rim    float64 // mm
	deep   float64 // from rim to apex, mm
	corner float64 // widest of the cutters that run, mm: roughing makes room for what finishes after it
}

// newGlobe places the sphere so that a hollow's rim, or a crown's apex, lies at
// the blank's top.
func newGlobe(crown bool, radius, rim float64) globe {
	deep := radius - math.Sqrt(radius*radius-rim*rim)
	g := globe{crown: crown, radius: radius, rim: rim, deep: deep, centre: -radius}
	if !crown {
		g.centre = radius - deep
	}
	return g
}

// above returns how far (d, z) stands above the face along its normal.
func (g globe) above(d, z float64) float64 {
	away := math.Sqrt(d*d + sqr(z-g.centre))
	if g.crown {
		return away - g.radius
	}
	return g.radius - away
}

// bucket is the side in mm of the squares in which pieces of path are found.
const bucket = 4.0

// left finds what the pieces of all programs leave of a blank whose top is at 0.
type left struct {
	face    globe
	tools   []tool
	of      []int // tool of each piece
	pieces  []sweep
	n       int
	squares [][]int32
	thinned [][]int32 // of the squares that were climbed in, by few
	scratch []int32
	lows    []lowest
}

func newLeft(g globe) *left {
	l := &left{face: g, n: int(math.Ceil(2*g.rim/bucket)) + 2}
	l.squares, l.thinned = make([][]int32, l.n*l.n), make([][]int32, l.n*l.n)
	return l
}

// add takes in what one cutter does.
func (l *left) add(c tool, pieces []sweep) {
	l.tools = append(l.tools, c)
	half := float64(l.n) * bucket / 2
	reach := c.radius() + bucket*math.Sqrt2/2
	for _, s := range pieces {
		if s.zLeast >= 0 {
			continue
		}
		k := int32(len(l.pieces))
		l.pieces, l.of = append(l.pieces, s), append(l.of, len(l.tools)-1)
		ex, ey := s.x+s.dx*s.long, s.y+s.dy*s.long
		i0, i1 := l.range1(math.Min(s.x, ex)-c.radius()+half), l.range1(math.Max(s.x, ex)+c.radius()+half)
		j0, j1 := l.range1(math.Min(s.y, ey)-c.radius()+half), l.range1(math.Max(s.y, ey)+c.radius()+half)
		for j := j0; j <= j1; j++ {
			for i := i0; i <= i1; i++ {
				x, y := (float64(i)+0.5)*bucket-half, (float64(j)+0.5)*bucket-half
				px, py := x-s.x, y-s.y
				a := math.Min(math.Max(px*s.dx+py*s.dy, 0), s.long)
				if math.Hypot(px-a*s.dx, py-a*s.dy) <= reach {
					l.squares[j*l.n+i] = append(l.squares[j*l.n+i], k)
				}
			}
		}
	}
}

func (l *left) range1(v float64) int {
	return min(max(int(math.Floor(v/bucket)), 0), l.n-1)
}

// height returns what stands at (x, y) after all pieces of the list.
func (l *left) height(list []int32, x, y float64) float64 {
	z := 0.0
	for _, k := range list {
		if h := l.pieces[k].under(&l.tools[l.of[k]], x, y, z); h < z {
			z = h
		}
	}
	return z
}

// over returns how far what stands at (x, y) stands above the face.
func (l *left) over(x, y float64) float64 {
	half := float64(l.n) * bucket / 2
	i, j := l.range1(x+half), l.range1(y+half)
	k := j*l.n + i
	if l.thinned[k] == nil { // one that is empty is found again each time
		l.thinned[k] = slices.Clone(l.few(l.squares[k], float64(i)*bucket-half, float64(j)*bucket-half))
	}
	return l.face.above(math.Hypot(x, y), l.height(l.thinned[k], x, y))
}

// few leaves out of a square's pieces those that lie over others everywhere in
// it: a swept line is convex, so that its greatest height over a square is at a
// corner. Bows are not asked.
func (l *left) few(list []int32, x, y float64) []int32 {
	low := 0.0
	for _, k := range list {
		if s := &l.pieces[k]; !s.bow {
			c, high := &l.tools[l.of[k]], math.Inf(-1)
			for _, q := range [...][2]float64{{x, y}, {x + bucket, y}, {x, y + bucket}, {x + bucket, y + bucket}} {
				high = math.Max(high, s.under(c, q[0], q[1], math.Inf(1)))
			}
			low = math.Min(low, high)
		}
	}
	l.scratch = l.scratch[:0]
	hd := bucket * math.Sqrt2 / 2
	for _, k := range list {
		s := &l.pieces[k]
		c := &l.tools[l.of[k]]
		px, py := x+bucket/2-s.x, y+bucket/2-s.y
		a, w := px*s.dx+py*s.dy, math.Max(0, math.Abs(px*s.dy-py*s.dx)-hd)
		least := s.zLeast
		if !s.bow {
			reach := c.radius() + hd
			least = math.Min(s.at(math.Min(math.Max(a-reach, 0), s.long)), s.at(math.Min(math.Max(a+reach, 0), s.long)))
		}
		if w <= c.radius() && least+c.edge(w)-c.corner*c.lean.slope() <= low {
			l.scratch = append(l.scratch, k)
		}
	}
	// The lowest at the middle first: most of the others then stop early.
	l.lows = l.lows[:0]
	for _, k := range l.scratch {
		l.lows = append(l.lows, lowest{k, l.pieces[k].under(&l.tools[l.of[k]], x+bucket/2, y+bucket/2, math.Inf(1))})
	}
	slices.SortStableFunc(l.lows, func(a, b lowest) int { return cmp.Compare(a.z, b.z) })
	for i, one := range l.lows {
		l.scratch[i] = one.piece
	}
	return l.scratch
}

// lowest is a piece and its height somewhere.
type lowest struct {
	piece int32
	z     float64
}

// high is a place and what stands there above the face.
type high struct{ over, x, y float64 }

// highest evaluates at least so many places of the closed face, one in each
// small square of a grid, off its middle by chance, and as many along the very
// rim as lie on it; then it climbs from the highest ones.
func (l *left) highest(points int, seed uint64) (top high, evaluated int) {
	k := int(math.Ceil(bucket / math.Sqrt(math.Pi*sqr(l.face.rim)/(1.02*float64(points)))))
	step, half := bucket/float64(k), float64(l.n)*bucket/2
	chance := rand.New(rand.NewPCG(seed, 7))
	var tops []high
	for j := range l.n {
		for i := range l.n {
			x0, y0 := float64(i)*bucket-half, float64(j)*bucket-half
			nx, ny := math.Max(0, math.Max(x0, -x0-bucket)), math.Max(0, math.Max(y0, -y0-bucket))
			if math.Hypot(nx, ny) > l.face.rim {
				continue
			}
			list := l.few(l.squares[j*l.n+i], x0, y0)
			best := high{over: math.Inf(-1)}
			for q := range k * k {
				x := x0 + (float64(q%k)+chance.Float64())*step
				y := y0 + (float64(q/k)+chance.Float64())*step
				d := math.Sqrt(x*x + y*y)
				if d > l.face.rim {
					continue
				}
				evaluated++
				if o := l.face.above(d, l.height(list, x, y)); o > best.over {
					best = high{o, x, y}
				}
			}
			tops = append(tops, best)
		}
	}
	n := int(2 * math.Pi * l.face.rim / step)
	along := high{over: math.Inf(-1)}
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
		x, y := l.face.rim*cos, l.face.rim*sin
		if o := l.over(x, y); o > along.over {
			along = high{o, x, y}
		}
		if i%(n/64+1) == 0 {
			tops, along = append(tops, along), high{over: math.Inf(-1)}
		}
	}
	tops = append(tops, along)
	slices.SortFunc(tops, func(a, b high) int { return cmp.Compare(b.over, a.over) })
	top = tops[0]
	for _, h := range tops[:min(len(tops), climbers)] {
		if h = l.climb(h, step); h.over > top.over {
			top = h
		}
	}
	return top, evaluated + n
}

// climbers is how many of the highest places are climbed from.
const climbers = 80

// climb goes up from a place in ever smaller steps, inside the closed face. The
// scallops are sharp and run every way, so the steps turn as they shrink.
func (l *left) climb(h high, step float64) high {
	turn := 0.0
	for step > 1e-4 {
		up := false
		for q := range 8 {
			sin, cos := math.Sincos(turn + 2*math.Pi*float64(q)/8)
			x, y := h.x+step*cos, h.y+step*sin
			if d := math.Hypot(x, y); d > l.face.rim {
				x, y = x*l.face.rim/d, y*l.face.rim/d
			}
			if o := l.over(x, y); o > h.over && math.Hypot(x, y) <= l.face.rim*(1+1e-12) {
				h, up = high{o, x, y}, true
				break
			}
		}
		if !up {
			step, turn = step*0.5, turn+1
		}
	}
	return h
}

// at returns what stands at (x, y), which may lie a little outside the face.
func (l *left) at(x, y float64) float64 {
	half := float64(l.n) * bucket / 2
	return l.height(l.squares[l.range1(y+half)*l.n+l.range1(x+half)], x, y)
}
