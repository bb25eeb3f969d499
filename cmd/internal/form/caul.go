package form

import "fmt"

// caul is a crown on which a plate is pressed to its dome.
type caul struct{ dish }

func (f caul) Product() string {
	j := f.job
	if j.Plate.MM > 0 {
		return fmt.Sprintf("A crown that mates with a hollow of radius %s through a plate of %s, of radius %s and diameter %s", j.Radius, j.Plate, f.own(j.Work.Wanted), j.Diameter)
	}
	return fmt.Sprintf("A crown of radius %s and diameter %s", j.Radius, j.Diameter)
}

func (f caul) Heading() string {
	if f.job.Plate.MM > 0 {
		return lower(f.Product())
	}
	return f.across("crown")
}

func (caul) Use() (title string, practice bool, list []string) {
	return "Using the caul", true, []string{
		"Line it with cork or leather of an even thickness, and wax or tape it where glue may reach it.",
		"Press the plate and its braces against it with even pressure, from the middle outward, and leave them until the glue's label says.",
		"A pressed plate springs back a little when it comes out: check it against a gauge and correct the next one's radius.",
	}
}
