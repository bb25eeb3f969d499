package sheet

import (
	"fmt"
	"strings"

	"dishwright/cam"
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

// pieceSteps are those of one blank.
func (c cut) pieceSteps() (list []step) {
	w, r := c.r.Plan.Work, c.r
	name := "the blank"
	if r.Mate != nil || r.Job.Paired {
		name = "the blank of the " + r.Report.Programs[0].Piece
		if r.Job.Paired {
			name = "the blank of the caul"
		}
	}
	hold := "Hold " + name + " down on a flat bed, clear of everything that the cutter passes over."
	if len(w.HoldDowns) > 0 {
		hold = "Hold " + name + " down on a flat bed, at the places of the hold-downs shown and nowhere else."
	}
	list = append(list, step{hold, careWorkhold})
	fitted := ""
	for i, t := range r.Texts {
		p := r.Report.Programs[i]
		n := r.First() + i + 1
		cutter := tell.Plain(t.Program.Cutter.Name, mostName)
		if texts := r.Bringing(i); i > 0 && len(texts) > 0 {
			list = append(list, step{strings.Join(texts, " ") + " Touch Z0 off again.", careLock + " " + careWorkhold})
		}
		if cutter != fitted {
			again := " Touch Z0 off again."
			if fitted == "" {
				again = " Touch off X0, Y0 and Z0 as shown above, then take the touch plate and its clip away."
			}
			list = append(list, step{fmt.Sprintf("Fit %s: collet and shank clean, the shank in as deep as its maker marks, then drawn back 2 to 3 mm from the bottom, the collet never on fillet or flutes (common practice). It must then stand %s or more out of the holder.%s", cutter, c.u.Len(t.Program.Cutter.StickOut, 1), again), careLock})
			fitted = cutter
		}
		if up := cam.HoodFor(w, t.Program); up > 0 {
			list = append(list, step{fmt.Sprintf("Raise the hood to %s or more above the tip; lower it again afterwards.", c.u.Len(up, 0)), "Chips fly farther then."})
		}
		if p.Purpose == string(cam.AirLap) {
			off := "the spindle off"
			if w.Machine.HandRouter() {
				off = "the router unplugged"
			}
			above := "above the hold-downs that the job states"
			if len(w.HoldDowns) == 0 {
				above = fmt.Sprintf("%s above the blank's top. WARNING: the job states no hold-downs, and whatever stands higher is hit", c.u.Len(w.Clearance(), 1))
			}
			list = append(list,
				step{fmt.Sprintf("Run program %d, the air lap, with %s: %s. It runs %s. Watch that everything clears what stands on the bed.", n, off, tell.Clock(p.TimeS), above), careRelease},
				step{"Run the first program that cuts in the air too: Z0 set higher, but no more than the machine's travel in Z allows, " + off + ".", "Then set Z0 back where it belongs, and check it before anything turns."})
			continue
		}
		run := fmt.Sprintf("Run program %d, %s: %s.", n, p.Purpose, tell.Clock(p.TimeS))
		if p.Dial != "" {
			run = fmt.Sprintf("Set the router's dial to %s, switch it on when the program asks, run program %d, %s: %s, and switch it off at the end.", p.Dial, n, p.Purpose, tell.Clock(p.TimeS))
		}
		list = append(list, step{run, careRelease + " " + careStay + " " + careFire})
	}
	if len(r.Extras.CutOuts) > 0 {
		list = append(list, step{"Saw the tabs by hand when all stands still.", careLock + " Until then leave the tabs and whatever else holds it."})
	}
	return list
}
