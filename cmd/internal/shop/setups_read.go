package shop

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// statedSetup is the setup that a program states.
type statedSetup struct {
	setup     path.Setup
	n, middle int
	inches    bool // is its shift in inches?
	at        path.Source
}

// setupWord stands before it.
const setupWord = "setup: "

// String is the line that states it, at most 62 characters.
func (l statedSetup) String() string {
	u := measure.Ruler{Inches: l.inches}
	at := func(v float64) string { return u.Short(v, 3) }
	return fmt.Sprintf(setupWord+"%d of %d, turned %d, X%s Y%s %s, sector %d", l.setup.Number, l.n, l.setup.Turn, at(l.setup.X), at(l.setup.Y), u.Unit(), l.middle)
}

// setupPattern reads it back.
var setupPattern = regexp.MustCompile(`(?i)^setup: (\d) of (\d), turned (\d{1,3}), X(-?[\d.]{1,8}) Y(-?[\d.]{1,8}) (mm|in), sector (-?\d{1,3})$`)

// parseSetup reads the line as String writes it, and no other; upper and lower case are
// alike.
func parseSetup(text string) (l statedSetup, ok bool) {
	m := setupPattern.FindStringSubmatch(text)
	if m == nil {
		return l, false
	}
	whole := func(i int) int { v, _ := strconv.Atoi(m[i]); return v }
	unit := strings.ToLower(m[6])
	x, errX := measure.ParseLength(m[4] + " " + unit)
	y, errY := measure.ParseLength(m[5] + " " + unit)
	l = statedSetup{setup: path.Setup{Number: whole(1), Turn: whole(3), X: x.MM, Y: y.MM}, n: whole(2), middle: whole(7), inches: unit == "in"}
	return l, errX == nil && errY == nil && l.setup.Turn%dish.TurnStep == 0 && strings.EqualFold(l.String(), text)
}

// setupOf finds in a program how the blank lies; ok is false where it does not say. Two
// such lines that differ are a fault.
func setupOf(p path.Path) (l statedSetup, ok bool, fault *proof.Finding) {
	stopped := false
	for _, e := range p.Events {
		stopped = stopped || e.Kind == path.Stop
		if e.Kind != path.Comment || !strings.HasPrefix(strings.ToLower(e.Text), "setup:") {
			continue
		}
		find := func(message string) *proof.Finding {
			return &proof.Finding{Line: e.Source.Line, Column: e.Source.Column, Kind: proof.KindOrder, Message: measure.Say(message)}
		}
		now, read := parseSetup(e.Text)
		now.at = e.Source
		switch {
		case !read:
			return l, ok, find("the line that says in which setup the program runs cannot be read")
		case stopped:
			return l, ok, find("the line that says in which setup the program runs stands after a stop")
		}
		if ok && (now.setup != l.setup || now.n != l.n || now.middle != l.middle) {
			return l, ok, find("the program names two setups")
		}
		l, ok = now, true
	}
	return l, ok, nil
}

// layOut finds out from programs how a job's face is divided, and lays each as the blank
// sees it. Programs of a job that is cut in one name no setup.
func (v *Verdict) layOut(j job.Job, programs []proof.Program) work.Layout {
	var all []statedSetup
	add := func(p proof.Program, f proof.Finding) {
		f.Program = p.Name
		v.add(f)
	}
	for i := range programs {
		p := &programs[i]
		l, ok, fault := setupOf(p.Path)
		switch {
		case fault != nil:
			add(*p, *fault)
		case ok && j.Work.Setups.Count == 0:
			add(*p, proof.Finding{Line: l.at.Line, Column: l.at.Column, Kind: proof.KindOrder, Message: measure.Say("the program is for one of several setups; the job is cut in one")})
		}
		all = append(all, l)
		p.Setup = l.setup
	}
	if j.Work.Setups.Count == 0 {
		return nil
	}
	layout := v.layoutOf(j, programs, all)
	for i := range programs {
		p := &programs[i]
		if len(layout) > 0 && p.Setup.Number == 0 {
			add(*p, proof.Finding{Line: 1, Column: 1, Kind: proof.KindOrder, Message: measure.Say("the program does not say in which setup it runs: a line (setup: ...), as make writes it")})
		}
		if at, ok := ontoBlank(p); !ok {
			kind, message := proof.KindOrder, halfKnown
			if at.Kind == path.Arc {
				kind, message = proof.KindArc, "an arc in an upright plane cannot be followed on a turned blank"
			}
			add(*p, proof.Finding{Line: at.Source.Line, Column: at.Source.Column, Kind: kind, Message: measure.Say(message)})
		}
	}
	return layout
}

// layoutOf returns the layout that programs name; none where none of them names one, for
// a face that fits is cut in one.
func (v *Verdict) layoutOf(j job.Job, programs []proof.Program, all []statedSetup) (layout work.Layout) {
	var first statedSetup
	var second path.Setup
	for _, l := range all {
		if first.n == 0 {
			first = l
		}
		if l.setup.Number == 2 && second.Number == 0 {
			second = l.setup
		}
	}
	if first.n == 0 && j.Work.Setups.Count == work.AutoSetups {
		return nil
	}
	middle := first.middle
	if j.Work.Setups.By == work.ByFence && first.setup.Number == 2 {
		middle += 180
	}
	n := first.n
	if n == 0 {
		n = j.Work.Setups.Count
	}
	layout, ok := work.LayoutAs(&j.Work, n, middle, second)
	for i, l := range all {
		if l.n == 0 {
			continue
		}
		if !ok || l.n != n || !named(layout, l) {
			v.add(proof.Finding{Program: programs[i].Name, Line: l.at.Line, Column: l.at.Column, Kind: proof.KindOrder,
				Message: measure.Say("setup %d of %d, turned %d degrees, about %d degrees, is none of the setups that this job and the other programs name", l.setup.Number, l.n, l.setup.Turn, l.middle)})
		}
	}
	return layout
}

// named reports whether a layout has a setup as a program names it.
func named(layout work.Layout, l statedSetup) bool {
	for _, t := range layout {
		for _, s := range t.Setups {
			if s == l.setup {
				return (t.Sector.Middle-l.middle)%360 == 0
			}
		}
	}
	return false
}

// ontoBlank takes a program's moves as the blank sees them; where one cannot be, at says
// which.
func ontoBlank(p *proof.Program) (at path.Move, ok bool) {
	ok = true
	if p.Setup.Still() {
		return at, ok
	}
	moves := make([]path.Move, len(p.Path.Moves))
	for i, m := range p.Path.Moves {
		one, fine := p.Setup.OnBlank(m)
		if !fine && ok {
			at, ok = m, false
		}
		moves[i] = one
	}
	p.Path.Moves = moves
	return at, ok
}
