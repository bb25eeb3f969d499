package cam_test
import ("testing";"time";"dishwright/cam";"dishwright/cam/proof";"dishwright/dish";"dishwright/cam/path")
func TestZZ(t *testing.T) {
	for _, size := range []struct{ radius, rim, scallop float64 }{{4572, 230, 0.1},{9000,150,0.3},{500,60,0.1},{7620,300,0.05}} {
		for _, c := range []path.Cutter{cam.InchFlat, cam.BigBull, cam.HalfFlat} {
		for _, k := range []dish.Kind{dish.Hollow, dish.Crown} {
		for _, sl := range []float64{0.06} {
			w := cam.Usual(k, size.radius, size.rim)
			w.Pattern, w.Scallop, w.Share = "spokes", size.scallop, 1
			s, err := cam.FinishingOf(w, c, 0.4)
			if err != nil { t.Log(size,c.Name,k,err); continue }
			b := time.Now()
			cuts := []proof.Cut{{Cutter: c, Moves: s.Moves}}
			worst, _ := proof.Gouge(w.Face, cuts)
			r, err := proof.Scallop(w.Face, 0, cuts, proof.ScallopOptions{Expect: w.Scallop, Slack: sl*w.Scallop, MostCells: 300000})
			t.Logf("%.1fs %v %s %s slack %v: %d moves gouge %.5f %+v %v %s", time.Since(b).Seconds(), size, c.Name, k, sl, len(s.Moves), worst.Amount, r, err, s.Pattern)
		}}}
	}
}
