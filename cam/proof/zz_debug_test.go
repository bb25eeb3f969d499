package proof

import (
	"dishwright/dish"
	"fmt"
	"math"
	"testing"
)

func (w *worker) dbgcell(c cell, from, to int, depth int) {
	if !w.shape(c) {
		return
	}
	w.gauge = newGauge(w.face, c.x, c.y)
	b := math.Min(c.bound, w.bound(c, from, to))
	if b <= w.enough() {
		return
	}
	if depth > 17 {
		fmt.Printf("cell %+v d %v count %d bound %v ncand %d top %v\n", c, math.Hypot(c.x, c.y), w.count, b, to-from, w.rows[0].highest)
		for _, r := range w.rows {
			fmt.Println("   row", r.corner[:w.count], r.highest)
		}
		for _, k := range w.candidates[from:to] {
			fmt.Println("   cand", k.least, k.run.length(), k.run.ox, k.run.oy, k.run.ux, k.run.uy, k.run.concave)
		}
		for _, r := range w.tile.runs {
			z, st := lane{r, -1}.at(c.x, c.y)
			fmt.Println("  run", r.oy, r.uy, r.length(), r.concave, "at", z, st, "under", r.under(c.x, c.y), "least", w.least(c, r), "eps", r.eps)
			if z-r.under(c.x, c.y) > 0.01 && !math.IsInf(z, 1) {
				a, b := r.frame(c.x, c.y)
				fmt.Println("   frame", a, b, "low", r.low, r.least, len(r.s), "settle", r.settle(a, b))
			}
		}
		fmt.Println("  lowest mid", w.lowest(spot{c.x, c.y}, from, to))
		z := w.top
		for _, r := range w.tile.runs {
			z = math.Min(z, r.under(c.x, c.y))
		}
		fmt.Println("  under mid", w.face.Over(math.Hypot(c.x, c.y), z))
		panic("stop")
	}
	along := w.along(c, from, to, b)
	for k := from; k < to; k++ {
		if w.candidates[k].least <= b {
			w.candidates = append(w.candidates, w.candidates[k])
		}
	}
	end := len(w.candidates)
	for _, sign := range [2]float64{-1, 1} {
		h := c
		h.bound = b
		if along {
			h.hu /= 2
			h.x, h.y = c.x+float64(sign*h.hu*w.ux), c.y+float64(sign*h.hu*w.uy)
		} else {
			h.hv /= 2
			h.x, h.y = c.x-float64(sign*h.hv*w.uy), c.y+float64(sign*h.hv*w.ux)
		}
		w.dbgcell(h, to, end, depth+1)
	}
	w.candidates = w.candidates[:to]
}
func dbgTile(face dish.Face, cut Cut, tile int, found float64) {
	runs, _ := trace(cut)
	s := search{face: face, top: 0, slack: 0.001, left: 100000,
		best: Ridge{Certified: math.Inf(-1), Found: found}}
	s.tiles = lay(face, runs)
	tl := &s.tiles[tile]
	w := worker{search: &s}
	w.tile = tl
	w.best = s.best
	w.left = 1000000
	for _, r := range tl.runs {
		w.candidates = append(w.candidates, candidate{r, math.Inf(-1)})
	}
	w.turn()
	hf := tl.half * (math.Abs(w.ux) + math.Abs(w.uy))
	w.dbgcell(cell{tl.x, tl.y, hf, hf, math.Inf(1)}, 0, len(w.candidates), 0)
}
func dbgAll(face dish.Face, cut Cut, found float64) {
	runs, _ := trace(cut)
	s := search{face: face, top: 0, slack: 0.001, left: 100000,
		best: Ridge{Certified: math.Inf(-1), Found: found}}
	s.tiles = lay(face, runs)
	n := 0
	for i := range s.tiles {
		w := worker{search: &s}
		r := w.certify(&s.tiles[i], 5000)
		n += r.Cells
		if r.Cells > 1000 {
			fmt.Println(i, s.tiles[i].x, s.tiles[i].y, len(s.tiles[i].runs), r, w.ux, w.uy)
		}
		if n > 100000 {
			break
		}
	}
}
func TestDebug(t *testing.T) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := ballCutter(12.7)
	half := func(y float64) float64 { return math.Sqrt(math.Max(0, 300*300-y*y)) + 0.5 }
	cut := Cut{c, rasterMoves(face, c, evenRows(-300, 300, 280), half, 6)}
	dbgTile(face, cut, 2599, 0.0924)
}
func TestDebugF(t *testing.T) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := flatCutter(25.4)
	h, r := 0.05, 12.7
	ys := []float64{0}
	for y := 0.0; y < 287; {
		y += math.Min(h*7620/math.Max(y, 1), 2*math.Sqrt(2*r*h*7620/300)) * 0.93
		ys = append(ys, y)
		ys = append([]float64{-y}, ys...)
	}
	half := func(y float64) float64 { return math.Sqrt(math.Max(0, 300*300-y*y)) }
	cut := Cut{c, rasterMoves(face, c, ys, half, 8)}
	dbgTile(face, cut, 58, 0.1486)
}
