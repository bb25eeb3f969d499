package proof

import (
	"fmt"
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// zigzag goes down from the blank's top between two places at a slope.
func zigzag(a, b r3.Vec, slope, to float64) (moves []path.Move) {
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	n := int(math.Ceil(-to / (slope * long)))
	return creep(stockVec(a.X, a.Y, 0), n, func(i int, p r3.Vec) r3.Vec {
		end := [2]r3.Vec{b, a}[i%2]
		return stockVec(end.X, end.Y, max(to, p.Z-slope*long))
	})
}

// helix goes down about a place from the blank's top, in turns of n chords each, or in arcs
// of a whole turn where n is 0.
func helix(x, y, radius, slope, to float64, n int) (moves []path.Move) {
	pitch := 2 * math.Pi * radius * slope
	at := func(turns float64) r3.Vec {
		sin, cos := math.Sincos(2 * math.Pi * (turns - math.Floor(turns))) // the same place after each
		return stockVec(x+radius*cos, y+radius*sin, max(to, -pitch*turns))
	}
	if n > 0 {
		return creep(at(0), int(math.Ceil(-to/pitch))*n, func(i int, _ r3.Vec) r3.Vec { return at(float64(i+1) / float64(n)) })
	}
	for k := 0.0; k < -to/pitch; k++ {
		moves = append(moves, path.Move{Kind: path.Arc, From: at(k), To: stockVec(x+radius, y, at(k+1).Z), Centre: stockVec(x, y, 0)})
	}
	return moves
}

// Wood that the core never leaves is not cut by however gentle a way down within its width.
func TestStockPosts(t *testing.T) {
	c := stockSmall
	c.Core, c.DepthOfCut, c.Ramp = c.Diameter*0.4, 9, 3*math.Pi/180
	slope, rc := math.Tan(c.Ramp)*0.95, c.Core/2
	drift := zigzag(stockVec(3, 4, 0), stockVec(3+rc/2, 4, 0), slope, -4)
	for i := range drift {
		drift[i].From.Y += float64(i) * rc / float64(len(drift))
		drift[i].To.Y += float64(i+1) * rc / float64(len(drift))
	}
	lifted, away := []path.Move{}, []path.Move{}
	for _, m := range zigzag(stockVec(3, 4, 0), stockVec(3+rc/2, 4, 0), slope, -4) {
		up := r3.Add(m.To, stockVec(0, 0, 0.3))
		lifted = append(lifted, m, stockTraverse(m.To, up), stockTraverse(up, m.To))
		over, far := stockVec(m.To.X, m.To.Y, 1), stockVec(40, 40, 1)
		away = append(away, m, stockTraverse(m.To, over), stockTraverse(over, far), stockTraverse(far, over), stockTraverse(over, m.To))
	}
	triangle := creep(stockVec(3+0.8*rc, 4, 0), 300, func(i int, p r3.Vec) r3.Vec { // with a wide octagon about it
		sin, cos := math.Sincos([3]float64{90, 225, 0}[i%3] * math.Pi / 180)
		q := stockVec(3+0.8*rc*cos, 4+0.8*rc*sin, p.Z)
		q.Z -= slope * math.Hypot(q.X-p.X, q.Y-p.Y)
		return q
	})
	for name, moves := range map[string][]path.Move{
		"triangle":            triangle,
		"zigzag":              zigzag(stockVec(3, 4, 0), stockVec(3+rc, 4, 0), slope, -4),
		"aslant":              zigzag(stockVec(3, 4, 0), stockVec(3+rc, 4+rc/2, 0), slope, -4),
		"nearly its width":    zigzag(stockVec(3, 4, 0), stockVec(3+1.5*rc, 4, 0), slope, -4),
		"hardly a way":        zigzag(stockVec(3, 4, 0), stockVec(3.01, 4, 0), slope, -4),
		"at a tenth of it":    zigzag(stockVec(3, 4, 0), stockVec(3+rc, 4, 0), slope/10, -4),
		"drifting":            drift,
		"with lifts":          lifted,
		"away each time":      away,
		"a helix":             helix(3, 4, 0.7*rc, slope, -4, 24),
		"a narrow helix":      helix(3, 4, 0.05*rc, slope, -4, 8),
		"a helix of arcs":     helix(3, 4, 0.7*rc, slope, -4, 0),
		"a narrow one":        helix(3, 4, 0.1*rc, slope, -4, 0),
		"down before it":      append(zigzag(stockVec(13, 4, 0), stockVec(13+3*c.Core, 4, 0), slope, -2), zigzagFrom(-2, stockVec(3, 4, 0), stockVec(3+rc, 4, 0), slope, -4)...),
		"after a level start": append(creep(stockVec(3-rc, 4, 0), 20, func(_ int, p r3.Vec) r3.Vec { return stockVec(p.X+rc/20, 4, 0) }), zigzag(stockVec(3, 4, 0), stockVec(3+rc/2, 4, 0), slope, -4)...),
	} {
		for _, cell := range []float64{0.25, 0.5} {
			r := NewStock(stockPlate, cell).Run(c, moves)
			require.NotEmpty(t, r.Posts, "%s, cells of %g", name, cell)
			require.Empty(t, r.TooSteep, name)
			require.LessOrEqual(t, len(r.Posts), 1+len(moves)/8, name)
			ball := c
			ball.Core = 0
			require.Empty(t, NewStock(stockPlate, cell).Run(ball, moves).Posts, name)
		}
	}
	// In what is cut already nothing stays.
	s := NewStock(stockPlate, 0.5)
	s.Cut(c, stockLine(stockVec(-20, 4, -4), stockVec(30, 4, -4)))
	require.Empty(t, s.Run(c, zigzag(stockVec(3, 4, 0), stockVec(3+rc, 4, 0), slope, -4)).Posts)
}

// zigzagFrom is a zigzag that begins at the height z, beside which a slot leads there.
func zigzagFrom(z float64, a, b r3.Vec, slope, to float64) (moves []path.Move) {
	moves = []path.Move{stockTraverse(stockVec(a.X+10, a.Y, z), stockVec(a.X+10, a.Y, 1)), stockTraverse(stockVec(a.X+10, a.Y, 1), stockVec(a.X, a.Y, 1)), stockLine(stockVec(a.X, a.Y, 1), stockVec(a.X, a.Y, 0))}
	return append(moves, zigzag(a, b, slope, to)...)
}

// A way down at the ramp that takes the core off every place is no fault, whichever it is.
func TestStockRampsLeaveNoPost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := stockSmall
		c.DepthOfCut = 9
		c.Core = c.Diameter * rapid.Float64Range(0.05, 0.8).Draw(t, "core")
		c.Ramp = rapid.Float64Range(0.5, 15).Draw(t, "ramp") * math.Pi / 180
		slope := math.Tan(c.Ramp) * rapid.Float64Range(0.1, 1).Draw(t, "share")
		far := c.Core * rapid.Float64Range(1, 4).Draw(t, "length")
		to := -min(3, far*slope*rapid.Float64Range(0.5, 9).Draw(t, "depth"))
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		cut := rapid.IntRange(1, 40).Draw(t, "parts")
		var moves []path.Move
		switch rapid.SampledFrom([]string{"zigzag", "helix", "arcs"}).Draw(t, "way") {
		case "zigzag":
			for _, m := range zigzag(stockVec(0, 0, 0), stockVec(far*math.Cos(turn), far*math.Sin(turn), 0), slope, to) {
				for k := range cut {
					moves = append(moves, stockLine(m.At(float64(k)/float64(cut)), m.At(float64(k+1)/float64(cut))))
				}
			}
		case "helix":
			moves = helix(0, 0, far/2, slope, to, 8+cut)
		case "arcs":
			moves = helix(0, 0, far/2, slope, to, 0)
		}
		first := moves[0].From
		above := r3.Add(first, stockVec(0, 0, 5))
		moves = append([]path.Move{stockTraverse(r3.Add(above, stockVec(40, 0, 0)), above), stockTraverse(above, r3.Add(first, stockVec(0, 0, 1))), stockLine(r3.Add(first, stockVec(0, 0, 1)), first)}, moves...)
		r := NewStock(stockPlate, rapid.Float64Range(0.2, 1).Draw(t, "cells")).Run(c, moves)
		if len(r.Posts) > 0 {
			t.Fatal(fmt.Sprintf("%+v", r.Posts[0]))
		}
	})
}

// A window's stretch is that of its places one after the other, whatever came and went.
func TestWindow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, want := window{through: noPlaces}, []stayPlace(nil)
		for i := range rapid.IntRange(1, 60).Draw(t, "steps") {
			if len(want) > 0 && rapid.IntRange(0, 2).Draw(t, "drop") == 0 {
				w.drop()
				want = want[1:]
			} else {
				p := stayPlace{stockVec(rapid.Float64Range(-9, 9).Draw(t, "x"), rapid.Float64Range(-9, 9).Draw(t, "y"), rapid.Float64Range(-9, 9).Draw(t, "z")), i, 0.5}
				w.add(p)
				want = append(want, p)
			}
			first, last := w.ends()
			if len(want) == 0 {
				require.Nil(t, first)
				continue
			}
			require.Equal(t, [2]stayPlace{want[0], want[len(want)-1]}, [2]stayPlace{*first, *last})
			x0, x1, fall := math.Inf(1), math.Inf(-1), 0.0
			for k, p := range want {
				x0, x1 = min(x0, p.X), max(x1, p.X)
				for _, q := range want[k:] {
					fall = max(fall, p.Z-q.Z)
				}
			}
			got := w.all()
			require.Equal(t, [3]float64{x0, x1, fall}, [3]float64{got.from[0], got.to[0], got.fall})
			require.InDelta(t, 0.5*float64(len(want)), got.ramps, 1e-9)
		}
	})
}
