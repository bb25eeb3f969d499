package shop

import (
	"math"
	"strings"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/extra"
	"dishwright/dish/measure"
)

// covers is what a certificate rests on, apart from the programs' text: the one place that
// puts it into words, for check, make, prove, resume, the sheet and the programs' heads.
type covers struct {
	work *work.Work
	// level is whether a cutter that may leave the last of a place has a level end: a tilt
	// does not matter to balls.
	level bool
	// exact is whether all that cuts runs in a path mode that rounds no corner, and asked
	// whether it runs in the profile's own, which then says how far one is rounded.
	exact, asked bool
	setups       bool // is the face cut in several?
}

// covers is of a job's own programs, which take corners as the profile says.
func (r *Result) covers() covers {
	widest, _ := r.widest()
	return ownCovers(&r.Plan.Work, widest.Body().Flat > 0, r.Plan.Layout)
}

func ownCovers(w *work.Work, level bool, layout work.Layout) covers {
	mode := w.Machine.PathMode
	return covers{work: w, level: level, exact: proof.ExactPathMode(mode), asked: asks(mode), setups: len(layout) > 0}
}

// asks reports whether a path mode states how far corners may be rounded.
func asks(mode string) bool { return strings.HasPrefix(mode, "G64 P") }

// foundCovers is of programs of any origin: a cut before any path mode, or in another than
// the profile's, is rounded as the controller is set up.
func foundCovers(w *work.Work, extras extra.Set, layout work.Layout, programs []proof.Program) covers {
	c, cuts := covers{work: w, exact: true, asked: asks(w.Machine.PathMode), setups: len(layout) > 0}, 0
	for _, p := range programs {
		modes, text := p.PathModes, ""
		for i, m := range p.Path.Moves {
			for ; len(modes) > 0 && modes[0].Before <= i; modes = modes[1:] {
				text = modes[0].Text
			}
			if m.Kind == path.Traverse {
				continue
			}
			cuts++
			c.level = c.level || p.Cutter.Body().Flat > 0 && leaves(w, extras, p.Cutter, path.Setup{}, m)
			c.exact = c.exact && proof.ExactPathMode(text)
			c.asked = c.asked && text == w.Machine.PathMode
		}
	}
	c.exact = c.exact && cuts > 0
	return c
}

// condition says for which spindle, cutters, blank and machine what is certified holds. Of
// the spindle and the cutters it is open what it says.
func (c covers) condition() measure.Said {
	w := c.work
	if !w.HasFace() {
		return measure.Say("as programmed")
	}
	under, named := measure.Say("cutters up to %v under their named diameters", measure.To(w.Undersize, 4)), measure.Say("cutters of their named diameters")
	cutters := measure.Either(named, under)
	if w.Undersize > 0 {
		cutters = measure.Either(under, named)
	}
	list := []measure.Said{measure.Say("%v", cutters)}
	if w.Top != nil {
		list = append(list, measure.Say("a top as it was touched off"))
	}
	switch e := w.Machine.Errors; {
	case e.NeedsCorrection():
		list = append(list, measure.Say("a machine that errs as its profile says"))
	case !e.NoneKnown():
		list = append(list, measure.Say("a machine that goes where it is told"))
	}
	if c.setups {
		list = append(list, measure.Say("setups within the index error"))
	}
	join := func(i int) string {
		if i == len(list)-1 {
			return " and "
		}
		return ", "
	}
	whatever := measure.Say("whatever the spindle's tilt, for ")
	square := measure.Say("for a spindle square to the bed%s", join(0))
	within := measure.Say("for a spindle within %v%s", measure.Tan(w.Tilt), join(0))
	spindle := square
	switch {
	case !c.level:
		spindle = whatever
	case w.Tilt > 0:
		spindle = within
	}
	said := measure.Say("%v%v", measure.Either(spindle, whatever, square, within), list[0])
	for i, one := range list[1:] {
		said = measure.Say("%v%s%v", said, join(i+1), one)
	}
	return said
}

// unproven stands for what corners may add before it is worked out.
const unproven = -1.0

// corners says what the certificate leaves to the controller, and whose word the rounding
// is: the programs', where their path mode states it, or else the builder's about the
// controller. Rounded corners may add up to mm to scallop and gouge.
func (c covers) corners(mm float64) measure.Said {
	m := c.work.Machine
	if c.exact {
		return measure.Say("no corner is rounded, as the exact path mode of the programs asks")
	}
	word, none := "which the profile states and no program asks for", "which the profile states of the controller"
	switch {
	case c.asked:
		word, none = "within which "+m.PathMode+" asks it to stay", "as "+m.PathMode+" asks"
	case m.Took("corner rounding"):
		word = "which is taken, for the profile does not state it and no program asks for it"
	}
	if m.CornerRounding == 0 {
		return measure.Say("no corner is rounded, %s", none)
	}
	rounds := measure.Say("where it rounds corners by up to %v, %s", measure.To(m.CornerRounding, 4), word)
	switch {
	case mm == unproven:
		return measure.Say("not in it is what the controller adds %v", rounds)
	case mm == 0:
		return measure.Say("the controller adds nothing %v", rounds)
	}
	return measure.Say("the controller may add up to %v %v", measure.To(told(mm), 4), rounds)
}

// sentence says what is certified, for what, and what is left to the controller.
func (c covers) sentence(certified, corner float64) measure.Said {
	word := "certified"
	if !c.work.HasFace() {
		word = "true to"
	}
	return measure.Say("%s %v %v; %v", word, measure.Enough(certified, 4), c.condition(), c.corners(corner))
}

// told rounds up to the four decimals that are told, so that what is told is still a bound.
func told(mm float64) float64 { return math.Ceil(mm*1e4-1e-6) / 1e4 }
