package dial

import (
	"math"
	"slices"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/extra"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// What is assumed of a gauge upright on a rod in the collet, mm: beside its tip nothing hangs
// lower than its own travel within Stem of the tip's axis, and nothing lower than Above beyond
// that within Body. Many gauges of the trade are slimmer (from memory).
const (
	Stem  = 5.0
	Body  = 30.0
	Above = 15.0
)

const (
	// inside is how far within the rim, or a side, the outermost places lie, as fit --plan
	// has it.
	inside = 10.0
	// beside is the room that a tip wants beside a hole, a line or an edge, mm.
	beside = 4.0
	// aside is the room that stays between the gauge and what stands about, mm, and under is
	// how high something may stand that the gauge's body passes over: the body hangs higher
	// than this over the top of whatever is read.
	aside, under = 5.0, Above - 5
	// fewest places tell height, tilt and three bends, with some to spare.
	fewest = 9
	// leastTop are the places of a top, and leastWide is how wide the triangle of the widest
	// three must be, as a share of the blank.
	leastTop, leastWide = 3, 0.2
)

// Places returns where a work is read, in order, the first again at the end. The errors are
// work.Problems.
func Places(w *work.Work, of string, set extra.Set) ([]Place, error) {
	var ps work.Problems
	if w.Setups.Count != 0 {
		ps.Add(work.KindSetups, work.KeySetups, measure.Say("what is cut in several setups is larger than the machine, which would not reach its places"), measure.Say("a straightedge and a depth gauge: dishwright fit --plan says where"))
		return nil, ps
	}
	s := site{w, set, of}
	if of == Bed {
		return s.bed()
	}
	var wanted []r2.Vec
	switch part := w.Region.(type) {
	case dish.Disc:
		wanted = round(part.Radius)
	case dish.Strip:
		wanted = strip(part)
	default:
		ps.Add(work.KindSize, work.Key("form"), measure.Say("this job cuts no face that could be read: a dish, a caul or a board has one"), measure.Say("its edges are measured with a calliper"))
		return nil, ps
	}
	if of == Top {
		return s.top()
	}
	var list []Place
	for _, p := range wanted {
		// To half a millimetre, which is easy to find by hand and to write.
		p = r2.Vec{X: math.Round(2*p.X) / 2, Y: math.Round(2*p.Y) / 2}
		if q, ok := s.near(p); ok {
			list = append(list, rest(w, of, q.X, q.Y))
		}
	}
	if len(list) < min(fewest, len(wanted)-1) {
		ps.Add(work.KindHoldDown, work.HoldDownKey(0), measure.Say("what stands about and what is cut beside the face leaves %s to set a gauge down on, of %d", measure.Count(len(list), "place"), len(wanted)), measure.Say("a job of its own for the readings, with hold-downs that are lower or farther out, or none"))
		return nil, ps
	}
	return append(list, list[0]), nil
}

// round are places on two lines and their diagonals: the middle, half way, and near the rim.
func round(rim float64) []r2.Vec {
	reach := Reach(rim)
	list := []r2.Vec{{}}
	for k := range 4 {
		c, s := dish.UnitVector(90 * k)
		list = append(list, r2.Vec{X: float64(reach / 2 * c), Y: float64(reach / 2 * s)})
	}
	for k := range 8 {
		c, s := dish.UnitVector(45 * k)
		list = append(list, r2.Vec{X: float64(reach * c), Y: float64(reach * s)})
	}
	return list
}

// Reach is how far from the middle places lie at most, of a face that ends so far from it.
func Reach(rim float64) float64 { return max(rim/2, rim-inside) }

// strip are places on three lines along a board, back and forth, its middle first.
func strip(b dish.Strip) []r2.Vec {
	along, across := Reach(b.Length/2), Side(b)
	list := []r2.Vec{{}}
	for k, y := range []float64{-across, 0, across} {
		xs := []float64{-along, -along / 2, 0, along / 2, along}
		if k%2 == 1 {
			slices.Reverse(xs)
		}
		for _, x := range xs {
			if x != 0 || y != 0 {
				list = append(list, r2.Vec{X: x, Y: y})
			}
		}
	}
	return list
}

// Side is how far the outer lines of a board lie from its middle.
func Side(b dish.Strip) float64 { return max(b.Width/4, b.Width/2-inside) }

// site is a work with what is cut beside its face.
type site struct {
	*work.Work
	extras extra.Set
	of     string
}

// near returns the place nearest to the wanted one, as it finds it, where the tip and the gauge
// have room; false where there is none within 40 mm.
func (s site) near(p r2.Vec) (r2.Vec, bool) {
	if s.free(p) {
		return p, true
	}
	for far := 4.0; far <= 40; far += 4 {
		for k := range 8 {
			c, n := dish.UnitVector(45 * k)
			q := r2.Vec{X: p.X + math.Round(float64(far*c)), Y: p.Y + math.Round(float64(far*n))}
			if s.free(q) {
				return q, true
			}
		}
	}
	return p, false
}

// free reports whether a gauge may be set down at a place.
func (s site) free(p r2.Vec) bool {
	if x, y := s.TipTravel(); math.Abs(p.X) > x || math.Abs(p.Y) > y {
		return false
	}
	if s.of == Bed {
		return s.clear(p, aside+Body, 0)
	}
	out, _ := s.Region.Off(p.X, p.Y)
	on := s.Blank.Inside(p.X, p.Y) >= beside
	if s.of == Top { // whose edge may be broken
		on = s.Blank.Inside(p.X, p.Y) >= 2*beside
	}
	if !on || s.of == Face && out > -beside || s.of == Top && out < beside {
		return false
	}
	return s.clear(p, aside+Body, under) && s.extras.Beside(p.X, p.Y) >= beside
}

// clear reports whether a gauge has room beside what stands about: more beside what stands
// higher than the gauge's body passes over.
func (s site) clear(p r2.Vec, room, over float64) bool {
	for _, o := range work.Whole(s.Work).Standing() {
		if d := o.Clear(p.X, p.Y); d < aside+Stem || o.Height > over && d < room {
			return false
		}
	}
	return true
}

// bedLines are the lines along and across on which a bed is read, and fewestBed the places
// that make a map.
const bedLines, fewestBed = 5, 9

// bed returns places where the blank will lie, back and forth, as far as the tip reaches.
func (s site) bed() ([]Place, error) {
	tx, ty := s.TipTravel()
	x, y := min(tx, s.Blank.Length/2-inside), min(ty, s.Blank.Width/2-inside)
	var list []Place
	for k := range bedLines {
		for i := range bedLines {
			if k%2 == 1 {
				i = bedLines - 1 - i
			}
			at := func(i int, half float64) float64 {
				return math.Trunc(float64(half * (float64(2*i)/(bedLines-1) - 1)))
			}
			p := r2.Vec{X: at(i, x), Y: at(k, y)}
			if s.Blank.Inside(p.X, p.Y) > 0 && s.free(p) {
				list = append(list, rest(s.Work, s.of, p.X, p.Y))
			}
		}
	}
	if len(list) < fewestBed {
		var ps work.Problems
		ps.Add(work.KindHoldDown, work.HoldDownKey(0), measure.Say("what stands about leaves %s of the bed to set a gauge down on", measure.Count(len(list), "place")), measure.Say("a job of its own for the bed, without hold-downs: nothing lies on it yet"))
		return nil, ps
	}
	return append(list, list[0]), nil
}

// topWays are the directions in which places of a top are looked for, in the order in which
// they are read.
const topWays = 8

// top returns the outermost places of the land in eight directions.
func (s site) top() ([]Place, error) {
	var ps work.Problems
	if s.Skim.Off > 0 {
		ps.Add(work.KindSize, work.KeySkim, measure.Say("a top that is skimmed lies level: its places before that say nothing"), measure.Say("leave skim out, or the readings of the top"))
		return nil, ps
	}
	var list []Place
	var at []r2.Vec
	for k := range topWays {
		c, n := dish.UnitVector(360 / topWays * k)
		for far := s.Blank.OuterRadius(); far > 0; far -= 2 {
			p := r2.Vec{X: math.Round(float64(far * c)), Y: math.Round(float64(far * n))}
			if s.free(p) {
				list, at = append(list, rest(s.Work, s.of, p.X, p.Y)), append(at, p)
				break
			}
		}
	}
	if len(list) < leastTop || widest(at) < leastWide*s.Blank.InnerRadius() {
		ps.Add(work.KindLand, "blank", measure.Say("beside the face and what holds the blank there are not three places of its top that make a wide triangle"), measure.Say("a larger blank, or fewer or lower hold-downs there"))
		return nil, ps
	}
	return append(list, list[0]), nil
}

// widest returns the least height of the widest triangle of three of the places, mm.
func widest(at []r2.Vec) (best float64) {
	for i := range at {
		for j := range i {
			for k := range j {
				u, v := r2.Sub(at[i], at[k]), r2.Sub(at[j], at[k])
				area := math.Abs(float64(u.X*v.Y) - float64(u.Y*v.X))
				side := max(exact.Dist(u.X, u.Y), exact.Dist(v.X, v.Y), exact.Dist(u.X-v.X, u.Y-v.Y))
				if side > 0 {
					best = max(best, area/side)
				}
			}
		}
	}
	return best
}
