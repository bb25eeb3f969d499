package given

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
)

// Least returns a length in mm, in plan, that no finishing passes of cutter
// c go below, links included, if they leave at most h mm above the face and never
// go below the sphere, which is continued beyond the rim. At h 0 it is +Inf.
//
// With its axis at d from the apex a cutter leaves at most h over a footprint: a
// crescent of a flat, an ellipse of a ball. All footprints together have to cover
// the face. Let M(d) be the most area that comes to the footprint for a mm of way
// in any direction (about its width), and give every place at X the weight
// 1 / (greatest M of all footprints that reach X or further out). Then no mm of
// way adds more than 1 to the weight covered, so the way is at least as long as
// the weight of the face, ∫ 2πX dX / M, less that of the first footprint.
//
// Where the cutter stands over the apex its footprint turns about as fast as one
// likes; these places are given no weight. But the cutter as a whole sweeps at
// most its diameter, which is a second bound; the greater of both is returned.
func Least(f dish.Face, c path.Cutter, h float64) float64 {
	if !(h > 0) {
		return math.Inf(1)
	}
	r, rim := c.Radius(), f.Rim
	least := max(0, math.Pi*(exact.Square(rim)-exact.Square(r))/(2*r))
	t := printer{work.Tool{Body: c.Body(), Worn: c.Body(), Face: f, Low: math.Inf(-1), Foot: math.Inf(1)}}
	sum, first, most, out := 0.0, 0.0, 0.0, rim
	for i := leastPlaces; i >= 0; i-- {
		p, ok := t.footprint(r+float64(rim*(float64(i)/leastPlaces)), h)
		if !ok || p.in >= rim {
			continue
		}
		width := p.widest()
		if !(width < math.Inf(1)) {
			break
		}
		most = max(most, width)
		first = max(first, p.area()/most)
		if p.out < out {
			sum += math.Pi * (exact.Square(out) - exact.Square(p.out)) / most
			out = p.out
		}
	}
	return max(least, sum-first)
}

const (
	// leastPlaces is at how many distances from the apex footprints are measured:
	// the width changes by under a hundredth from one to the next where it counts.
	leastPlaces = 256
	// printPlaces is at how many distances across its footprint each is measured,
	// closer at both ends, where its edge stands square to the slope.
	printPlaces = 32
	// printWays is in how many directions over half a turn a footprint is moved.
	printWays = 32
)

// LeastFinishing returns Least of a work whose cutter is worn and whose spindle leans as
// much as the job allows: what passes may leave is what the planner's budget gives them.
func LeastFinishing(w *work.Work, c path.Cutter) float64 {
	return Least(w.Face, c.Undersized(w.Undersize), work.NewBudget(w, c, 1).Ridge)
}

// LeastRoughing returns about how long in plan, mm, roughing is at least that clears a round
// face down to depth in so many layers, its ways a step apart: the area of wood that each
// layer finds above the face and its allowance, over the step. Round a crown it is out to a
// cutter's width beyond the rim.
func LeastRoughing(w *work.Work, c path.Cutter, depth float64, layers int, step float64) (mm float64) {
	const rings = 4096
	rim, wide := w.Face.Rim, w.Face.Rim/rings
	for k := range layers {
		area, level := 0.0, -depth*float64(k)/float64(layers)
		for i := range rings {
			if x := (float64(i) + 0.5) * wide; w.Face.Height(x)+w.Allowance < level {
				area += 2 * math.Pi * x * wide
			}
		}
		if w.Face.Falls() {
			area += math.Pi * (exact.Square(rim+c.Diameter) - exact.Square(rim))
		}
		mm += area / step
	}
	return mm
}

// printer is a cutter that leaves footprints on a face.
type printer struct{ work.Tool }

// footprint is what a cutter leaves low enough with its axis at one distance d
// from the apex: on every circle about the apex one arc, to both sides of d.
type footprint struct {
	d, in, out float64              // the axis; the innermost and outermost place, mm
	at         [printPlaces]float64 // circles, mm
	share      [printPlaces]float64 // of the distance from in to out, mm
	half       [printPlaces]float64 // half the arc, radians
	grows      [printPlaces]float64 // by how much half grows for a mm of d
	edge       float64              // area, for a mm of d, that comes at the circle on which the face rises to the level end
}

// footprint returns the footprint at d ≥ the cutter's radius, and whether there is one.
func (t printer) footprint(d, h float64) (p footprint, ok bool) {
	low, slope := t.Face.Tip(t.Body, d), t.Rise(d, 0)
	if math.IsNaN(low) || math.IsInf(slope, 0) {
		return p, false
	}
	p.d = d
	inside := func(X float64) bool { return t.room(low, X, h) >= t.ProfileWithin(math.Abs(X-d)) }
	x, _ := t.Contact(d, 0)
	x = min(max(x, d-t.Radius()), d+t.Radius())
	limit := func(no float64) float64 {
		_, no = exact.Bisect(x, no, 48, inside)
		return no
	}
	p.in, p.out = limit(d-t.Radius()), limit(d+t.Radius())
	mid, wide := (p.in+p.out)/2, (p.out-p.in)/2
	for i := range p.at {
		a := math.Pi * (float64(i) + 0.5) / printPlaces
		X := mid - float64(wide*math.Cos(a))
		p.at[i], p.share[i] = X, float64(float64(wide*math.Sin(a))*(math.Pi/printPlaces))
		E, wider := t.Flat, 0.0 // how far from the axis the cutter is low enough, and by how much that grows
		if H := t.room(low, X, h); H >= t.Corner {
			E += t.Corner
		} else if k := exact.HalfChord(t.Corner, t.Corner-H); H > 0 && k > 0 {
			E, wider = E+k, -slope*(t.Corner-H)/k
		}
		cos := (exact.Square(X) + exact.Square(d) - exact.Square(E)) / (2 * d * X)
		if !(cos < 1) {
			continue
		}
		p.half[i] = math.Acos(max(-1, cos))
		p.grows[i] = (float64(X*cos) - d + float64(E*wider)) / (d * X * exact.HalfChord(1, cos))
	}
	p.edge = t.edge(low, slope, d, h)
	return p, true
}

// room returns how far the height h above the face at X lies above the level low.
func (t printer) room(low, X, h float64) float64 {
	if t.Face.Level() {
		return h - low
	}
	curve := t.Face.Curve()
	left := t.Face.Radius - float64(curve*h) // radius of the sphere h above the face
	if t.Face.Rises() && X >= left {         // beyond what may be left everything is low enough
		return math.Inf(1)
	}
	return t.Face.Centre() - low - float64(curve*exact.HalfChord(left, X))
}

// edge returns the area that comes to a footprint, for a mm of d, at the circle on
// which h above the face is just as high as the tip: there the level end begins
// or ends to be low enough, all along its arc. Negative where it comes for a mm
// towards the apex.
func (t printer) edge(low, slope, d, h float64) float64 {
	if t.Face.Level() {
		return 0
	}
	curve := t.Face.Curve()
	v := float64(curve * (t.Face.Centre() - low)) // the tip's distance below or above the centre of the sphere
	r2 := exact.Square(t.Face.Radius-float64(curve*h)) - exact.Square(v)
	slope = -slope // the circle moves with the axis, and serves what lies outside
	if r2 <= 0 {
		return 0
	}
	X := math.Sqrt(r2)
	cos := (exact.Square(X) + exact.Square(d) - exact.Square(t.Flat)) / (2 * d * X)
	if !(cos < 1) {
		return 0
	}
	return float64(2 * math.Acos(max(-1, cos)) * v * slope)
}

// widest returns the most area that comes to the footprint for a mm of way. The
// rate is a convex function of the way, so between two directions that were tried
// it is at most the greater over the cosine of half the angle between them.
func (p footprint) widest() float64 {
	most := 0.0
	for k := range printWays + 1 {
		a := math.Pi * float64(k) / printWays
		away, turn := math.Cos(a), math.Sin(a)/p.d
		rate := max(0, float64(away*p.edge))
		for i, X := range p.at {
			if p.half[i] > 0 {
				g := float64(away * p.grows[i])
				rate += float64(float64(X*p.share[i]) * (max(0, g+turn) + max(0, g-turn)))
			}
		}
		most = max(most, rate)
	}
	return most / math.Cos(math.Pi/(2*printWays))
}

// area returns the footprint's area.
func (p footprint) area() float64 {
	sum := 0.0
	for i, X := range p.at {
		sum += float64(float64(2*p.half[i]) * float64(X*p.share[i]))
	}
	return sum
}
