package job

import (
	"fmt"

	"dishwright/cam/job/key"
	"dishwright/dish"
)

// caul is a crown on which a plate is pressed to its dome.
type caul struct{ Dish }

func (caul) Word() string { return key.Caul }

func (caul) Read(r *Reader) {
	r.Face(dish.Crown, r.Across)
	r.Cut("square", landMoat)
}

func (caul) Words(j Job, own func(mm float64) string) Words { return caulWords{DishWords{j, own}} }

type caulWords struct{ DishWords }

func (f caulWords) Product() string {
	j := f.Job
	if j.Plate.MM > 0 {
		return fmt.Sprintf("A crown that mates with a hollow of radius %s through a plate of %s, of radius %s and diameter %s", j.Radius, j.Plate, f.Own(j.Work.Wanted), j.Diameter)
	}
	return fmt.Sprintf("A crown of radius %s and diameter %s", j.Radius, j.Diameter)
}

func (f caulWords) Heading() string {
	if f.Job.Plate.MM > 0 {
		return lower(f.Product())
	}
	return f.across("crown")
}

func (caulWords) Use() (title string, practice bool, list []string) {
	return "Using the caul", true, []string{
		"Line it with cork or leather of an even thickness, and wax or tape it where glue may reach it.",
		"Press the plate and its braces against it with even pressure, from the middle outward, and leave them until the glue's label says.",
		"A pressed plate springs back a little when it comes out: check it against a gauge and correct the next one's radius.",
	}
}
