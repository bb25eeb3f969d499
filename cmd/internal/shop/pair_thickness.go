package shop

import (
	"errors"
	"slices"

	"dishwright/cam"
	"dishwright/cam/job"
	"dishwright/cam/work"
)

// deeper tells why a blank is too thin for a pair by the caul, whose face is the deeper: what
// is hinted then does for both.
func deeper(err error, caul *job.Job) error {
	var ps work.Problems
	if caul == nil || !errors.As(err, &ps) || !work.KindThickness.In(err) {
		return err
	}
	other := func(p work.Problem) bool { return p.Kind != work.KindThickness }
	return append(slices.DeleteFunc(cam.Feasible(work.Whole(&caul.Work)), other), slices.DeleteFunc(slices.Clone(ps), func(p work.Problem) bool { return !other(p) })...)
}
