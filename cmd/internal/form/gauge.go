package form

import (
	"fmt"
	"strings"
)

// gauge is a set of templates that are cut out of a sheet.
type gauge struct{ dish }

func (f gauge) Product() string {
	var names []string
	for _, v := range f.job.Radii {
		names = append(names, v.String())
	}
	return fmt.Sprintf("Gauge templates %s long, each with a concave and a convex edge, of radius %s", f.job.Length, strings.Join(names, ", "))
}

func (gauge) Depth() string { return "" }

func (f gauge) Heading() string { return lower(f.Product()) }

func (f gauge) Sizes() Sizes {
	s := Sizes{Length: f.job.Length.MM, Radius: f.job.Radius.MM}
	for _, v := range f.job.Radii {
		s.Radii = append(s.Radii, v.MM)
	}
	return s
}

func (gauge) Lies() (name, along string) { return "The sheet", "" }

func (gauge) Checks() []string {
	return []string{
		"Lay a straightedge along the chord of an edge: in its middle the gap is the sagitta that is engraved or listed for its radius.",
		"Measure the thickness of the sheet at both ends: a sheet that is not flat moves when it is cut free.",
	}
}

func (gauge) Use() (title string, practice bool, list []string) {
	return "Using the gauges", false, []string{
		"Hold a gauge square to the face, its edge over the apex, a lamp behind it: light in the middle means a curve that is too deep for its edge, light at both ends one that is too flat.",
		"Lay the hollow edge of one on the round edge of its fellow: no light may pass. If it does, one of them moved while it was cut.",
	}
}
