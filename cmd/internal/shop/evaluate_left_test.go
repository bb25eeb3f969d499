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

// beyond is how far over its sides, mm, a square's pieces are told: what climbs along a
// side need not change squares.
const beyond = 0.5

// left finds what the pieces of all programs leave of a blank whose top is at 0.
type left struct {
	face    globe
	tools   []tool
	of      []int // tool of each piece
	pieces  []sweep
	n       int
	squares [][]int32
	thinned [][]int32 // of the squares that were climbed in, by few
	patches []patch   // ever smaller about where it is looked, each inside the one before
	around  []int32
	blocks  [][]int32
	lows    []lowest
}

// patch is a rectangle and the pieces that may be the lowest somewhere in it.
type patch struct {
	x0, y0, x1, y1 float64
	list           []int32
}

func (p *patch) holds(x, y float64) bool { return p.x0 <= x && x <= p.x1 && p.y0 <= y && y <= p.y1 }

func newLeft(g globe) *left {
	l := &left{face: g, n: int(math.Ceil(2*g.rim/bucket)) + 2}
	l.squares, l.thinned = make([][]int32, l.n*l.n), make([][]int32, l.n*l.n)
	return l
}

// add takes in what one cutter does.
func (l *left) add(c tool, pieces []sweep) {
	l.tools = append(l.tools, c)
	half := float64(l.n) * bucket / 2
	reach := c.radius() + (bucket/2+beyond)*math.Sqrt2
	side := c.radius() + beyond
	for _, s := range pieces {
		if s.zLeast >= 0 {
			continue
		}
		k := int32(len(l.pieces))
		l.pieces, l.of = append(l.pieces, s), append(l.of, len(l.tools)-1)
		ex, ey := s.x+s.dx*s.long, s.y+s.dy*s.long
		i0, i1 := l.range1(min(s.x, ex)-side+half), l.range1(max(s.x, ex)+side+half)
		j0, j1 := l.range1(min(s.y, ey)-side+half), l.range1(max(s.y, ey)+side+half)
		for j := j0; j <= j1; j++ {
			for i := i0; i <= i1; i++ {
				x, y := (float64(i)+0.5)*bucket-half, (float64(j)+0.5)*bucket-half
				px, py := x-s.x, y-s.y
				a := min(max(px*s.dx+py*s.dy, 0), s.long)
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
	k := len(l.patches) - 1
	for k >= 0 && !l.patches[k].holds(x, y) {
		k--
	}
	var list []int32
	if k >= 0 {
		list = l.patches[k].list
	} else {
		list = l.square(x, y).list
	}
	return l.face.above(math.Sqrt(x*x+y*y), l.height(list, x, y))
}

// square returns the patch of the square about (x, y) and what lies beyond its sides.
func (l *left) square(x, y float64) patch {
	half := float64(l.n) * bucket / 2
	i, j := l.range1(x+half), l.range1(y+half)
	k := j*l.n + i
	p := patch{x0: float64(i)*bucket - half - beyond, y0: float64(j)*bucket - half - beyond, x1: float64(i+1)*bucket - half + beyond, y1: float64(j+1)*bucket - half + beyond}
	if l.thinned[k] == nil { // one that is empty is found again each time
		p.list = l.squares[k]
		l.thinned[k] = l.few(nil, &p)
	}
	p.list = l.thinned[k]
	return p
}

// focus has the places about (x, y), within reach, looked up in short lists.
func (l *left) focus(x, y, reach float64) {
	near := min(reach, beyond)
	n := len(l.patches)
	for n > 0 && !(l.patches[n-1].holds(x-near, y-near) && l.patches[n-1].holds(x+near, y+near)) {
		n--
	}
	if l.patches = l.patches[:n]; n == 0 {
		l.patches = append(l.patches, l.square(x, y))
	}
	for in := l.patches[len(l.patches)-1]; len(in.list) > 3 && in.x1-in.x0 > 6*reach; l.patches = append(l.patches, in) {
		side := max((in.x1-in.x0)/6, 2*reach)
		in.x0, in.x1 = max(in.x0, x-side), min(in.x1, x+side)
		in.y0, in.y1 = max(in.y0, y-side), min(in.y1, y+side)
		in.list = l.few(nil, &in)
	}
}

// few returns those of a patch's pieces that do not lie over others everywhere in it,
// after what the list holds already. A swept line is convex: its greatest height over the
// patch is at a corner, and its least not below the middle by more than a corner is above
// it. Bows are not asked.
func (l *left) few(to []int32, p *patch) []int32 {
	x, y, hd := (p.x0+p.x1)/2, (p.y0+p.y1)/2, math.Hypot(p.x1-p.x0, p.y1-p.y0)/2
	// greatest is what a piece is at most at the corners, or something above stop.
	greatest := func(k int32, stop float64) (high float64) {
		s, c := &l.pieces[k], &l.tools[l.of[k]]
		high = math.Inf(-1)
		for i := 0; i < 4 && high <= stop; i++ {
			x, y := p.x0, p.y0
			if i%2 == 1 {
				x = p.x1
			}
			if i/2 == 1 {
				y = p.y1
			}
			high = max(high, s.under(c, x, y, math.Inf(1)))
		}
		return high
	}
	low := 0.0
	l.lows = l.lows[:0]
	for _, k := range p.list {
		s, c := &l.pieces[k], &l.tools[l.of[k]]
		one := lowest{k, s.least(c, x, y, hd), 0}
		if one.least > low {
			continue
		}
		if one.z = s.under(c, x, y, math.Inf(1)); one.z < low && !s.bow {
			low = min(low, greatest(k, low))
		}
		l.lows = append(l.lows, one)
	}
	n := 0
	for _, one := range l.lows {
		if one.least > low {
			continue
		}
		if one.z > low && !l.pieces[one.piece].bow {
			// With room for how well a bull's height is known.
			if most := 2*one.z - low - 1e-7; greatest(one.piece, most) < most {
				continue
			}
		}
		l.lows[n] = one
		n++
	}
	// The lowest at the middle first: most of the others then stop early.
	slices.SortFunc(l.lows[:n], func(a, b lowest) int { return cmp.Compare(a.z, b.z) })
	for _, one := range l.lows[:n] {
		to = append(to, one.piece)
	}
	return to
}

// lowest is a piece with what it is nowhere below in a patch, and its height at the middle.
type lowest struct {
	piece    int32
	least, z float64
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
	const block = 4 // squares of the grid along a side of what shares a list
	blocks := (k + block - 1) / block
	l.blocks = make([][]int32, blocks*blocks)
	for j := range l.n {
		for i := range l.n {
			x0, y0 := float64(i)*bucket-half, float64(j)*bucket-half
			nx, ny := max(0, max(x0, -x0-bucket)), max(0, max(y0, -y0-bucket))
			if math.Hypot(nx, ny) > l.face.rim {
				continue
			}
			in := patch{x0, y0, x0 + bucket, y0 + bucket, l.squares[j*l.n+i]}
			in.list = l.few(l.around[:0], &in)
			l.around = in.list
			for q := range blocks * blocks {
				x1, y1 := x0+float64(q%blocks)*block*step, y0+float64(q/blocks)*block*step
				l.blocks[q] = l.few(l.blocks[q][:0], &patch{x1, y1, x1 + block*step, y1 + block*step, in.list})
			}
			best := high{over: math.Inf(-1)}
			for q := range k * k {
				x := x0 + (float64(q%k)+chance.Float64())*step
				y := y0 + (float64(q/k)+chance.Float64())*step
				d := math.Sqrt(x*x + y*y)
				if d > l.face.rim {
					continue
				}
				evaluated++
				list := l.blocks[q/k/block*blocks+q%k/block]
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
		l.focus(x, y, 2*step)
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
		l.focus(h.x, h.y, step)
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
