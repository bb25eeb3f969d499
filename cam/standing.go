package cam

import (
	"math"

	"dishwright/cam/pass"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
)

// holdDownProblems finds hold-downs on the face or off the blank, and obstacles that
// stand on the face.
func holdDownProblems(w work.Piece) (ps work.Problems) {
	ps = obstacleProblems(w)
	for i, h := range w.HoldDowns {
		key := work.HoldDownKey(i)
		if off, _ := w.Region.Off(h.X, h.Y); off < h.Radius {
			ps.Add(work.KindHoldDown, key, measure.Say("the hold-down at %v stands on %s", measure.At(h.X, h.Y), pass.GroundOf(w.Work).Face), offFace(h.Radius-off))
		} else if w.Blank.Inside(h.X, h.Y) < -h.Radius {
			ps.Add(work.KindHoldDown, key, measure.Say("the hold-down at %v stands beside the blank and holds nothing", measure.At(h.X, h.Y)), measure.Say("a place on the blank, in the face frame: X0 Y0 is over the apex"))
		}
	}
	return ps
}

// offFace says how far what stands on the face has to go at least: how much further the cutter
// and its holder come is known once the work is planned.
func offFace(by float64) measure.Said {
	return measure.Say("move it outward, at least %s and clear of the cutter and its holder: check of the job without it tells where there is room", measure.Enough(by, 0))
}

// obstacleProblems finds obstacles that stand on what is cut: how far a place lies
// from the face changes no faster than the place, so places a millimetre apart along
// the middle of one tell to half a millimetre.
func obstacleProblems(w work.Piece) (ps work.Problems) {
	for _, o := range w.Things() {
		if o.Holds {
			continue
		}
		n := int(math.Ceil(exact.Dist(o.DX, o.DY))) + 1
		worst := math.Inf(1)
		for k := range n + 1 {
			t := float64(k) / float64(n)
			off, _ := w.Region.Off(o.X+float64(t*o.DX), o.Y+float64(t*o.DY))
			worst = min(worst, off-o.Radius)
		}
		if worst < 0 {
			ps.Add(work.KindHoldDown, o.Key, measure.Say("the obstacle at %v stands on what is cut", measure.At(o.X, o.Y)), offFace(-worst))
		}
	}
	return ps
}
