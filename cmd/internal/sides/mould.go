package sides

import (
	"dishwright/cam/job"
	"dishwright/dish/measure/strict"
)

// Mould returns the cutting of the edge of a mould whose inside is the outline.
func Mould(j job.Rim, open Opener) (job.Job, error) {
	if j.Mould == nil {
		return job.Job{}, strict.Faults{j.Fault("form", "sides are sanded, not cut: a rim has no programs", "dishwright rim works it out; cut: mould cuts the edge of a solid mould")}
	}
	return job.Job{}, strict.Faults{j.Fault("cut", "a mould's edge is not cut by this version", "")}
}
