package work

import "fmt"

// GaugeProblems returns every reason known before planning why templates cannot be
// cut from the work's blank on its machine.
func GaugeProblems(w *Work) (ps Problems) {
	b, m := w.Blank, w.Machine
	if b.Length > m.Travel.X {
		ps.Add(KindTravel, sizeKey(b, false), fmt.Sprintf("a sheet of %s along X is beyond the travel of %s (%s)", MM(b.Length), m.Name, MM(m.Travel.X)), "a smaller sheet, or a machine with more travel")
	}
	if b.Width > m.Travel.Y {
		ps.Add(KindTravel, sizeKey(b, true), fmt.Sprintf("a sheet of %s along Y is beyond the travel of %s (%s)", MM(b.Width), m.Name, MM(m.Travel.Y)), "a smaller sheet, or a machine with more travel")
	}
	if need := b.Thickness + w.Clearance(); need > m.Travel.Z {
		ps.Add(KindRoom, KeyThickness, fmt.Sprintf("the cutter must rise %s above the bed to clear everything; %s travels %s in Z", MM(need), m.Name, MM(m.Travel.Z)), "a thinner sheet or lower hold-downs")
	}
	return ps
}
