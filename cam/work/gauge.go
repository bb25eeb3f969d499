package work

import "dishwright/dish/measure"

// GaugeProblems returns every reason known before planning why templates cannot be
// cut from the work's blank on its machine.
func GaugeProblems(w *Work) (ps Problems) {
	b, m := w.Blank, w.Machine
	whole := len(w.Extras.Runs) == 0 // is all of the sheet run over? marks keep inside a scrap
	if whole && b.Length > m.Travel.X {
		ps.Add(KindTravel, sizeKey(b, false), measure.Say("a sheet of %s along X is beyond the travel of %s (%s)", measure.MM(b.Length), m.Name, measure.MM(m.Travel.X)), measure.Say("a smaller sheet, or a machine with more travel"))
	}
	if whole && b.Width > m.Travel.Y {
		ps.Add(KindTravel, sizeKey(b, true), measure.Say("a sheet of %s along Y is beyond the travel of %s (%s)", measure.MM(b.Width), m.Name, measure.MM(m.Travel.Y)), measure.Say("a smaller sheet, or a machine with more travel"))
	}
	if need := b.Thickness + w.Clearance(); need > m.Travel.Z {
		ps.Add(KindRoom, KeyThickness, measure.Say("the cutter must rise %s above the bed to clear everything; %s travels %s in Z", measure.MM(need), m.Name, measure.MM(m.Travel.Z)), measure.Say("a thinner sheet or lower hold-downs"))
	}
	return ps
}
