package job

import (
	"errors"
	"fmt"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/scrap"
	"dishwright/machines"
)

// ScrapWord is the form of a scrap cut. No job file asks for it: it is made of a job.
const ScrapWord = "scrap"

// scrapCut is a scrap with marks that tell what the machine is off by.
type scrapCut struct{ Dish }

func (scrapCut) Word() string { return ScrapWord }

func (scrapCut) Words(j Job, own func(mm float64) string) Words { return scrapWords{DishWords{j, own}} }

// Scrap returns the job of a scrap cut with a cutter of the job's shelf, on its machine and in
// its wood. The machine is tried as it is: whatever the job corrects or allows for is left out,
// and so is what stands about its own blank.
func (j Job) Scrap(cutter string) (Job, error) {
	w := &j.Work
	c, ok := w.Cutter(cutter)
	if !ok {
		return Job{}, j.Locate(work.Problems{{Kind: work.KindCutter, Key: work.KeyShelf, Message: measure.Say("no cutter named %q is on the shelf", cutter), Hint: measure.Say("a name from the shelf")}})
	}
	layout, err := scrap.Plan(given(w, c))
	if err != nil {
		return Job{}, j.Locate(scrapProblems(w, c, err))
	}
	s := j
	s.Form, s.Marks, s.Mate, s.Layout, s.Paired = scrapCut{}, &layout, nil, nil, false
	s.Radius, s.Radii, s.Plate, s.Warnings = measure.Length{}, nil, measure.Length{}, nil
	s.Diameter, s.Length, s.Width = measure.Length{}, measure.Length{}, measure.Length{}
	s.Work = AsItIs(*w)
	v := &s.Work
	v.Name = w.Name + " scrap"
	v.Blank = dish.Blank{Shape: dish.Square, Length: layout.Size, Width: layout.Size, Thickness: w.Blank.Thickness}
	v.Floor = scrap.Under
	v.Region = dish.Nowhere{}
	if v.Face, err = dish.NewFace(dish.Flat, 0, v.Blank.OuterRadius()); err != nil {
		return Job{}, err
	}
	v.Extras = work.Extras{}
	for _, k := range layout.Cuts {
		v.Extras.Runs = append(v.Extras.Runs, work.RunWanted{Name: k.Name, From: k.From, To: k.To, Aside: k.Side, Cutter: c.Name})
	}
	return s, nil
}

// given is what a scrap is laid out for.
func given(w *work.Work, c path.Cutter) scrap.Given {
	return scrap.Given{Body: c.Body(), Flutes: c.FluteLength, Thickness: w.Blank.Thickness, Core: c.Core}
}

// AsItIs is a work on its machine as that is: nothing is corrected, Z0 is a level top, and
// nothing stands about.
func AsItIs(w work.Work) work.Work {
	w.Machine.Errors = machines.GeometryErrors{}
	w.Top, w.Skim, w.Setups = nil, work.Skimmed{}, work.Setups{}
	w.ZeroAtBed, w.HoldDowns, w.Obstacles = false, nil, nil
	w.Wanted, w.Covering, w.Allowance, w.Support = 0, 0, 0, ""
	w.Pattern, w.Direction, w.Rough, w.Finish = work.Auto, work.Both, "", ""
	if w.TouchOff.On == work.TouchHole || w.TouchOff.On == work.TouchApex { // a scrap has neither
		w.TouchOff.On = work.TouchDiagonals
	}
	return w
}

// scrapProblems says what a scrap lacks.
func scrapProblems(w *work.Work, c path.Cutter, err error) error {
	var short *scrap.Short
	if !errors.As(err, &short) {
		return err
	}
	another := measure.Say("another cutter")
	for _, k := range w.Shelf {
		if _, err := scrap.Plan(given(w, k)); err == nil {
			another = measure.Say("another cutter, such as --cutter %q", k.Name)
			break
		}
	}
	p := work.Problem{Kind: work.KindThickness, Key: work.KeyThickness,
		Message: measure.Say("a scrap of %s is too thin for the marks of %s: they need %s", measure.MM(short.Has), c.Name, measure.MM(short.Needs)),
		Hint:    measure.Say(`a thicker scrap, --set "blank/thickness=%s", or %v`, measure.MM(short.Needs), another)}
	if short.Flutes {
		p = work.Problem{Kind: work.KindExtra, Key: work.CutterKey(c.Name),
			Message: measure.Say("the flutes of %s, %s long, are too short for the marks: they need %s", c.Name, measure.MM(short.Has), measure.MM(short.Needs)),
			Hint:    another}
	}
	return work.Problems{p}
}

type scrapWords struct{ DishWords }

// cutter is the one that is tried.
func (f scrapWords) cutter() string { return f.Job.Work.Extras.Runs[0].Cutter }

func (f scrapWords) Product() string {
	return fmt.Sprintf("A scrap cut with %s, whose marks tell what the machine is off by", f.cutter())
}

func (scrapWords) Depth() string { return "" }

func (f scrapWords) Heading() string { return "a scrap cut with " + f.cutter() }

func (f scrapWords) Sizes() Sizes { return Sizes{Length: f.Job.Work.Blank.Length} }

func (f scrapWords) Head() []string {
	return []string{
		fmt.Sprintf("The scrap's own number is %s: it stands in the table of its readings.", f.Job.Mark()),
		"Nothing that the job corrects is corrected here: the machine is tried as it is.",
		"The lands and the boss stay. Whatever holds the scrap keeps to its edges and below its top, or holds it from below.",
	}
}

func (scrapWords) Lies() (name, along string) { return "The scrap", "" }

func (scrapWords) Checks() []string {
	return []string{
		"Before it is freed write +X and +Y on the scrap. Measure it away from the machine. Take the dust out of its corners and brush burr off; sand nothing.",
		"Read each mark at several places, and write each reading in a row of its own of readings.csv, which lies beside the programs; leave empty what cannot be read.",
		"dishwright fit --scrap readings.csv --job JOB says what the machine is off by, how sure that is, and what this scrap cannot show. JOB is the job's file, as the scrap was made for it; where scrap.yaml lies beside the readings, leave --job out. dishwright manual scrap says how each mark is read.",
	}
}

func (scrapWords) Use() (title string, practice bool, list []string) {
	return "After the machine was set", false, []string{
		"Where anything of the machine was turned, trammed or tightened, cut a new scrap: the old readings are of the machine as it was.",
	}
}
