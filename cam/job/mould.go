package job

import (
	"fmt"
	"slices"

	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// mould is the edge of a solid mould in which sides are held while they are sanded.
type mould struct{ Dish }

func (mould) Word() string { return key.Rim }

func (mould) Words(j Job, own func(mm float64) string) Words { return mouldWords{DishWords{j, own}} }

// Read reads how a mould's edge is cut; nothing is suggested for its blank.
func (mould) Read(l *Reader) {
	w := &l.Job.Work
	l.machine(w)
	l.cutting(w, "square", 0)
	if w.Pattern != work.Auto && l.Root.Has("pattern") {
		l.Root.Fault("pattern", fmt.Sprintf("the edge of a mould is cut in laps, not in %s", w.Pattern), "pattern: auto, or leave it out")
	}
	if w.TouchOff.On == work.TouchHole || w.TouchOff.On == work.TouchApex {
		m, _ := l.Root.Peek("touch off")
		l.Doc.Fault(m.Pos("on"), "a mould has no "+w.TouchOff.On+" to touch off on", "on: diagonals, corner or edges")
	}
}

// mould reads the cutting of a mould's edge, where it is cut.
func (l *rimLoader) mould() {
	if !l.Root.Has("cut") {
		for _, k := range l.In.Under("", key.Mould) {
			if l.Root.Has(k) && !slices.Contains(l.In.Under("", key.Rim), k) {
				l.Root.FaultAtKey(k, fmt.Sprintf("%s is for cutting a mould's edge", k), "cut: mould, or leave it out: sides are sanded, never cut by a spinning cutter")
			}
		}
		return
	}
	l.Root.Word("cut")
	l.Form = key.Mould
	l.rim.Mould = &Mould{Wall: l.Root.In("mould").Amount("wall")}
	l.Job.Form, l.Job.Work.Name = mould{}, l.rim.Name
	l.Job.Form.Read(&l.Reader)
	l.Job.Radius, l.Job.Work.Wanted = l.rim.Top.Radius, l.rim.Top.Radius.MM
	l.finish()
	l.rim.Mould.Job = l.Job
}

// mouldCaution is said wherever a mould's edge is cut.
const mouldCaution = "This is for a solid mould alone. Bare sides and kerfed linings break and fly under a cutter: sides are sanded."

type mouldWords struct{ DishWords }

// wide is the width of its edge.
func (f mouldWords) wide() float64 { return f.Job.Work.Region.(*dish.Band).Width }

func (f mouldWords) Product() string {
	return fmt.Sprintf("The edge of a mould, %s wide, cut to a crown of radius %s", f.Own(f.wide()), f.Job.Radius)
}

func (f mouldWords) Depth() string { return "up to " + f.DishWords.Depth() }

func (f mouldWords) Heading() string {
	return fmt.Sprintf("the edge of a mould, %s wide, cut to radius %s", f.Job.Ruler.Length(f.wide(), 3), f.Job.Radius)
}

func (f mouldWords) Sizes() Sizes {
	s := f.DishWords.Sizes()
	s.Band = f.wide()
	return s
}

func (mouldWords) Warnings() []work.Warning {
	return []work.Warning{{Kind: "mould", Message: measure.Say(mouldCaution), Hint: measure.Say("dishwright rim says how the sides are sanded")}}
}

func (mouldWords) Head() []string {
	return []string{"X0 Y0 lies over the top's apex, X runs along the centre line towards the head.", mouldCaution}
}

func (mouldWords) Caution() string { return mouldCaution }

func (mouldWords) Lies() (name, along string) {
	return "The blank", ", its centre line along X, the head towards X plus"
}

func (mouldWords) Apex() string { return "the mark of the top's apex" }

func (mouldWords) Checks() []string {
	return []string{
		"Measure heights of the edge from the bed at the places that the sheet of the rim names.",
		"A straightedge across the mould touches at the outer edge alone.",
	}
}

func (mouldWords) Use() (title string, practice bool, list []string) {
	return "Using the mould", false, []string{
		"The edge has the top's dome; the sides are bent into the mould and sanded flush with it, in the dish or with the board.",
		"Chalk the mould's edge: what the abrasive rubs off shows that the sides are down to it. The heights all round are on the sheet of the rim.",
	}
}
