package form

import (
	"fmt"

	"dishwright/cam/work"
	geometry "dishwright/dish"
)

// mould is the edge of a solid mould in which sides are held while they are sanded.
type mould struct{ dish }

// wide is the width of its edge.
func (f mould) wide() float64 { return f.job.Work.Region.(*geometry.Band).Width }

func (f mould) Product() string {
	return fmt.Sprintf("The edge of a mould, %s wide, cut to a crown of radius %s", f.own(f.wide()), f.job.Radius)
}

func (f mould) Depth() string { return "up to " + f.dish.Depth() }

func (f mould) Heading() string {
	return fmt.Sprintf("the edge of a mould, %s wide, cut to radius %s", length(f.wide()), f.job.Radius)
}

func (f mould) Sizes() Sizes {
	s := f.dish.Sizes()
	s.Band = f.wide()
	return s
}

func (mould) Warnings() []work.Warning {
	return []work.Warning{{Kind: "mould", Message: MouldCaution, Hint: "dishwright rim says how the sides are sanded"}}
}

func (mould) Head() []string {
	return []string{"X0 Y0 lies over the top's apex, X runs along the centre line towards the head.", MouldCaution}
}

func (mould) Caution() string { return MouldCaution }

func (mould) Lies() (name, along string) {
	return "The blank", ", its centre line along X, the head towards X plus"
}

func (mould) Apex() string { return "the mark of the top's apex" }

func (mould) Checks() []string {
	return []string{
		"Measure heights of the edge from the bed at the places that the sheet of the rim names.",
		"A straightedge across the mould touches at the outer edge alone.",
	}
}

func (mould) Use() (title string, practice bool, list []string) {
	return "Using the mould", false, []string{
		"The edge has the top's dome; the sides are bent into the mould and sanded flush with it, in the dish or with the board.",
		"Chalk the mould's edge: what the abrasive rubs off shows that the sides are down to it. The heights all round are on the sheet of the rim.",
	}
}
