package pass

import (
	"math"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// lapPiece is the longest chord of a lap, mm: over a crown of 2 m it lies
	// 0.0004 mm under it, which is lifted.
	lapPiece = 2.5
	// overlapPieces is how many pieces a lap runs on before it goes over to the next.
	overlapPieces = 4
	// wayOver is how many times as long as wide the way over to the next lap is: it
	// turns by 18 degrees, and falls a third as steeply as the face does outward.
	wayOver = 3
)

// lapAt returns the closed line of a lap at a distance outside a band's own, in pieces.
func lapAt(band *dish.Band, by float64) (line []r2.Vec, err error) {
	corners, err := band.Offset(by)
	if err != nil {
		side := "outside"
		if by < 0 {
			side = "within"
		}
		return nil, work.Problems{{Kind: work.KindSize, Key: work.KeyWall, Message: measure.Say("a line %s %s the mould's inside %s", measure.MM(math.Abs(by)), side, err), Hint: measure.Say("a smaller cutter, or a narrower wall")}}
	}
	for i, p := range corners {
		line = append(line, divided(p, corners[(i+1)%len(corners)])...)
	}
	return line, nil
}

// divided returns a and the points that divide the way to b into pieces.
func divided(a, b r2.Vec) []r2.Vec {
	n := max(1, math.Ceil(exact.Dist(b.X-a.X, b.Y-a.Y)/lapPiece))
	var list []r2.Vec
	for k := 0.0; k < n; k++ {
		list = append(list, exact.AddScaled2(a, r2.Sub(b, a), k/n))
	}
	return list
}

// wayRound strings closed laps together: once round each and on by a few pieces,
// then slantwise over to the next one, always between the two.
func wayRound(lines [][]r2.Vec) (way []r2.Vec) {
	from := 0
	for k, line := range lines {
		n := len(line)
		for i := range n + 1 + overlapPieces {
			way = append(way, line[(from+i)%n])
		}
		if k+1 < len(lines) {
			end, next := way[len(way)-1], lines[k+1]
			from = nearest(next, end)
			over := exact.Dist(next[from].X-end.X, next[from].Y-end.Y)
			to := ahead(next, from, max(overlapPieces*lapPiece, wayOver*over))
			pieces := float64((to - from + len(next)) % len(next))
			for k := 1.0; k < pieces; k++ {
				p := next[(from+int(k))%len(next)]
				at := nearestOn(line, p)
				way = append(way, exact.AddScaled2(at, r2.Sub(p, at), k/pieces))
			}
			from = to
		}
	}
	return way
}

// ahead returns the number of the point of a closed line that lies so far ahead of
// point i along it, or a little farther.
func ahead(line []r2.Vec, i int, far float64) int {
	for range len(line) {
		j := (i + 1) % len(line)
		far -= exact.Dist(line[j].X-line[i].X, line[j].Y-line[i].Y)
		if i = j; far <= 0 {
			break
		}
	}
	return i
}

// nearestOn returns the place of a closed line that is nearest to p, the first of those that
// are as near but for rounding.
func nearestOn(line []r2.Vec, p r2.Vec) (at r2.Vec) {
	best := math.Inf(1)
	for i, a := range line {
		q, way := a, r2.Sub(line[(i+1)%len(line)], a)
		if long := exact.Dot2(way, way); long > 0 {
			q = exact.AddScaled2(a, way, max(0, min(1, exact.Dot2(r2.Sub(p, a), way)/long)))
		}
		if d := exact.Dist(q.X-p.X, q.Y-p.Y); d < best-work.Fuzz {
			best, at = d, q
		}
	}
	return at
}

// nearest returns the number of the point nearest to p.
func nearest(line []r2.Vec, p r2.Vec) int {
	best, at := math.Inf(1), 0
	for i, q := range line {
		if d := exact.Dist(q.X-p.X, q.Y-p.Y); d < best {
			best, at = d, i
		}
	}
	return at
}
