package shop

import (
	"dishwright/cam/job"
	"dishwright/dish"
	"dishwright/dish/extra"

	"gonum.org/v1/gonum/spatial/r2"
)

// Words are what is worth saying of what the job makes.
func (r *Result) Words() job.Words { return r.Job.Form.Words(r.Job, r.own) }

// form adds what only some forms have.
func (r *Result) form() {
	p, s := &r.Report, r.Words().Sizes()
	p.CoveringMM, p.UnevenMM = r.Plan.Work.Covering, r.Plan.Work.Uneven
	p.PlateMM, p.CutRadiusMM, p.BandWidthMM = r.Job.Plate.MM, s.Radius, s.Band
	p.LengthMM, p.WidthMM, p.DiameterMM, p.RadiiMM = s.Length, s.Width, s.Diameter, s.Radii
	p.SpansMM, p.BendsMM, p.OffSphereMM = s.Spans, s.Bends, s.OffSphere
	p.Warnings = append(p.Warnings, r.Words().Warnings()...)
}

// listed is the report's list of extras.
func listed(b dish.Blank, set extra.Set) []Extra {
	list := []Extra{}
	for _, g := range set.Grooves {
		a, b := g.Path[0], g.Path[len(g.Path)-1]
		list = append(list, Extra{Name: g.Name, Kind: "line", XMM: (a.X + b.X) / 2, YMM: (a.Y + b.Y) / 2, WidthMM: g.Width, DepthMM: g.Depth})
	}
	for _, h := range set.Holes {
		list = append(list, Extra{Name: h.Name, Kind: "hole", XMM: h.X, YMM: h.Y, DiameterMM: 2 * h.Radius, DepthMM: -h.Bottom})
	}
	for _, c := range set.CutOuts {
		points, _ := c.Slot.Line()
		mid := r2.Vec{}
		for _, p := range points {
			mid = r2.Add(mid, r2.Scale(1/float64(len(points)), p))
		}
		one := Extra{Name: c.Name, Kind: "cut-out", XMM: mid.X, YMM: mid.Y, WidthMM: c.Slot.Width, DepthMM: -c.Bottom}
		for _, t := range c.Tabs {
			one.Tabs = append(one.Tabs, Tab{t.At.X, t.At.Y, 2 * t.HalfLength, t.Top + b.Thickness})
		}
		list = append(list, one)
	}
	return list
}
