package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// straightRuns returns the straight runs of a move that may come near the blank, with
// the cutter raised by lift. It reuses dst.
func (s *Stock) straightRuns(dst []straightRun, c path.Cutter, m path.Move, lift float64) []straightRun {
	dst = dst[:0]
	body := c.Body()
	m, ok := knownMove(m)
	if !ok || !(body.Radius() > 0) || !(body.Corner >= 0) || !(body.Flat >= 0) {
		return dst
	}
	m.From.Z, m.To.Z, m.Centre.Z = m.From.Z+lift, m.To.Z+lift, m.Centre.Z+lift
	n, miss := chordCount(m)
	a := m.From
	for i := 1; i <= n; i++ {
		b := m.At(float64(i) / float64(n))
		if p, q, ok := s.clip(a, b, body.Radius()+miss); ok {
			dst = append(dst, newStraightRun(body, p, q, miss))
		}
		a = b
	}
	return dst
}

// knownMove returns the move with its coordinates limited to maxStockCoordinate, and
// reduced to its end where its start or its centre is not known; ok is false where the
// end is not known either.
func knownMove(m path.Move) (tame path.Move, ok bool) {
	if !finite(m.To) {
		return m, false
	}
	if m.To = withinRange(m.To); !known(m) {
		kind := m.Kind
		if kind == path.Arc {
			kind = path.Line
		}
		return path.Move{Kind: kind, From: m.To, To: m.To}, true
	}
	m.From, m.Centre = withinRange(m.From), withinRange(m.Centre)
	return m, true
}

// chordCount returns how many chords a move is divided into, and how far the move may lie
// from the point at the same share t of its chord. For a curve q(t) that is at most
// max|q″|/8, and an arc of angle φ whose radius ρ changes by δ has |q″| ≤ ρφ² + 2δφ; its
// third coordinate is linear.
func chordCount(m path.Move) (n int, miss float64) {
	angle, r0, r1 := m.Sweep()
	if m.Kind != path.Arc || angle == 0 || r0 == 0 {
		return 1, 0
	}
	angle = math.Abs(angle)
	r := max(r0, r1)
	k := math.Ceil(angle * math.Sqrt(r/(8*maxChordMiss)))
	k = max(max(k, math.Ceil(angle/0.5)), 1)
	k = min(k, maxStockChords)
	step := angle / k
	return int(k), (float64(r*step*step) + float64(2*math.Abs(r1-r0)/k*step)) / 8
}

// clip returns the part of the segment that lies within the field's box, grown
// by radius and a cell; ok is false where none does.
func (s *Stock) clip(a, b r3.Vec, radius float64) (p, q r3.Vec, ok bool) {
	t0, t1 := 0.0, 1.0
	grow := radius + s.cellSize
	d := r3.Sub(b, a)
	for _, e := range [4][2]float64{
		{-d.X, a.X - s.x0 + grow}, {d.X, -s.x0 + grow - a.X},
		{-d.Y, a.Y - s.y0 + grow}, {d.Y, -s.y0 + grow - a.Y},
	} {
		switch {
		case e[0] == 0 && e[1] < 0:
			return a, b, false
		case e[0] < 0:
			t0 = max(t0, e[1]/e[0])
		case e[0] > 0:
			t1 = min(t1, e[1]/e[0])
		}
	}
	if !(t0 <= t1) {
		return a, b, false
	}
	p, q = a, b
	if t0 > 0 {
		p = exact.AddScaled3(a, d, t0)
	}
	if t1 < 1 {
		q = exact.AddScaled3(a, d, t1)
	}
	return p, q, true
}

// withinRange limits the coordinates of v to maxStockCoordinate.
func withinRange(v r3.Vec) r3.Vec {
	held := func(x float64) float64 { return max(-maxStockCoordinate, min(maxStockCoordinate, x)) }
	return r3.Vec{X: held(v.X), Y: held(v.Y), Z: held(v.Z)}
}
