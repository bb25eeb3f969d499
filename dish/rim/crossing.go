package rim

import (
	"fmt"
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// chordsPerPiece is into how many chords a piece is divided where its curve is compared
// with the others; a piece that cannot overshoot is nearly its chord.
const chordsPerPiece = 4

// checkCrossing finds where the curve crosses itself, in time that grows with the
// number of its chords: each is compared with those that share a bucket with it.
func (o *Outline) checkCrossing(points int) error {
	line := o.Polygon(chordsPerPiece)
	if i, j, ok := firstCrossing(line); ok {
		p := line[i]
		return &OutlineError{(i / chordsPerPiece) % points, fmt.Sprintf("the outline crosses itself near [%.4g mm, %.4g mm]", p.X, p.Y),
			fmt.Sprintf("points %d and %d lie there; in order round the body, each once", i/chordsPerPiece+1, j/chordsPerPiece+1)}
	}
	return nil
}

// Polygon returns the curve as a polygon with that number of chords to a piece.
func (o *Outline) Polygon(chords int) []r2.Vec {
	line := make([]r2.Vec, 0, chords*len(o.pieces))
	for _, p := range o.pieces {
		for k := range chords {
			line = append(line, p.at(float64(k)/float64(chords)))
		}
	}
	return line
}

// firstCrossing returns the first two sides of a closed polygon that cross or touch,
// neighbours left out.
func firstCrossing(line []r2.Vec) (i, j int, found bool) {
	n, perimeter := len(line), 0.0
	for i, p := range line {
		perimeter += exact.Norm2(r2.Sub(line[(i+1)%n], p))
	}
	cell := perimeter / float64(n)
	type bucket struct{ x, y int }
	buckets := map[bucket][]int{}
	for i, p := range line {
		q := line[(i+1)%n]
		for x := bucketIndex(min(p.X, q.X), cell); x <= bucketIndex(max(p.X, q.X), cell); x++ {
			low, high := rangeOver(p, q, float64(float64(x)*cell), float64(float64(x+1)*cell))
			for y := bucketIndex(low, cell); y <= bucketIndex(high, cell); y++ {
				for _, j := range buckets[bucket{x, y}] {
					neighbours := i-j == 1 || (j == 0 && i == n-1)
					if !neighbours && intersect(p, q, line[j], line[(j+1)%n]) {
						return j, i, true
					}
				}
				buckets[bucket{x, y}] = append(buckets[bucket{x, y}], i)
			}
		}
	}
	return 0, 0, false
}

// bucketIndex returns the number of the bucket that v lies in.
func bucketIndex(v, cell float64) int { return int(math.Floor(v / cell)) }

// rangeOver returns between which y the line from p to q lies over the column from
// x0 to x1, so that a long line is in few buckets.
func rangeOver(p, q r2.Vec, x0, x1 float64) (low, high float64) {
	if p.X > q.X {
		p, q = q, p
	}
	at := func(x float64) float64 {
		if q.X == p.X {
			return q.Y
		}
		return p.Y + float64((q.Y-p.Y)*min(1, max(0, (x-p.X)/(q.X-p.X))))
	}
	a, b := at(x0), at(x1)
	if q.X == p.X {
		a = p.Y
	}
	return min(a, b), max(a, b)
}

// intersect reports whether two lines between points have a point in common.
func intersect(a, b, c, d r2.Vec) bool {
	side := func(a, b, p r2.Vec) float64 { return exact.Cross2(r2.Sub(b, a), r2.Sub(p, a)) }
	s1, s2, s3, s4 := side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)
	if s1 == 0 && s2 == 0 { // on one line: do their ranges meet?
		return max(min(a.X, b.X), min(c.X, d.X)) <= min(max(a.X, b.X), max(c.X, d.X)) &&
			max(min(a.Y, b.Y), min(c.Y, d.Y)) <= min(max(a.Y, b.Y), max(c.Y, d.Y))
	}
	return s1*s2 <= 0 && s3*s4 <= 0
}
