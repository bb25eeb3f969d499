package sheet

import (
	"fmt"

	"dishwright/cam/work"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
)

// cares are the cautions, each said where it belongs.
const (
	careLock     = "Before hands come near the cutter: spindle off, standing still, and its power drawn or locked out as the machine's manual says. A still cutter cuts too."
	careBody     = "Eye and ear protection on. No gloves, loose sleeves, strings, rings or hair near the machine; nobody else within reach."
	careDust     = "Extraction at the cutter, and a fitting dust mask: fine dust, above all of MDF, harms lungs. Let the air settle before the mask comes off."
	careRelease  = "Hands off, everyone clear, one hand on the emergency stop before the program's stop is released."
	careStay     = "Stay beside it. A stop on the screen is no emergency stop."
	careFire     = "If it smokes or smells burnt, stop. Chips can smoulder in the bag for an hour: empty it outdoors, keep an extinguisher at hand."
	careFumes    = "Adhesives, sealers and wipes give off vapours that burn and harm: fresh air, no flame or spark, gloves and mask as the label says. Spread used rags out to dry in the open, one by one: heaped, some take fire by themselves."
	careCollet   = "Collet and shank clean, the shank in as deep as its maker marks, then drawn back 2 to 3 mm from the bottom, the collet never on fillet or flutes (common practice)."
	careWorkhold = "A blank that comes loose is thrown. Nothing may stand in the way of the cutter, the holder or the hood."
)

// steps is the checklist of the whole set.
func (c cut) steps() {
	list := []step{
		{"Read SAFETY.md, this sheet and the head of each program. If one sentence is not true of your bench, stop here.", ""},
		{"Put on what protects you and start the extraction.", careBody + " " + careDust},
	}
	for _, r := range [...]*shop.Result{c.r, c.r.Mate} {
		if r != nil {
			list = append(list, cut{page: c.page, r: r, u: c.u}.pieceSteps()...)
		}
	}
	list = append(list,
		step{"When all stands still: vacuum, do not sweep or blow; look at the face under slanting light.", careDust},
		step{"Empty the dust bag outdoors, and look again before you leave.", careFire},
	)
	c.add("Cutting, step by step", block{Steps: list})
}

// pieceSteps are those of one blank: before each program what is not as it was for the
// one before, in the words of order.txt.
func (c cut) pieceSteps() (list []step) {
	r := c.r
	var before *shop.BenchStep
	for i := range r.Texts {
		s, p := &r.Report.Order[i], r.Report.Programs[i]
		for _, one := range s.Sentences(before) {
			if one.Again {
				list = append(list, step{fmt.Sprintf("Program %d, before it: %s", s.Program, one), care(one.Act)})
			}
		}
		before = s
		run := fmt.Sprintf("Run program %d, %s: %s.", s.Program, p.Purpose, tell.Clock(p.TimeS))
		if p.Purpose == string(work.AirLap) {
			list = append(list, step{run + " Watch that everything clears what stands on the bed.", careRelease}, c.air())
			continue
		}
		list = append(list, step{run, careRelease + " " + careStay + " " + careFire})
	}
	if len(r.Extras.CutOuts) > 0 {
		list = append(list, step{"Saw the tabs by hand when all stands still.", careLock + " Until then leave the tabs and whatever else holds it."})
	}
	return list
}

// care is what an act of a step needs care for.
func care(a shop.Act) string {
	switch a {
	case shop.ActStill:
		return careLock
	case shop.ActFit:
		return careCollet
	case shop.ActLay:
		return careWorkhold
	}
	return ""
}

// air is the step in which the first program that cuts is tried.
func (c cut) air() step {
	off := "the spindle off"
	if c.r.Plan.Work.Machine.HandRouter() {
		off = "the router unplugged"
	}
	return step{"Run the first program that cuts in the air too: Z0 set higher, but no more than the machine's travel in Z allows, " + off + ".", "Then set Z0 back where it belongs, and check it before anything turns."}
}
