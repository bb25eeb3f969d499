package machines

import "gonum.org/v1/gonum/spatial/r3"

// GeometryErrors are what a machine does other than it is told, as it was measured. The zero
// value knows of none.
type GeometryErrors struct {
	Scale       r3.Vec  // by which share of a length each axis goes too far
	Lean        float64 // by how much Y leans towards +X, rise over length
	Backlash    r3.Vec  // what each axis loses where it turns round, mm
	Uncertainty float64 // how well Scale and Lean are known, as a share
	Corrected   bool    // are programs laid so that Scale and Lean come out right?
}

// NoneKnown reports whether nothing is known to be wrong.
func (e GeometryErrors) NoneKnown() bool { return e == GeometryErrors{Corrected: e.Corrected} }

// NeedsCorrection reports whether programs have to be laid for the errors.
func (e GeometryErrors) NeedsCorrection() bool {
	return e.Corrected && (e.Scale != r3.Vec{} || e.Lean != 0)
}

// errors reads what the machine does wrong.
func (r *reader) errors() {
	m := r.top.In("errors")
	r.m.Errors = GeometryErrors{
		Scale: r.vector(m.In("scale"), r3.Vec{}), Lean: m.Amount("lean"), Backlash: r.vector(m.In("backlash"), r3.Vec{}),
		Uncertainty: m.Amount("known within"), Corrected: m.YesNo("corrected"),
	}
}
