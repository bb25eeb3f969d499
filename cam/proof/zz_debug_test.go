package proof
import ("testing";"fmt";"math";"dishwright/dish")
func TestDebug(t *testing.T) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := ballCutter(12.7)
	cut := Cut{c, arcRings(face, c, 300, 2.2)}
	runs,_ := trace(cut)
	s := search{face: face, top: 0, slack: 0.001, left: 100000,
		best: Ridge{Certified: math.Inf(-1), Found: 0.09625}}
	s.tiles = lay(face, runs)
	for i := range s.tiles {
		w := worker{search:&s}
		r := w.certify(&s.tiles[i], 20000)
		if r.Cells > 2000 { fmt.Println(i, s.tiles[i].x, s.tiles[i].y, len(s.tiles[i].runs), r, w.ux,w.uy) }
	}
}
