package proof
import ("testing";"fmt";"math";"dishwright/dish")
func (w *worker) dbgcell(c cell, from, to int, depth int) {
	if !w.shape(c) { return }
	w.gauge = newGauge(w.face, c.x, c.y)
	b := math.Min(c.bound, w.bound(c, from, to))
	if b <= w.enough() { return }
	if depth > 14 {
		fmt.Printf("cell %+v d %v count %d bound %v ncand %d top %v\n", c, math.Hypot(c.x,c.y),w.count, b, to-from, w.rows[0].highest)
		for _, r := range w.rows { fmt.Println("   row", r.corner[:w.count], r.highest) }
		for _, k := range w.candidates[from:to] { fmt.Println("   cand", k.least, k.middle, "bend", k.run.bend(c.x,c.y,math.Hypot(c.hu,c.hv))*math.Hypot(c.hu,c.hv)*math.Hypot(c.hu,c.hv)/2);if k.run.ring != nil {fmt.Println(*k.run.ring)} }
		fmt.Println("  lowest mid", w.lowest(spot{c.x,c.y}, from, to))
		w.along(c, from, to, b)
		u := w.half([4]int{0, 4, 6, 3}, c.hu, c.hv) + w.half([4]int{4, 1, 2, 6}, c.hu, c.hv)
		v := w.half([4]int{0, 1, 5, 7}, c.hv, c.hu) + w.half([4]int{7, 5, 2, 3}, c.hv, c.hu)
		fmt.Println("  u v", u, v, len(w.grids))
		for _, g := range w.grids { fmt.Println("   grid", g) }
		z := w.top
		for _, r := range w.tile.runs { z = math.Min(z, r.under(c.x, c.y)) }
		fmt.Println("  under mid", w.face.Over(math.Hypot(c.x,c.y), z))
		panic("stop")
	}
	along := w.along(c, from, to, b)
	for k := from; k < to; k++ {
		if w.candidates[k].least <= b { w.candidates = append(w.candidates, w.candidates[k]) }
	}
	end := len(w.candidates)
	for _, sign := range [2]float64{-1, 1} {
		h := c
		h.bound = b
		if along { h.hu /= 2; h.x, h.y = c.x+float64(sign*h.hu*w.ux), c.y+float64(sign*h.hu*w.uy)
		} else { h.hv /= 2; h.x, h.y = c.x-float64(sign*h.hv*w.uy), c.y+float64(sign*h.hv*w.ux) }
		w.dbgcell(h, to, end, depth+1)
	}
	w.candidates = w.candidates[:to]
}
func TestDebug(t *testing.T) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := ballCutter(12.7)
	cut := Cut{c, arcRings(face, c, 300, 2.2)}
	runs,_ := trace(cut)
	s := search{face: face, top: 0, slack: 0.001, left: 100000,
		best: Ridge{Certified: math.Inf(-1), Found: 0.09625}}
	s.tiles = lay(face, runs)
	tl := &s.tiles[378]
	w := worker{search:&s}
	w.tile=tl; w.best = s.best; w.left=1000000
	for _, r := range tl.runs { w.candidates = append(w.candidates, candidate{run:r}) }
	w.turn()
	hf := tl.half*(math.Abs(w.ux)+math.Abs(w.uy))
	w.dbgcell(cell{tl.x,tl.y,hf,hf,math.Inf(1)},0,len(w.candidates),0)
}
