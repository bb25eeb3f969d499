package dish

import (
	"errors"
	"fmt"
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// sharpest is the cosine of the bend beyond which an outer corner is rounded with an arc of
// its own, 10 degrees; bends that are smaller are mitred.
const sharpest = 0.985

// Offset returns the corners of the closed line at a distance in mm outside the band's own
// (inside it where it is negative). At corners that open outward it goes round, at others
// the sides' lines meet; what comes nearer to the line than it should, in a loop, is left
// out. It is an error where little or nothing is left, or two pieces.
func (b *Band) Offset(by float64) ([]r2.Vec, error) {
	n := len(b.line)
	var raw []r2.Vec
	for i, p := range b.line {
		in, out := b.normal[(i+n-1)%n], b.normal[i]
		cos := exact.Dot2(in, out)
		turn := exact.Cross2(in, out) // > 0: opens outward
		if cos > sharpest || (turn > 0) != (by > 0) {
			if k := 1 + cos; k > 0.02 { // else a line that turns back: its loop is left out
				raw = append(raw, exact.AddScaled2(p, r2.Add(in, out), by/k))
			}
			continue
		}
		for _, m := range fan(in, out) {
			raw = append(raw, exact.AddScaled2(p, m, by))
		}
	}
	// A thousandth of a millimetre is far below what passes may miss. A mitre lies a
	// little farther off than its sides.
	const near = 1e-3
	var kept []r2.Vec
	for _, p := range raw {
		if out := b.Outside(p.X, p.Y); (by >= 0 && out >= by-near) || (by < 0 && out <= by+near) {
			kept = append(kept, p)
		}
	}
	if len(kept) < 3 || len(kept) < len(raw)/4 {
		return nil, errors.New("comes to nothing there")
	}
	return b.joined(kept, by)
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
// lines meet where they do.
func (b *Band) joined(kept []r2.Vec, by float64) (line []r2.Vec, err error) {
	n := len(kept)
	for i, p := range kept {
		q := kept[(i+1)%n]
		line = append(line, p)
		middle := exact.Scale2(0.5, r2.Add(p, q))
		if out := b.Outside(middle.X, middle.Y); math.Abs(out-by) <= 0.01 {
			continue
		}
		gap := exact.Dist(q.X-p.X, q.Y-p.Y)
		if gap > mostJump {
			return nil, fmt.Errorf("falls into pieces near X%.0f Y%.0f", p.X, p.Y)
		}
		if m, ok := meeting(kept[(i+n-1)%n], p, q, kept[(i+2)%n], gap); ok {
			line = append(line, m)
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
