package post

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// readerMaxCoordinate bounds coordinates and radii, in mm. No machine reaches a
	// kilometre, and below it the noise of float64 stays under
	// readerRoundingNoise.
	readerMaxCoordinate = 1e6
	// readerRoundingNoise is more than rounding can make of a sum of coordinates, and far
	// less than a program's last decimal, in mm.
	readerRoundingNoise = 1e-9
	// The most by which the radii of an arc at its two ends may differ (3.5.3.2),
	// in mm: 0.002 mm in a program in mm, 0.0002 in in one in inches.
	readerRadiiToleranceMM, readerRadiiToleranceInch = 0.002, 0.0002 * 25.4
)

// requireUnit reports a length that is read before its unit is known.
func (x *reader) requireUnit(column int) error {
	if x.state.unit == 0 {
		return x.fail(column, "begin the program with G21 (mm) or G20 (inches)",
			"the length unit is not known: neither G20 nor G21 has been read")
	}
	return nil
}

// requireInRange reports a length that no machine has.
func (x *reader) requireInRange(v float64, column int) error {
	if !(math.Abs(v) <= readerMaxCoordinate) {
		return x.fail(column, "", "%v is farther than any machine goes", measure.MM(v))
	}
	return nil
}

// makeMove carries out G0, G1, G2 or G3: step 20.
func (x *reader) makeMove(code int) error {
	b, s := &x.block, &x.state
	first := b.firstAxis()
	if err := x.requireUnit(first); err != nil {
		return err
	}
	to, err := x.target()
	if err != nil {
		return err
	}
	column := first
	if b.gs&(1<<modalMotion) != 0 {
		column = b.gAt[modalMotion]
	}
	m := path.Move{
		Kind:   path.Line,
		From:   r3.Vec{X: s.at[0], Y: s.at[1], Z: s.at[2]},
		Source: path.Source{Line: x.lines.number, Column: column},
	}
	switch code {
	case 0:
		m.Kind = path.Traverse
	case 20, 30:
		if to, err = x.arc(&m, to, code == 20); err != nil {
			return err
		}
	}
	m.To = r3.Vec{X: to[0], Y: to[1], Z: to[2]}
	if code != 0 {
		if m.Feed, err = x.moveFeed(&m); err != nil {
			return err
		}
	}
	s.at = to
	x.moves++
	return x.sink.Move(m)
}

// target returns where the axis words of the line lead, in the face frame. An axis stays
// where it is, to the last bit, if its word names that place but for rounding: as it does
// in the other unit, after steps that lead back or under another origin. A step under G91
// is never dropped, so that many of them cannot drift.
func (x *reader) target() ([3]float64, error) {
	b, s := &x.block, &x.state
	to := s.at
	for i := range to {
		k := 'X' - 'A' + i
		if b.have&(1<<k) == 0 {
			continue
		}
		base := s.origin[i]
		if s.incremental {
			if base = s.at[i]; math.IsNaN(base) {
				return to, x.fail(b.column[k], "move there under G90 first",
					"a step along %c from a place that is not known", 'X'+rune(i))
			}
		}
		to[i] = float64(b.value[k]*s.unit) + base
		if !(math.Abs(to[i]) <= readerMaxCoordinate) {
			return to, x.requireInRange(to[i], b.column[k])
		}
		if !s.incremental && math.Abs(to[i]-s.at[i]) <= readerRoundingNoise {
			to[i] = s.at[i]
		}
	}
	return to, nil
}

// moveFeed returns the rate along the true path (2.1.2.5), in mm/min.
func (x *reader) moveFeed(m *path.Move) (float64, error) {
	s := &x.state
	if !s.inverse {
		if s.feed == 0 {
			return 0, x.fail(m.Source.Column, "give the feed with F, after the unit and the feed mode",
				"a %s without a feed: %s", m.Kind, s.noFeed)
		}
		return s.feed, nil
	}
	f, at := x.block.word('F')
	switch {
	case !x.block.has('F'):
		return 0, x.fail(m.Source.Column, "", "under G93 each G1, G2 and G3 needs its own F (3.5.19)")
	case f == 0:
		return 0, x.fail(at, "", "a feed of 0 under G93 never arrives")
	}
	length := m.Length()
	if math.IsNaN(length) {
		return 0, x.fail(m.Source.Column, "move there under G94 first", "a move under G93 from a place that is not known has no feed")
	}
	return float64(f * length), nil
}

// arc fills in an arc that ends at to, clockwise or not, and returns its end:
// the start's own two coordinates where the two differ by rounding alone, for
// then the text means a full circle.
func (x *reader) arc(m *path.Move, to [3]float64, clockwise bool) ([3]float64, error) {
	b, s := &x.block, &x.state
	i, j, n := s.plane.Axes()
	const names = "XYZ"
	at := m.Source.Column
	ends := b.have & (1<<('X'-'A'+i) | 1<<('X'-'A'+j))
	if ends == 0 {
		return to, x.fail(at, "give the end even where it is the start", "an arc in the %v plane needs %c or %c (3.5.3)", s.plane, names[i], names[j])
	}
	for k, v := range s.at {
		if math.IsNaN(v) {
			return to, x.fail(at, "move there first", "an arc from a place whose %c is not known", names[k])
		}
	}
	m.Kind, m.Plane, m.Clockwise = path.Arc, s.plane, clockwise
	closed := math.Hypot(to[i]-s.at[i], to[j]-s.at[j]) <= readerRoundingNoise
	offsets := b.have & (1<<('I'-'A') | 1<<('J'-'A') | 1<<('K'-'A'))
	var centre [3]float64
	centre[n] = s.at[n]
	var err error
	switch {
	case b.has('R') && offsets != 0:
		return to, x.fail(at, "", "an arc is given by R or by its centre, not by both (3.5.3)")
	case b.has('R') && closed:
		_, at := b.word('R')
		return to, x.fail(at, "give the centre", "an arc given by R may not end where it starts (3.5.3.1)")
	case b.has('R'):
		centre[i], centre[j], err = x.radiusCentre(to, clockwise)
	default:
		if closed {
			to[i], to[j] = s.at[i], s.at[j]
		}
		centre[i], centre[j], err = x.offsetCentre(to)
	}
	m.Centre = r3.Vec{X: centre[0], Y: centre[1], Z: centre[2]}
	return to, err
}

// offsetCentre returns the centre that I, J and K give, always as steps from the
// start (3.5.3.2), along the two axes of the plane.
func (x *reader) offsetCentre(to [3]float64) (ci, cj float64, err error) {
	b, s := &x.block, &x.state
	i, j, n := s.plane.Axes()
	const letters = "IJK"
	if b.has(letters[n]) {
		_, at := b.word(letters[n])
		return 0, 0, x.fail(at, "", "an arc in the %v plane takes no %c (3.5.3.2)", s.plane, letters[n])
	}
	if !b.has(letters[i]) && !b.has(letters[j]) {
		return 0, 0, x.fail(b.firstAxis(), "", "an arc in the %v plane needs %c or %c, or R (3.5.3.2)", s.plane, letters[i], letters[j])
	}
	centre, at := s.at, 0
	for _, k := range [...]int{i, j} {
		if !b.has(letters[k]) {
			continue
		}
		var v float64
		v, at = b.word(letters[k])
		centre[k] += float64(v * s.unit)
		if err := x.requireInRange(centre[k], at); err != nil {
			return 0, 0, err
		}
	}
	ci, cj = centre[i], centre[j]
	r0 := math.Hypot(s.at[i]-ci, s.at[j]-cj)
	r1 := math.Hypot(to[i]-ci, to[j]-cj)
	if r0 == 0 || r1 == 0 {
		return 0, 0, x.fail(at, "", "an arc of radius 0")
	}
	if d := math.Abs(r1 - r0); d > x.radiiTolerance()+readerRoundingNoise {
		return 0, 0, x.fail(at, "write more decimals",
			"the arc's radii at its start and end, %v and %v, differ by %v, more than %v (3.5.3.2)", measure.To(r0, 6), measure.To(r1, 6), measure.To(d, 6), measure.To(x.radiiTolerance(), 6))
	}
	return ci, cj, nil
}

// radiiTolerance returns by how much the radii of an arc may differ, in mm.
func (x *reader) radiiTolerance() float64 {
	if x.state.unit != 1 {
		return readerRadiiToleranceInch
	}
	return readerRadiiToleranceMM
}

// radiusCentre returns the centre of an arc given by R: one of less than half a
// turn, or of more where R is negative (3.5.3.1). Where half the chord exceeds
// the radius, by no more than the radii of an arc may differ, it is half a turn.
func (x *reader) radiusCentre(to [3]float64, clockwise bool) (ci, cj float64, err error) {
	b, s := &x.block, &x.state
	i, j, _ := s.plane.Axes()
	v, at := b.word('R')
	r := float64(v * s.unit)
	if err := x.requireInRange(r, at); err != nil {
		return 0, 0, err
	}
	if r == 0 {
		return 0, 0, x.fail(at, "", "an arc of radius 0")
	}
	di, dj := to[i]-s.at[i], to[j]-s.at[j]
	chord := math.Hypot(di, dj)
	half, size := chord/2, math.Abs(r)
	if half > size+x.radiiTolerance()+readerRoundingNoise {
		return 0, 0, x.fail(at, "", "a radius of %v does not reach the arc's end, %v away (3.5.3.1)", measure.MM(size), measure.MM(chord))
	}
	h := 0.0 // from the chord's middle to the centre, to the left as one walks along it
	if half < size {
		h = math.Sqrt(float64((size - half) * (size + half)))
	}
	if clockwise != (r < 0) {
		h = -h
	}
	ci = s.at[i] + di/2 - float64(h*(dj/chord))
	cj = s.at[j] + dj/2 + float64(h*(di/chord))
	return ci, cj, nil
}
