package scrap

import "math"

// Reading is one reading of a mark.
type Reading struct {
	Mark   int // its index in Layout.Marks
	Length float64
}

// Leaves is what stands between a mark and its reading, mm: standard deviations of what
// wood and machine leave, and the steps of what is read with.
type Leaves struct {
	Texture  float64 // of the height of a routed floor, from place to place
	Edge     float64 // of where a wall's edge stands
	Repeat   float64 // of where Z comes to again
	Calliper float64
	Rule     float64
}

// own returns what each reading of a kind of mark has of its own, but for the scatter that
// the readings themselves show; and what all readings of one mark share.
func (v Leaves) own(k Kind) (wood, step, shared float64) {
	switch k {
	case Strip: // a strip ends where one floor is lost in the other
		return 0, v.Rule, math.Hypot(math.Sqrt2*v.Texture, v.Repeat) / Slope
	case Floor:
		return v.Texture, v.Calliper, v.Repeat
	}
	return float64(math.Sqrt2 * v.Edge), v.Calliper, 0
}

// State is what can be said of a quantity.
type State int

// The states.
const (
	Unread     State = iota // none of its marks was read
	Unresolved              // chance alone would do what was read
	Resolved
	Beyond // of a tilt: more than the strips can show; Value is the least it is
)

// Quantity is what the readings tell of one thing.
type Quantity struct {
	Value      float64
	Half       float64 // of the interval that holds the true value in 95 of 100 cases
	Resolution float64 // half of what that interval is on a good scrap, each mark read Repeats times
	State      State
}

// Found is all that the readings tell.
type Found struct {
	Undersize Quantity    // what the cutter lacks of its diameter
	Backlash  [2]Quantity // of X and Y
	Tilt      [2]Quantity // the side of greater X, Y of the cutter's bottom lies so much lower
	Scale     [3]Quantity // by which share X, Y, Z go too far
	TouchOff  Quantity    // how much too deep all depths are
	Odd       []int       // marks whose readings do not go with those of the others
}

// Repeats is how often each mark is to be read.
const Repeats = 3

// confidence is that of every interval.
const confidence = 0.95

// Find tells what the readings do.
func (l *Layout) Find(list []Reading, v Leaves) (f Found) {
	across, wide := l.Across, 2*l.Body.Radius()
	w, s, d := l.solve(list, v, Boss, Pocket), l.solve(list, v, Strip), l.solve(list, v, Floor)
	w.good, s.good, d.good = w.ideal(), s.ideal(), d.ideal()
	f.Undersize = w.tell(diameter, wide, -1)
	for axis := range 2 {
		k := unknown(axis)
		f.Backlash[axis] = w.tell(backlashX+k, 0, 1)
		f.Scale[axis] = w.tell(acrossX+k, across, 1/across)
		f.Tilt[axis] = s.tell(tiltX+k, 0, 1)
		if s.beyond(axis) && f.Tilt[axis].State != Unread {
			f.Tilt[axis] = s.clipped().tell(tiltX+k, 0, 1).atLeast()
		}
	}
	f.Scale[2], f.TouchOff = d.tell(deepening, 1, 1), d.tell(touchOff, 0, 1)
	f.Odd = append(w.odd(), d.odd()...)
	return f
}

// tell returns what is known of an unknown, less base and times factor.
func (s system) tell(u unknown, base, factor float64) (q Quantity) {
	for j, c := range s.columns {
		if c == u && s.weight != nil {
			q = Quantity{float64((s.x[j] - base) * factor), float64(s.half(s.weight[j]) * math.Abs(factor)), float64(s.resolution(u) * math.Abs(factor)), Unresolved}
		}
	}
	if size := math.Abs(q.Value); size > q.Half && size > q.Resolution {
		q.State = Resolved
	}
	return q
}

// half returns half of the interval of what the weights make of the readings: their scatter,
// with Student's factor for as many degrees of freedom as Welch and Satterthwaite find beside
// what is taken as known [GUM, G.4].
func (s system) half(weight []float64) float64 {
	wood, step, common := s.leaves.own(s.kind)
	rounding := step / math.Sqrt(12)
	sigma, freedom := max(s.scatter, rounding), s.freedom
	if freedom == 0 { // nothing was read twice: the scatter is what the wood leaves
		sigma, freedom = math.Hypot(wood, rounding), math.Inf(1)
	}
	own, shared, bound := s.spread(weight)
	own, shared = float64(own*sigma), float64(shared*common)
	u := math.Hypot(own, shared)
	half := float64(u * student(float64(freedom*math.Pow(u/own, 4))))
	if s.freedom > 0 && s.scatter <= rounding { // all roundings of a mark may be the same
		half = max(half, math.Hypot(shared*normal, bound*step/2))
	}
	return half
}

// resolution is what half is on a good scrap.
func (s system) resolution(u unknown) float64 {
	for j, c := range s.good.columns {
		if c == u {
			return s.good.half(s.good.weight[j])
		}
	}
	return math.Inf(1)
}

// beyond reports whether a strip that tells of an axis ends where it tells nothing more.
func (s system) beyond(axis int) bool {
	for _, r := range s.list {
		if m := s.layout.Marks[r.Mark]; m.Kind == Strip && m.Axis == axis && math.Abs(r.Length-m.Nominal) > span()-s.leaves.Rule {
			return true
		}
	}
	return false
}

// clipped is the system of strips no longer and no shorter than what tells something.
func (s system) clipped() system {
	var list []Reading
	for _, r := range s.list {
		m := s.layout.Marks[r.Mark]
		list = append(list, Reading{r.Mark, min(max(r.Length, m.Nominal-span()), m.Nominal+span())})
	}
	c := s.layout.solve(list, s.leaves, Strip)
	c.good = s.good
	return c
}

// atLeast is of a quantity that is at least so large as the clipped readings say.
func (q Quantity) atLeast() Quantity {
	least := math.Abs(q.Value) - q.Half
	q.Value, q.State = math.Copysign(max(0, least), q.Value), Unresolved
	if least > 0 {
		q.State = Beyond
	}
	return q
}
