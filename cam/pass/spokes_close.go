package pass

import "math"

// spot is a place of a pass: how far from the apex it touches the face there, in
// mm, and at what angle from +X, in turns.
type spot struct{ D, turns float64 }

// spoke is one pass, from the rim to its inner end.
type spoke []spot

// knotSpan is about how far apart, in mm, the knots of a pass stand between which
// it is straight: the way in which passes close up is nearly straight over that.
// Near the apex it bends more, with D^-1.5 at most: over D/knotPart its middle then
// lies by 15/32 / knotPart² of the step, a third of a hundredth, too far out.
const (
	knotSpan = 12.0
	knotPart = 12
	knotsEnd = 1.5 // mm; so close to the apex there is little left to serve
)

// close lays out the passes so that those that go on close up, belt by belt,
// just as fast as the scallops allow, while those that end go on between them.
func (s spokes) close() []spoke {
	rim := s.belts[0]
	list := make([]spoke, rim.count)
	for i := range list {
		list[i] = spoke{{rim.out, float64(i) / float64(rim.count)}}
	}
	alive := groups(rim.pairs())
	for k, b := range s.belts[:len(s.belts)-1] {
		c := closing{alive: alive, stays: survivors(alive, s.belts[k+1].pairs()), old: 1 / float64(b.count), now: 1 / float64(s.belts[k+1].count)}
		span := min(knotSpan, max(knotsEnd, b.in/knotPart))
		knots := max(2, int(math.Ceil((b.out-b.in)/span)))
		for i := 1; i <= knots; i++ {
			D, w := b.in, 1.0
			if i < knots {
				D = b.out + float64((b.in-b.out)*(float64(i)/float64(knots)))
				w = (2*half(s.tool, D, s.budget.Ridge) - c.old) / (c.now - c.old)
			}
			c.add(list, D, min(max(w, 0), 1))
		}
		alive = c.left()
	}
	return list
}

// group is neighbouring passes that end together: a pair, or one half of the
// pass across the apex.
type group struct{ first, size int }

// groups returns the groups of so many pairs in their order round the circle.
func groups(pairs int) []group {
	list := []group{{0, 1}}
	for i := range pairs {
		if i == pairs/2 {
			list = append(list, group{2*i + 1, 1})
		}
		first := 2*i + 1
		if i >= pairs/2 {
			first++
		}
		list = append(list, group{first, 2})
	}
	if pairs == 0 {
		list = append(list, group{1, 1})
	}
	return list
}

// closing is how passes close up over a belt: from places that are old turns
// apart to places that are now apart.
type closing struct {
	alive    []group
	stays    []bool // of alive: does it go on?
	old, now float64
}

// add adds a spot at D to every pass of the belt. Those that go on are a share w
// on their way; those that end stay together between them.
func (c closing) add(list []spoke, D, w float64) {
	n := len(c.alive)
	was, to := make([]float64, n+1), make([]float64, n+1) // how many passes come before each group
	for j, g := range c.alive {
		was[j+1], to[j+1] = was[j]+float64(g.size), to[j]
		if c.stays[j] {
			to[j+1] += float64(g.size)
		}
	}
	at := func(j int, k float64) float64 {
		return float64((1-w)*float64((was[j]+k)*c.old)) + float64(w*float64((to[j]+k)*c.now))
	}
	for j, g := range c.alive {
		if c.stays[j] {
			for k := range g.size {
				list[g.first+k] = append(list[g.first+k], spot{D, at(j, float64(k))})
			}
			continue
		}
		l, r := j, j
		for !c.stays[l-1] {
			l--
		}
		for r < n && !c.stays[r] {
			r++
		}
		left, right := at(l, -1), at(r, 0)
		share := (was[j] + 1.5 - was[l]) / (was[r] + 1 - was[l])
		mid := left + float64(share*(right-left))
		list[g.first] = append(list[g.first], spot{D, mid - c.old/2})
		list[g.first+1] = append(list[g.first+1], spot{D, mid + c.old/2})
	}
}

// left returns the groups that go on.
func (c closing) left() (list []group) {
	for j, g := range c.alive {
		if c.stays[j] {
			list = append(list, g)
		}
	}
	return list
}

// survivors returns which groups go on when only so many pairs do, the others
// evenly between them.
func survivors(alive []group, keep int) []bool {
	stays := make([]bool, len(alive))
	var pairs []int
	for j, g := range alive {
		if stays[j] = true; g.size == 2 {
			pairs = append(pairs, j)
		}
	}
	gone := len(pairs) - keep
	for i := range gone {
		stays[pairs[(2*i+1)*len(pairs)/(2*gone)]] = false
	}
	return stays
}
