package form

import (
	"fmt"

	"dishwright/cam/job"
	"dishwright/cam/work"
)

// dish is a hollow in which a rim is sanded, and what the other forms have in common with it.
type dish struct {
	job job.Job
	own func(mm float64) string
}

func (f dish) Depth() string { return f.own(f.job.Work.Face.Sagitta()) + " deep" }

// across is the heading of a round face of a kind.
func (f dish) across(kind string) string {
	return fmt.Sprintf("a %s of radius %s, %s across", kind, f.job.Radius, f.job.Diameter)
}

func (f dish) Product() string {
	return fmt.Sprintf("A hollow of radius %s and diameter %s", f.job.Radius, f.job.Diameter)
}

func (f dish) Heading() string { return f.across("hollow") }

func (f dish) Sizes() Sizes {
	face := f.job.Work.Face
	return Sizes{Diameter: 2 * face.Rim, Radius: face.Radius}
}

func (dish) Warnings() []work.Warning { return nil }
func (dish) Head() []string           { return nil }
func (dish) Caution() string          { return "" }

func (dish) Lies() (name, along string) { return "The blank", "" }
func (dish) Apex() string               { return "" }
func (dish) Checks() []string           { return nil }

func (dish) Use() (title string, practice bool, list []string) { return "", false, nil }

func (dish) Sanding(func(mm float64) string) (moved, how string) {
	return "rim", "Turn the rim back and forth about the middle of the dish by a third of a turn and shift it by a few centimetres; a rim that is only turned gets rings."
}
