package dish

import (
	"fmt"
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Band is the strip of even width outside a closed line: the edge of a mould whose
// inside is the line. Its places are those up to Width outside the line, edges
// included. The zero value is invalid: use NewBand.
type Band struct {
	Width float64 // mm

	line       []r2.Vec // counter-clockwise
	normal     []r2.Vec // of each side, outward
	origin     r2.Vec   // of the buckets
	cellSize   float64
	columns    int
	candidates [][]int32 // for each bucket the sides that may be the nearest of a place in it
}

const (
	// maxBandPoints is a point every tenth of a millimetre round a large body.
	maxBandPoints = 20_000
	// bandBuckets is the number of buckets across: a bucket then has a dozen sides of a
	// line of a thousand.
	bandBuckets = 64
)

// NewBand returns the band outside a closed line of at least three points, in
// either sense, the first not repeated. It is an error where a number is not finite or
// beyond 10 m, a point comes twice in a row, or the width is not above zero.
// The caller makes sure that the line does not cross itself.
func NewBand(line []r2.Vec, width float64) (*Band, error) {
	const maxCoordinate = 1e4
	if len(line) < 3 || len(line) > maxBandPoints {
		return nil, fmt.Errorf("a line of %d points makes no band", len(line))
	}
	if !(width > 0 && width <= maxCoordinate) {
		return nil, fmt.Errorf("a band %g mm wide", width)
	}
	b := &Band{Width: width, line: append([]r2.Vec(nil), line...)}
	area := 0.0
	for i, p := range line {
		q := line[(i+1)%len(line)]
		if !(math.Abs(p.X) <= maxCoordinate && math.Abs(p.Y) <= maxCoordinate) {
			return nil, fmt.Errorf("point %d of a band is no place", i)
		}
		if p == q {
			return nil, fmt.Errorf("point %d of a band comes twice", i)
		}
		area += exact.Cross2(p, q)
	}
	if area == 0 {
		return nil, fmt.Errorf("the line of a band encloses nothing")
	}
	if area < 0 {
		for i, j := 0, len(b.line)-1; i < j; i, j = i+1, j-1 {
			b.line[i], b.line[j] = b.line[j], b.line[i]
		}
	}
	for i, p := range b.line {
		d := r2.Sub(b.at(i+1), p)
		l := exact.Dist(d.X, d.Y)
		b.normal = append(b.normal, r2.Vec{X: d.Y / l, Y: -d.X / l})
	}
	b.buildIndex()
	return b, nil
}

// at returns point i of the line, counted round it.
func (b *Band) at(i int) r2.Vec { return b.line[(i+len(b.line))%len(b.line)] }

// Line returns the points of the line, counter-clockwise, and the outward normal of
// the side from each to the next. The caller must not change them.
func (b *Band) Line() (points, normals []r2.Vec) { return b.line, b.normal }

// Extent returns the distance from X0 Y0 to the farthest place of the band, or a
// little more.
func (b *Band) Extent() float64 {
	farthest := 0.0
	for _, p := range b.line {
		farthest = max(farthest, exact.Dist(p.X, p.Y))
	}
	return farthest + b.Width
}

// buildIndex lays buckets over the band, with its width round it, and lists in each the
// sides that come no farther from its middle than the nearest one and the bucket's
// diagonal: one of them is the nearest of any place in it.
func (b *Band) buildIndex() {
	lo, hi := b.line[0], b.line[0]
	for _, p := range b.line {
		lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
		hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
	}
	b.columns = bandBuckets
	b.cellSize = (max(hi.X-lo.X, hi.Y-lo.Y) + 4*b.Width) / bandBuckets
	b.origin = r2.Vec{X: lo.X - 2*b.Width, Y: lo.Y - 2*b.Width}
	b.candidates = make([][]int32, b.columns*b.columns)
	distances := make([]float64, len(b.line))
	for k := range b.candidates {
		m := r2.Vec{X: b.origin.X + float64((float64(k%b.columns)+0.5)*b.cellSize), Y: b.origin.Y + float64((float64(k/b.columns)+0.5)*b.cellSize)}
		nearest := math.Inf(1)
		for i := range b.line {
			distances[i], _ = b.sideDistance(i, m)
			nearest = min(nearest, distances[i])
		}
		for i, d := range distances {
			if d <= nearest+float64(b.cellSize*math.Sqrt2)+1e-9 {
				b.candidates[k] = append(b.candidates[k], int32(i))
			}
		}
	}
}

// sideDistance returns the distance of a place from side i, and how far along it the
// nearest point is, 0 to 1.
func (b *Band) sideDistance(i int, p r2.Vec) (distance, t float64) {
	a := b.line[i]
	d, v := r2.Sub(b.at(i+1), a), r2.Sub(p, a)
	t = exact.Dot2(v, d) / exact.Dot2(d, d)
	t = max(0, min(1, t))
	x, y := v.X-float64(t*d.X), v.Y-float64(t*d.Y)
	return exact.Dist(x, y), t
}

// Outside returns how far a place lies outside the line, mm; negative inside it.
func (b *Band) Outside(x, y float64) float64 {
	d, _ := b.SignedDistance(x, y)
	return d
}

// SignedDistance returns how far a place lies outside the line, and the direction in
// which that grows fastest: straight away from the nearest point outside, towards
// it inside, or the normal there on the line itself.
func (b *Band) SignedDistance(x, y float64) (outside float64, away r2.Vec) {
	p := r2.Vec{X: x, Y: y}
	distance, side, fraction := math.Inf(1), -1, 0.0
	try := func(i int) {
		if d, t := b.sideDistance(i, p); d < distance {
			distance, side, fraction = d, i, t
		}
	}
	i, j := (x-b.origin.X)/b.cellSize, (y-b.origin.Y)/b.cellSize
	if i >= 0 && j >= 0 && i < float64(b.columns) && j < float64(b.columns) {
		for _, n := range b.candidates[int(j)*b.columns+int(i)] {
			try(int(n))
		}
	} else {
		for n := range b.line {
			try(n)
		}
	}
	// At a corner the mean of the two sides' normals tells outside from inside.
	n, a := b.normal[side], b.line[side]
	switch fraction {
	case 0:
		n = r2.Add(n, b.normal[(side+len(b.line)-1)%len(b.line)])
	case 1:
		n, a = r2.Add(n, b.normal[(side+1)%len(b.line)]), b.at(side+1)
	}
	v := r2.Sub(p, a)
	sign := 1.0
	if exact.Dot2(v, n) < 0 {
		sign = -1
	}
	nearest := exact.AddScaled2(b.line[side], r2.Sub(b.at(side+1), b.line[side]), fraction)
	if distance == 0 {
		l := exact.Dist(n.X, n.Y)
		return 0, exact.Scale2(1/l, n)
	}
	return float64(sign * distance), exact.Scale2(sign/distance, r2.Sub(p, nearest))
}

// Normal returns the outward normal of the side of the line nearest to a place.
func (b *Band) Normal(x, y float64) r2.Vec {
	best, at := math.Inf(1), 0
	for i := range b.line {
		if d, _ := b.sideDistance(i, r2.Vec{X: x, Y: y}); d < best {
			best, at = d, i
		}
	}
	return b.normal[at]
}
