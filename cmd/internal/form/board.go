package form

import (
	"fmt"

	"dishwright/cam/work"
	geometry "dishwright/dish"
)

// board is a hollow board that is swung by hand along its length over both sides.
type board struct{ dish }

func (f board) Product() string {
	j, curve := f.job, "spherical"
	if j.Work.Face.Cylinder {
		curve = "cylindrical"
	}
	return fmt.Sprintf("A hollow %s board of radius %s, %s by %s", curve, j.Radius, j.Length, j.Width)
}

func (f board) Heading() string { return lower(f.Product()) }

func (f board) Sizes() Sizes {
	j, w := f.job, f.job.Work
	s := Sizes{Radius: w.Face.Radius, Spans: j.Spans, Bends: j.Bends}
	s.Length, s.Width = w.Region.Size()
	if w.Face.Cylinder {
		s.OffSphere = geometry.CylinderDeparture(w.Wanted, s.Width)
	}
	return s
}

func (f board) Warnings() (list []work.Warning) {
	j := f.job
	if off := f.Sizes().OffSphere; off > 0 {
		list = append(list, work.Warning{Kind: "cylinder",
			Message: fmt.Sprintf("a cylinder is off the sphere by w²/8R across its width: %s here, beside the scallop", length(off)),
			Hint:    "swing it only along its length, square to the sides' edge, or make it spherical"})
	}
	return append(list, work.Warning{Kind: "board-spans",
		Message: fmt.Sprintf("swung by %s it stays on both sides of an outline up to %s wide there; pressed by hand in its middle it bends about %.2f mm", length(j.Swing), length(j.Spans), j.Bends),
		Hint:    "measure the outline at its widest, and press over the sides"})
}

func (f board) Sanding(own func(mm float64) string) (moved, how string) {
	at := "at every angle to the centre line that its face allows."
	if f.job.Work.Face.Cylinder {
		at = "always square to the centre line: it is a cylinder."
	}
	return "board", fmt.Sprintf("Swing the board along its length by up to %s, over both sides at once, %s", own(f.job.Swing), at)
}
