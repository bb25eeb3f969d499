package main

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/cmd/internal/readings"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/rim"
)

// fitted is the face that readings are held against: of the call, or of the job that it names.
type fitted struct {
	readings.Target
	ruler measure.Ruler
	seat  *readings.Seat // of a job; nil where none is named
	crown bool           // was a crown read, where the file says nothing?
}

// wanted reads what the call says of the face.
func (a *app) wanted(f fitFlags) (w fitted, err error) {
	w.crown = f.crown
	if f.against == "" {
		for _, one := range [...]struct {
			name string
			is   bool
		}{{"width", f.width != ""}, {"limit", f.limit != ""}, {"wood", f.wood}, {"set", len(a.sets) > 0}, {"shop", a.shop != ""}} {
			if one.is {
				return w, tell.Errorf("dishwright fit READINGS --against JOB --"+one.name+" ...", "--%s says something of a job, and none is named", one.name)
			}
		}
		if f.radius == "" {
			return w, tell.Errorf(`--radius "25 ft", or --against JOB`, "fit needs the radius that was asked for")
		}
	}
	if f.against != "" && f.diameter != "" {
		return w, tell.Errorf(`--width "15 in" for that of the body, where the job is no rim`, "--diameter says nothing beside --against: the job tells how wide its face is")
	}
	if f.radius != "" {
		if w.Radius, err = lengthFlag("radius", f.radius, within("radius", 1, mostLength)); err != nil {
			return w, err
		}
	}
	if f.diameter != "" {
		d, err := lengthFlag("diameter", f.diameter, within("diameter", 1, mostLength))
		if err != nil {
			return w, err
		}
		w.ruler.Inches, w.Rim = d.Unit.Imperial(), d.MM/2
	}
	if f.against != "" {
		if err := a.against(f, &w); err != nil {
			return w, err
		}
	}
	if w.Rim >= w.Radius.MM {
		return w, tell.Errorf("a diameter well under twice the radius", "a sphere of radius %s is not %s wide", w.Radius, w.Radius.WithMM(2*w.Rim))
	}
	return w, nil
}

// against reads the job that readings are held against.
func (a *app) against(f fitFlags, w *fitted) error {
	w.seat = &readings.Seat{Job: f.against, Limit: readings.UsualLimit, Taken: f.limit == "", Bare: f.wood}
	if f.limit != "" {
		l, err := lengthFlag("limit", f.limit, measure.Range{Least: 0.001, Most: 5})
		if err != nil {
			return err
		}
		w.seat.Limit = l.MM
	}
	s, err := a.jobSource(f.against)
	if err != nil {
		return err
	}
	if s.Form() == key.Rim {
		return a.againstRim(f, w)
	}
	j, err := a.loadJob(f.against)
	if err != nil {
		return err
	}
	return a.againstJob(f, w, j)
}

// againstRim takes radius and places from the job of a rim.
func (a *app) againstRim(f fitFlags, w *fitted) error {
	j, err := a.loadRim(f.against)
	if err != nil {
		return err
	}
	for _, one := range [...]struct {
		name string
		is   bool
	}{{"width", f.width != ""}, {"wood", f.wood}} {
		if one.is {
			return tell.Errorf("leave it out", "%s is the job of a rim: it tells its own width and has no covering: --%s is of no use", f.against, one.name)
		}
	}
	r, err := sides.Run(j, beside(j.File))
	if err != nil {
		return err
	}
	if k := r.Body.Top.Kind; k != rim.Sphere {
		return j.Fault("top", "this top is no part of a sphere: no radius of its dish can be read", "top: {radius: 25 ft}")
	}
	w.seat.Form, w.ruler = key.Rim, j.Ruler
	w.seat.Plate = r.Body.Top.Radius
	if f.radius == "" {
		w.Radius = j.Top.Radius
	} else {
		w.seat.Plate = w.Radius.MM
	}
	seen := map[string]bool{}
	for _, p := range r.Body.NamedStations() {
		name := sideless(p.Name)
		if !seen[name] {
			w.seat.Places = append(w.seat.Places, readings.Place{Name: name, FromApex: r2.Norm(r2.Sub(p.At, r.Body.Top.Apex))})
			w.Rim = max(w.Rim, w.seat.Places[len(w.seat.Places)-1].FromApex)
		}
		seen[name] = true
	}
	return nil
}

// sideless is a place's name on either side.
func sideless(name string) string {
	for _, side := range [...]string{"right ", "left "} {
		if len(name) > len(side) && name[:len(side)] == side {
			return name[len(side):]
		}
	}
	return name
}

// againstJob takes radius, size, covering and kind from the job of a face.
func (a *app) againstJob(f fitFlags, w *fitted, j job.Job) error {
	if j.Mate != nil && f.crown {
		j = *j.Mate
	}
	k := &j.Work
	switch {
	case !k.HasFace() || k.Face.Level():
		return j.Fault("form", "a "+j.Form.Word()+" has no face whose radius could be read", "the job of a dish, a board, a caul or a rim")
	case k.Face.Cylinder:
		return j.Fault("curve", "a cylinder has no sphere's radius", `dishwright fit READINGS --radius "25 ft"`)
	case f.crown && !k.Face.Falls():
		return tell.Errorf("leave --crown out", "%s makes a hollow: readings of a crown are none of it", f.against)
	case f.wood && k.Covering == 0:
		return tell.Errorf("leave --wood out", "%s has no covering: its face is the wood's", f.against)
	}
	w.ruler, w.crown = j.Ruler, k.Face.Falls()
	wanted := j.Radius.WithMM(k.Wanted)
	if f.radius != "" {
		wanted = w.Radius
	}
	w.seat.Form, w.seat.Plate, w.seat.Covering = j.Form.Word(), wanted.MM, k.Covering
	w.seat.Uneven = k.Uneven
	shift := 0.0
	if f.wood {
		shift = k.Face.Radius - k.Wanted
		w.seat.Over = shift
	}
	w.Radius, w.Told = wanted.WithMM(wanted.MM+shift), k.Wanted+shift
	w.Over = j.Radius.MM - w.Told
	w.Errors = k.Machine.Errors
	long, _ := k.Region.Size()
	w.Rim = long / 2
	width := 2 * w.Rim
	if j.Spans > 0 {
		width = min(width, j.Spans)
	}
	if f.width != "" {
		l, err := lengthFlag("width", f.width, within("width", 1, mostLength))
		if err != nil {
			return err
		}
		if l.MM > long {
			return tell.Errorf("the widest place of the body, from side to side", "a body %s wide does not lie in a face of %s", l, l.WithMM(long))
		}
		width = l.MM
	}
	w.seat.Places = []readings.Place{{Name: fmt.Sprintf("rim of a body %s wide", w.ruler.Length(width, 1)), FromApex: width / 2}}
	return nil
}

// matches refuses readings of the other kind of face than the job makes.
func (w fitted) matches(s readings.Set) error {
	if w.seat == nil || w.seat.Form == key.Rim || s.Crown == w.crown {
		return nil
	}
	return s.OfFault(fmt.Sprintf("readings of a %s: %s makes a %s", kindOf(s.Crown), w.seat.Job, kindOf(w.crown)), "the job of what was read; of a pair the caul with --crown")
}

// refused adds to what is wrong with readings what the job makes.
func (w fitted) refused(err error) error {
	if w.seat == nil || w.seat.Form == key.Rim {
		return err
	}
	return tell.Hint(err, w.seat.Job+" makes a "+kindOf(w.crown))
}

func kindOf(crown bool) string {
	if crown {
		return "crown"
	}
	return "hollow"
}

// hold judges readings against the job, and says whether it broke the limit.
func (w fitted) hold(r *readings.Report) error {
	if w.seat == nil {
		return nil
	}
	r.Hold(*w.seat)
	switch r.Against.Use {
	case readings.Usable:
		return nil
	case readings.Untold:
		return tell.Bound("the readings do not tell whether it may be used", "more readings, as told above; or a wider --limit, if the joint allows it")
	}
	return tell.Bound("it may not be used", "see what is told for the next time; or a wider --limit, if the joint allows it")
}
