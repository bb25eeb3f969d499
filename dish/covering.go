package dish

import (
	"fmt"
	"math"
	"slices"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// EdgeExcess returns how much longer the edge of a flat round sheet is than the circle
// on a sphere of radius R that it would have to cover, s along the surface from the
// apex: 2π (s − R sin(s/R)), in mm, for s along the surface is the angle s/R from the
// apex, and the circle there has the radius R sin(s/R). So much has to be left out in
// gaps.
func EdgeExcess(R, s float64) float64 {
	a := s / R
	if a < 0.1 { // 2πR (a³/6 − a⁵/120 + a⁷/5040): the difference would lose its digits
		b := float64(a * a)
		return float64(2 * math.Pi * R * a * b * (1.0/6 - float64(b*(1.0/120-b/5040))))
	}
	return float64(2 * math.Pi * (s - float64(R*math.Sin(a))))
}

// CoveringPiece is one flat piece of a covering: its outline and where it goes.
type CoveringPiece struct {
	Name    string
	Outline []r2.Vec // in its own frame: a wedge from its tip along X, a strip about its middle, along X
	Turn    float64  // of the piece about the apex, counter-clockwise, radians
	Shift   r2.Vec   // of its frame's middle from the apex, before it is turned: where it lies in plan, about
}

const (
	coveringSteps = 64 // places along a piece: its edges bend by tenths of a millimetre over all of them
	minWedges     = 2
	maxWedges     = 72
	maxStrips     = 400
)

// CoveringDisc returns a covering of one piece, that reaches s along the surface from the apex.
func CoveringDisc(s float64) []CoveringPiece {
	var outline []r2.Vec
	for k := range 4 * coveringSteps {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / (4 * coveringSteps))
		outline = append(outline, r2.Vec{X: float64(s * cos), Y: float64(s * sin)})
	}
	return []CoveringPiece{{Name: "1", Outline: outline}}
}

// CoveringWedges returns the pieces of a round covering, n equal ones, for the sphere of
// radius R, that reach s along the surface from the apex, with a gap left at every
// seam. At the distance t from the tip a wedge is as wide as the sphere's circle
// there has room for: 2πR sin(t/R)/n less the gap.
//
// Seams that lean turn about the apex in proportion to t, by tan lean at the rim, where
// they lie at that angle to the radius: counter-clockwise for a lean above 0. A place at the
// angle a from the piece's middle lies at the flat angle a R sin(t/R)/t, so that circles
// keep their lengths; radii shear by a t²/3R², which on a dish is less than a thousandth.
func CoveringWedges(R, s float64, n int, gap, lean float64) ([]CoveringPiece, error) {
	switch {
	case n < minWedges || n > maxWedges:
		return nil, fmt.Errorf("%d wedges: %d to %d can be cut", n, minWedges, maxWedges)
	case !(s > 0 && s < R*math.Pi/2) || math.IsInf(R, 0):
		return nil, fmt.Errorf("a covering that reaches %g mm on a sphere of %g mm", s, R)
	case !(gap >= 0 && 2*math.Pi*R*math.Sin(s/R)/float64(n) > 2*gap):
		return nil, fmt.Errorf("a gap of %g mm leaves nothing of the wedges", gap)
	case !(math.Abs(lean) < math.Pi/2):
		return nil, fmt.Errorf("seams that lean by %g", lean)
	}
	turned := func(t float64) float64 { // the flat angle of a wedge's middle at t
		return float64(float64(math.Tan(lean)*(t/s-0.5)) * float64(R*math.Sin(t/R)/t))
	}
	half := func(t float64) float64 { // along the flat arc at t
		return math.Pi*R*math.Sin(t/R)/float64(n) - gap/2
	}
	// The tip begins where the gaps leave something of it.
	tip, _ := exact.Bisect(s, 0, 60, func(t float64) bool { return half(t) > 0 })
	var upper, lower []r2.Vec
	for k := range coveringSteps + 1 {
		t := tip + (s-tip)*float64(k)/coveringSteps
		a, b := max(0, half(t))/t, turned(t)
		upper = append(upper, r2.Vec{X: float64(t * math.Cos(b+a)), Y: float64(t * math.Sin(b+a))})
		lower = append(lower, r2.Vec{X: float64(t * math.Cos(b-a)), Y: float64(t * math.Sin(b-a))})
	}
	edge := max(0, half(s)) / s
	outline := append([]r2.Vec(nil), lower...)
	for k := 1; k < coveringSteps; k++ { // the arc at the rim
		a := turned(s) + float64(edge*(float64(2*float64(k))/coveringSteps-1))
		outline = append(outline, r2.Vec{X: float64(s * math.Cos(a)), Y: float64(s * math.Sin(a))})
	}
	for k := len(upper) - 1; k >= 0; k-- {
		outline = append(outline, upper[k])
	}
	var list []CoveringPiece
	for k := range n {
		list = append(list, CoveringPiece{Name: fmt.Sprint(k + 1), Outline: outline, Turn: 2 * math.Pi * float64(k) / float64(n)})
	}
	return list, nil
}

// CoveringStrips returns the pieces of a covering cut from a roll of the given width: strips
// along X whose middle lines lie on great circles that cross the Y axis a width
// apart and come together far outside the dish. At the distance t from there a
// strip is narrower, R atan(tan(width/2R) cos(t/R)) on either side, so that no strip
// lies on the next; the gap is left at every seam. All of them are turned by lean.
func CoveringStrips(R, s, width, gap, lean float64) ([]CoveringPiece, error) {
	switch {
	case !(s > 0 && s < R*math.Pi/2) || math.IsInf(R, 0):
		return nil, fmt.Errorf("a covering that reaches %g mm on a sphere of %g mm", s, R)
	case !(gap >= 0 && width > 2*gap && width > 1):
		return nil, fmt.Errorf("strips of %g mm with gaps of %g mm", width, gap)
	case 2*s/width > maxStrips:
		return nil, fmt.Errorf("strips of %g mm: over %d of them", width, maxStrips)
	}
	n := int(math.Ceil(2*s/width - 1e-9))
	var list []CoveringPiece
	for k := range n {
		y := float64((float64(k) - float64(n-1)/2) * width)
		if outline := coveringStrip(R, s, width, gap, y/R); len(outline) > 2 {
			list = append(list, CoveringPiece{Name: fmt.Sprint(k + 1), Outline: outline, Turn: lean, Shift: r2.Vec{Y: float64(R * math.Sin(y/R))}})
		}
	}
	return list, nil
}

// coveringStrip is the outline of one strip whose middle line crosses the Y axis at the
// angle alpha from the apex.
func coveringStrip(R, s, width, gap, alpha float64) []r2.Vec {
	sin, cos := math.Sincos(alpha)
	rim := math.Cos(s / R)
	// height of the place t along and v aside over the sphere's middle, as a share of R.
	height := func(t, v float64) float64 {
		return float64(math.Cos(t/R)*math.Cos(v/R)*cos) - float64(math.Sin(v/R)*sin)
	}
	side := func(t float64) float64 {
		return float64(R*math.Atan(math.Tan(width/2/R)*math.Cos(t/R))) - gap/2
	}
	// edges returns the part of the line across at t that lies on the dish: height is
	// concave in v, greatest at tan(v/R) = −tan(alpha)/cos(t/R).
	edges := func(t float64) (low, up float64, ok bool) {
		w := side(t)
		top := max(-w, min(w, -R*math.Atan(math.Tan(alpha)/math.Cos(t/R))))
		if !(w > 0) || height(t, top) < rim {
			return 0, 0, false
		}
		find := func(end float64) float64 {
			if height(t, end) >= rim {
				return end
			}
			in, _ := exact.Bisect(top, end, 60, func(v float64) bool { return height(t, v) >= rim })
			return in
		}
		return find(-w), find(w), true
	}
	if _, _, ok := edges(0); !ok {
		return nil
	}
	far, _ := exact.Bisect(0, float64(s*1.2), 60, func(t float64) bool {
		_, _, ok := edges(t)
		return ok
	})
	var ts []float64
	for k := range 2*coveringSteps + 1 { // closer together near the ends, where the rim turns
		ts = append(ts, float64(far*math.Sin(math.Pi/2*(float64(k)/coveringSteps-1))))
	}
	for _, sense := range [2]float64{-1, 1} { // where a long side meets the rim
		in, _ := exact.Bisect(0, far, 60, func(t float64) bool { return height(t, float64(sense*side(t))) >= rim })
		ts = append(ts, in, -in)
	}
	slices.Sort(ts)
	var low, up []r2.Vec
	for _, t := range ts {
		a, b, ok := edges(t)
		if !ok {
			continue
		}
		low, up = append(low, r2.Vec{X: t, Y: a}), append(up, r2.Vec{X: t, Y: b})
	}
	for k := len(up) - 1; k >= 0; k-- {
		low = append(low, up[k])
	}
	return low
}
