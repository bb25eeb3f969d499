package sheet

import (
	"fmt"
	"slices"
	"strings"

	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
)

// The cautions, each said where it belongs.
const (
	careBody     = "Eye and ear protection on. No gloves, loose sleeves, strings, rings or hair near the machine; nobody else within reach."
	careDust     = "Extraction at the cutter, and a fitting dust mask: fine dust, above all of MDF, harms lungs. Let the air settle before the mask comes off."
	careRelease  = "Hands off, everyone clear, one hand on the emergency stop before the program's stop is released."
	careRun      = "While it runs: stay beside it. If it smokes, smells burnt or sounds wrong, stop. A stop on the screen is no emergency stop; a program stop (M0) is a pause, not a guard: it need not stop a spindle. Before hands come near the cutter: spindle off, standing still, power drawn or locked out."
	careFire     = "Chips can smoulder in the bag for an hour: keep an extinguisher at hand."
	careFumes    = "Adhesives, sealers and wipes give off vapours that burn and harm: fresh air, no flame or spark, gloves and mask as the label says. Spread used rags out to dry in the open, one by one: heaped, some take fire by themselves."
	careCollet   = "Collet and shank clean, the shank in as deep as its maker marks, then drawn back a little from the bottom, the collet never on fillet or flutes (common practice)."
	careWorkhold = "A blank that comes loose is thrown. Nothing may stand in the way of the cutter, the holder or the hood."
)

// stepGroups are the checklist of the whole set: before it, each program, after it.
func stepGroups(pieces []cut) (list []document.Document) {
	list = append(list, document.Document{document.Caution(careRun), document.Steps{
		{Text: "Read SAFETY.md, this sheet and the head of each program. If one sentence is not true of your bench, stop here."},
		{Text: "Put on what protects you and start the extraction.", Care: careBody + " " + careDust},
	}})
	said := map[string]bool{}
	for _, c := range pieces {
		list = append(list, c.programs(said)...)
	}
	return append(list, document.Document{document.Steps{{Text: "When all stands still: vacuum, do not sweep or blow; look at the face under slanting light. Empty the dust bag outdoors, and look again before you leave.", Care: careFire}}})
}

// programs are the steps of one piece: before each program what is not as it was for the one
// before, in the words of order.txt, then its messages. A caution that was said is not repeated.
func (c cut) programs(said map[string]bool) (list []document.Document) {
	var before *shop.BenchStep
	tried := false
	for i := range c.Texts {
		s, p := &c.Report.Order[i], c.Report.Programs[i]
		var steps document.Steps
		if p.Purpose != string(work.AirLap) && !tried {
			tried, steps = true, document.Steps{c.inAir()}
		}
		var kept []string
		for _, one := range s.Sentences(before) {
			if !one.Again {
				if name := asBefore[one.Act]; !slices.Contains(kept, name) {
					kept = append(kept, name)
				}
				continue
			}
			care := cares[one.Act]
			if said[care] {
				care = ""
			}
			said[care] = true
			steps = append(steps, document.Step{Text: one.String(), Care: care})
		}
		if len(kept) > 0 {
			steps = slices.Insert(steps, len(steps)-1, document.Step{Text: "Look again: " + strings.Join(kept, ", ") + " as for the program before."})
		}
		for k, a := range s.Answers {
			steps = append(steps, asked(a, k))
			if k == 0 || k < len(s.Answers)-1 { // else the program ends
				steps[len(steps)-1].Care = careRelease
			}
		}
		if p.Purpose == string(work.AirLap) {
			steps[len(steps)-1].Text += " Watch that everything clears what stands on the bed."
		}
		list = append(list, document.Document{document.Heading(fmt.Sprintf("Program %d, %s: %s, %s", s.Program, s.File, c.Purposes(i), tell.Clock(p.TimeS))), steps})
		before = s
	}
	if len(c.Extras.CutOuts) > 0 {
		list = append(list, document.Document{document.Steps{{Text: "Saw the tabs by hand when all stands still, the power drawn or locked out.", Care: "Until then leave the tabs and whatever else holds it."}}})
	}
	return list
}

// cares are what an act needs care for, asBefore what it has done.
var (
	cares    = map[shop.Act]string{shop.ActFit: careCollet, shop.ActLay: careWorkhold}
	asBefore = map[shop.Act]string{shop.ActLay: "blank and hold-downs", shop.ActFit: "cutter", shop.ActHood: "hood", shop.ActTouch: "zero"}
)

// asked is a stop of a program, with every message before it, for some controllers hide them.
func asked(a shop.Answer, k int) document.Step {
	text := [...]string{"Start it. It", "It"}[min(k, 1)]
	for i, one := range a.Told {
		text += [...]string{" says \"", " \""}[min(i, 1)] + one + "\""
	}
	if len(a.Told) > 0 {
		text += ", then"
	}
	return document.Step{Text: fmt.Sprintf("%s stops and asks in line %d \"%s\" Yes: %s.", text, a.Line, a.Message, a.Yes)}
}

// inAir is the step in which the first program that cuts is tried.
func (c cut) inAir() document.Step {
	off := "the spindle off"
	if c.Plan.Work.Machine.HandRouter() {
		off = "the router unplugged"
	}
	return document.Step{Text: "Run it in the air first: Z0 set higher, but no more than the machine's travel in Z allows, " + off + ".", Care: "Then set Z0 back where it belongs, and check it before anything turns."}
}
