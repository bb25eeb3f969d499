package pass

import (
	"fmt"
	"math"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// lapPiece is the longest chord of a lap, mm: over a crown of 2 m it lies
	// 0.0004 mm under it, which is lifted.
	lapPiece = 2.5
	// sharpest is the cosine of the bend beyond which an outer corner is rounded
	// with an arc of its own, 10 degrees; bends that are smaller are mitred.
	sharpest = 0.985
	// overlapPieces is how many pieces a lap runs on before it goes over to the next.
	overlapPieces = 4
	// wayOver is how many times as long as wide the way over to the next lap is: it
	// turns by 18 degrees, and falls a third as steeply as the face does outward.
	wayOver = 3
)

// offset returns the closed line at a distance outside the band's own (inside it
// where it is negative). At corners that open outward it goes round, at others the
// sides' lines meet; what comes nearer to the line than it should, in a loop, is
// left out. It is a Problem where little or nothing is left.
func offset(band *dish.Band, by float64) ([]r2.Vec, error) {
	points, normals := band.Line()
	n := len(points)
	var raw []r2.Vec
	for i, p := range points {
		a, b := normals[(i+n-1)%n], normals[i]
		cos := exact.Dot2(a, b)
		turn := exact.Cross2(a, b) // > 0: opens outward
		if cos > sharpest || (turn > 0) != (by > 0) {
			if k := 1 + cos; k > 0.02 { // else a line that turns back: its loop is left out
				raw = append(raw, exact.AddScaled2(p, r2.Add(a, b), by/k))
			}
			continue
		}
		for _, m := range fan(a, b) {
			raw = append(raw, exact.AddScaled2(p, m, by))
		}
	}
	// A thousandth of a millimetre is far below what a lap may miss. A mitre lies a
	// little farther off than its sides.
	const near = 1e-3
	var kept []r2.Vec
	for _, p := range raw {
		if out := band.Outside(p.X, p.Y); (by >= 0 && out >= by-near) || (by < 0 && out <= by+near) {
			kept = append(kept, p)
		}
	}
	if len(kept) < 3 || len(kept) < len(raw)/4 {
		return nil, work.Problems{{Kind: work.KindSize, Key: work.KeyWall, Message: fmt.Sprintf("a line %s %s the mould's inside comes to nothing there", work.MM(math.Abs(by)), side(by)), Hint: "a smaller cutter, or a narrower wall"}}
	}
	return joined(band, kept, by)
}

func side(by float64) string {
	if by < 0 {
		return "within"
	}
	return "outside"
}

// fan returns directions from a to b, at most 10 degrees apart.
func fan(a, b r2.Vec) []r2.Vec {
	list := []r2.Vec{a, b}
	for k := 0; k+1 < len(list); {
		p, q := list[k], list[k+1]
		if exact.Dot2(p, q) > sharpest || len(list) > 64 {
			k++
			continue
		}
		m := r2.Add(p, q)
		l := exact.Dist(m.X, m.Y)
		if l < 1e-6 { // half a turn: by way of the side
			m, l = r2.Vec{X: p.Y, Y: -p.X}, 1
		}
		list = append(list[:k+1], append([]r2.Vec{exact.Scale2(1/l, m)}, list[k+1:]...)...)
	}
	return list
}

// mostJump is how far, in mm, two kept points may stand apart where a loop was left
// out: farther than that the line has come to two pieces.
const mostJump = 25.0

// joined closes the gaps that loops have left, with the corner in which the two
// lines meet where they do, and divides what is long.
func joined(band *dish.Band, kept []r2.Vec, by float64) ([]r2.Vec, error) {
	n := len(kept)
	var line []r2.Vec
	for i, p := range kept {
		q := kept[(i+1)%n]
		gap := exact.Dist(q.X-p.X, q.Y-p.Y)
		corners := []r2.Vec{p}
		middle := exact.Scale2(0.5, r2.Add(p, q))
		if out := band.Outside(middle.X, middle.Y); math.Abs(out-by) > 0.01 {
			if gap > mostJump {
				return nil, work.Problems{{Kind: work.KindSize, Key: work.KeyWall, Message: fmt.Sprintf("a line %s %s the mould's inside falls into pieces near X%.0f Y%.0f", work.MM(math.Abs(by)), side(by), p.X, p.Y), Hint: "a smaller cutter, or a narrower wall"}}
			}
			if m, ok := meeting(kept[(i+n-1)%n], p, q, kept[(i+2)%n], gap); ok {
				corners = append(corners, m)
			}
		}
		for k, a := range corners {
			b := q
			if k+1 < len(corners) {
				b = corners[k+1]
			}
			line = append(line, divided(a, b)...)
		}
	}
	return line, nil
}

// meeting returns where the line from a to b, run on, meets that from d to c, run
// on likewise, no farther than reach from either.
func meeting(a, b, c, d r2.Vec, reach float64) (r2.Vec, bool) {
	u, v := r2.Sub(b, a), r2.Sub(c, d)
	cross := exact.Cross2(u, v)
	if cross == 0 {
		return r2.Vec{}, false
	}
	g := r2.Sub(c, b)
	k := exact.Cross2(g, v) / cross
	m := exact.AddScaled2(b, u, k)
	if k < 0 || exact.Dist(m.X-b.X, m.Y-b.Y) > reach || exact.Dist(m.X-c.X, m.Y-c.Y) > reach {
		return r2.Vec{}, false
	}
	return m, true
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
// then slantwise over to the next one.
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
			from = ahead(next, from, max(overlapPieces*lapPiece, wayOver*over))
			way = append(way, divided(end, next[from])[1:]...)
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
