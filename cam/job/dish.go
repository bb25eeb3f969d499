package job

import (
	"fmt"

	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish"
)

// Dish is a hollow in which a rim is sanded, and what the other forms have in common with it.
type Dish struct{}

// Word is what the key form says.
func (Dish) Word() string { return key.Dish }

// Keys are those of any dish.
func (Dish) Keys() (like string, own []key.Key) { return key.Dish, nil }

// Read reads a hollow as wide as its diameter.
func (Dish) Read(r *Reader) {
	r.Face(dish.Hollow, r.Across)
	r.Cut("square", landRound)
}

// Words are what is said of a hollow.
func (Dish) Words(j Job, own func(mm float64) string) Words { return DishWords{j, own} }

// Across reads the diameter of a round face: half of it in mm, and how messages call it; false
// where it is missing or wrong.
func (l *Reader) Across() (rim float64, size string, ok bool) {
	l.Root.Like(map[string]string{"diameter": l.usualFace(&l.Job.Work)})
	l.Job.Diameter, ok = l.Root.Length("diameter")
	return l.Job.Diameter.MM / 2, "a diameter of " + l.Job.Diameter.String(), ok
}

// Face reads radius, size, covering and plate, and makes the face that the wood is cut to. size
// reads how far it reaches from its middle, in mm, and how messages call that; unless it leaves
// another region in the work, all of the face is cut. A crown is less by its plate. Face reports
// whether there is one.
func (l *Reader) Face(kind dish.Kind, size func() (rim float64, size string, ok bool)) bool {
	w := &l.Job.Work
	radius, okR := l.Root.Length("radius")
	rim, across, okD := size()
	covering := l.covering(w)
	l.Job.Plate, _ = l.Root.Length("plate")
	if !okR || !okD {
		return false
	}
	l.Job.Radius = radius
	w.Wanted, w.Covering = radius.MM, covering
	cut := radius.MM + covering
	if kind == dish.Crown {
		w.Wanted -= l.Job.Plate.MM
		cut = w.Wanted - covering
	}
	if radius.MM <= rim || cut <= rim {
		l.Root.Fault("radius", fmt.Sprintf("a sphere of radius %s is not wide enough for %s", radius, across),
			fmt.Sprintf("a radius well above %s; ", radius.WithMM(rim))+l.like("the domes of instruments have 4 m to 9 m"))
		return false
	}
	f, err := dish.NewFace(kind, cut, rim)
	if err != nil {
		l.Root.Fault("radius", l.tells(err), "a radius well above half the width of the face")
		return false
	}
	f.Cylinder = w.Face.Cylinder
	if w.Face = f; w.Round() {
		w.CutAll(f)
	}
	return true
}

// Cut reads how the face is cut and what is cut beside it, the blank first: where that is left
// out its shape is as stated, with such a land on each side of the face, in mm.
func (l *Reader) Cut(shape string, land float64) {
	w := &l.Job.Work
	l.cutting(w, shape, land)
	l.layout(w)
	l.extras(w)
	l.touchable(w)
	l.setups(w)
}

// DishWords are what is said of a dish, and of the other forms where they have nothing else to
// say. Own writes a length in the unit of the programs.
type DishWords struct {
	Job Job
	Own func(mm float64) string
}

// Depth, and the methods below, are what Words says of them.
func (f DishWords) Depth() string { return f.Own(f.Job.Work.Face.Sagitta()) + " deep" }

// across is the heading of a round face of a kind.
func (f DishWords) across(kind string) string {
	return fmt.Sprintf("a %s of radius %s, %s across", kind, f.Job.Radius, f.Job.Diameter)
}

func (f DishWords) Product() string {
	return fmt.Sprintf("A hollow of radius %s and diameter %s", f.Job.Radius, f.Job.Diameter)
}

func (f DishWords) Heading() string { return f.across("hollow") }

func (f DishWords) Sizes() Sizes {
	face := f.Job.Work.Face
	return Sizes{Diameter: 2 * face.Rim, Radius: face.Radius}
}

func (DishWords) Warnings() []work.Warning { return nil }
func (DishWords) Head() []string           { return nil }
func (DishWords) Caution() string          { return "" }

func (DishWords) Lies() (name, along string) { return "The blank", "" }
func (DishWords) Apex() string               { return "" }
func (DishWords) Checks() []string           { return nil }

func (DishWords) Use() (title string, practice bool, list []string) { return "", false, nil }

func (DishWords) Sanding(length func(mm float64) string) (moved, how string) {
	const aside = 30 // enough to lay no grain into its own scratch (common practice)
	return "rim", "Turn the rim back and forth about the middle of the dish by a third of a turn and shift it by about " + length(aside) + "; a rim that is only turned gets rings."
}
