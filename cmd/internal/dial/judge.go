package dial

import (
	"fmt"
	"math"

	plan "dishwright/cam/dial"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/fit"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Found is what filled readings tell. Radius is never told: it is null.
type Found struct {
	Name     string         `json:"name"`
	Source   string         `json:"source"` // machine: the one that cut what it reads
	Of       string         `json:"of"`
	Readings string         `json:"readings"`
	Asked    float64        `json:"asked_radius_mm"`
	Radius   *float64       `json:"radius_mm"` // null: such readings do not know it
	ScaleX   *float64       `json:"scale_x"`   // null, as those below
	ScaleY   *float64       `json:"scale_y"`
	GaugeMM  float64        `json:"gauge_mm"`
	SpanMM   float64        `json:"span_mm"`
	RMSMM    float64        `json:"rms_mm"`
	Largest  Largest        `json:"largest"`
	DriftMM  float64        `json:"drift_mm"` // of the first place between its two readings
	Bow      *Bend          `json:"bow,omitempty"`
	Twist    *Bend          `json:"twist,omitempty"`
	LeftMM   float64        `json:"left_rms_mm"` // beside bow and twist
	Plane    *Plane         `json:"plane,omitempty"`
	BedMM    *float64       `json:"bed_from_lowest_to_highest_mm,omitempty"`
	Places   []PlaceFound   `json:"places"`
	Verdict  measure.Said   `json:"verdict"`
	Patterns []Pattern      `json:"patterns"`
	Cannot   []measure.Said `json:"cannot_tell"`
	Lines    []string       `json:"job_lines,omitempty"`     // for the job's file
	Profile  []string       `json:"profile_lines,omitempty"` // for the machine's
}

// Largest is the place that is off the most.
type Largest struct {
	Place int     `json:"place"`
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	Off   float64 `json:"off_mm"`
}

// Bend is a bow or a twist with the half of the interval that holds the true one in 95 of 100
// cases.
type Bend struct {
	MM       float64  `json:"mm"`
	HalfMM   float64  `json:"half_interval_mm"`
	AngleDeg *float64 `json:"angle_deg,omitempty"` // along which a twist rises
	Sure     bool     `json:"sure"`                // is it told from none?
}

// Plane is how a top lies: rise over length along X and Y.
type Plane struct {
	X     float64 `json:"x_mm_per_100_mm"`
	XHalf float64 `json:"x_half_interval_mm_per_100_mm"`
	Y     float64 `json:"y_mm_per_100_mm"`
	YHalf float64 `json:"y_half_interval_mm_per_100_mm"`
}

// PlaceFound is a reading: what the dial showed, and how far the surface stands above the one
// that was expected, height and tilt taken out.
type PlaceFound struct {
	Place   int     `json:"place"`
	X       float64 `json:"x_mm"`
	Y       float64 `json:"y_mm"`
	Dial    float64 `json:"dial_mm"`
	Off     float64 `json:"off_mm"`
	Left    float64 `json:"left_mm"`
	Outlier bool    `json:"outlier"`
}

// Pattern is what the readings show and what commonly makes it so.
type Pattern struct {
	Kind    string       `json:"kind"`
	Message measure.Said `json:"message"`
}

// usualStep is a common dial's, mm.
const usualStep = 0.01

// Judge says what the readings tell; gauge is the dial's step in mm, 0 for a common one's.
func Judge(f Filled, gauge float64) (Found, error) {
	if gauge == 0 {
		gauge = usualStep
	}
	out := Found{Name: f.File, Source: "machine", Of: f.Of, Readings: f.ID, GaugeMM: gauge, Asked: f.Job.Radius.MM, Places: []PlaceFound{}, Patterns: []Pattern{}, Cannot: cannot(f.Of)}
	at, above := make([]r2.Vec, len(f.List)), make([]float64, len(f.List))
	expected := f.expected()
	for i, p := range f.List {
		at[i] = r2.Vec{X: p.X, Y: p.Y}
		above[i] = f.Dial[i]
		if f.Of == plan.Face {
			above[i] -= expected[i]
		}
	}
	out.DriftMM = f.Dial[len(f.Dial)-1] - f.Dial[0]
	shapes, span := f.shapes()
	out.SpanMM = span
	d, err := fit.Depart(at, above, gauge, shapes...)
	if err != nil {
		return Found{}, strict.Faults{{File: f.File, Line: 1, Column: 1, Message: err.Error(), Hint: "the readings of all places of the set"}}
	}
	out.take(f, d)
	switch f.Of {
	case plan.Top:
		out.top(f, d)
	case plan.Bed:
		out.bed(f, d)
	default:
		out.bends(d)
		out.judge(f, d)
	}
	if d.Outlier >= 0 {
		out.Verdict = measure.Say("the reading of place %d was left out as wrong: %v", d.Outlier+1, out.Verdict)
	}
	tell.Tidy(&out)
	return out, nil
}

// take takes the places.
func (r *Found) take(f Filled, d fit.Departure) {
	r.RMSMM, r.LeftMM = d.RMS, d.LeftRMS
	for i, p := range f.List {
		r.Places = append(r.Places, PlaceFound{i + 1, p.X, p.Y, f.Dial[i], d.Off[i], d.Left[i], i == d.Outlier})
		if i != d.Outlier && (math.Abs(d.Off[i]) > math.Abs(r.Largest.Off) || r.Largest.Place == 0) {
			r.Largest = Largest{i + 1, p.X, p.Y, d.Off[i]}
		}
	}
}

// shapes are those that are fitted, a bow first: of a round face a twist in two directions, of
// a board the twist of its corners. span is over what the bow goes, mm.
func (p Places) shapes() (list []func(r2.Vec) float64, span float64) {
	if p.Of != plan.Face {
		return nil, 0
	}
	long, _ := p.Job.Work.Region.Size()
	reach := plan.Reach(long / 2)
	unit := 1 / (reach * reach)
	if b, ok := p.Job.Work.Region.(dish.Strip); ok {
		return []func(r2.Vec) float64{
			func(q r2.Vec) float64 { return q.X * q.X * unit },
			func(q r2.Vec) float64 { return q.X * q.Y / (reach * plan.Side(b)) }}, 2 * reach
	}
	return []func(r2.Vec) float64{
		func(q r2.Vec) float64 { return (q.X*q.X + q.Y*q.Y) * unit },
		func(q r2.Vec) float64 { return (q.X*q.X - q.Y*q.Y) * unit },
		func(q r2.Vec) float64 { return 2 * q.X * q.Y * unit }}, 2 * reach
}

// pairShare is how far two amounts together, each over the half of its own interval, lie beside
// none in 95 of 100 cases, squared: 2 F/t², which is 1.68 for 8 degrees of freedom and 1.75 for 5.
const pairShare = 1.75

// bends takes bow and twist.
func (r *Found) bends(d fit.Departure) {
	b := d.Bends[0]
	r.Bow = &Bend{MM: b.Amount, HalfMM: b.Half, Sure: b.Sure()}
	if len(d.Bends) == 2 {
		b := d.Bends[1]
		r.Twist = &Bend{MM: b.Amount, HalfMM: b.Half, Sure: b.Sure()}
		return
	}
	s, c := d.Bends[1], d.Bends[2]
	angle := math.Atan2(c.Amount, s.Amount) / 2 * 180 / math.Pi
	r.Twist = &Bend{MM: math.Hypot(s.Amount, c.Amount), HalfMM: max(s.Half, c.Half), AngleDeg: &angle,
		Sure: math.Pow(s.Amount/s.Half, 2)+math.Pow(c.Amount/c.Half, 2) > pairShare}
}

// pattern adds one.
func (r *Found) pattern(kind, format string, args ...any) {
	r.Patterns = append(r.Patterns, Pattern{kind, measure.Say(format, args...)})
}

// judge says what the departures of a face suggest.
func (r *Found) judge(f Filled, d fit.Departure) {
	w := &f.Job.Work
	r.Verdict = measure.Say("the face is %v rms off what its machine was told to cut, %v at most, at place %d; of its radius these readings say nothing", measure.Enough(r.RMSMM, 3), measure.Enough(math.Abs(r.Largest.Off), 3), r.Largest.Place)
	if b := r.Bow; b.Sure {
		way, cause := "lower", "cupped"
		if b.MM < 0 {
			way, cause = "higher", "crowned"
		}
		r.pattern("bow", "over %v its middle lies %v %s against the edge than it was told to (%v to %v): a blank that %s as it was freed or as it dried, or a cutter that was pressed away more in one part than in another", measure.To(r.SpanMM, 0), measure.To(math.Abs(b.MM), 3), way, measure.To(math.Abs(b.MM)-b.HalfMM, 3), measure.To(math.Abs(b.MM)+b.HalfMM, 3), cause)
		if s := w.Face.Sagitta(); s > 0.5 {
			r.pattern("z scale", "or Z's own scale, which the dial does see: %.1f %% of the depth of %v", 100*math.Abs(b.MM)/s, measure.To(s, 2))
		}
	}
	if t := r.Twist; t != nil && t.Sure {
		if t.AngleDeg != nil {
			r.pattern("twist", "it is bent up by %v along %.0f deg, and down as much across: wood that cupped along its grain, or a clamp or a bed that twists it", measure.To(t.MM, 3), *t.AngleDeg)
		} else {
			r.pattern("twist", "its corners stand %v up and down by turns: a board that twisted as it was freed or dried, or a clamp or a bed that twists it", measure.To(math.Abs(t.MM), 3))
		}
	}
	if limit := max(2*r.GaugeMM, 3*d.Noise); math.Abs(r.DriftMM) > limit {
		r.pattern("drift", "place 1 read %v more at the end than at the start: the gauge, the work or Z moved meanwhile, lost steps in Z do so, and all readings are in doubt by as much", measure.MM(r.DriftMM))
	}
	r.without(d)
	if rough := max(2*r.GaugeMM, w.Scallop/2); r.LeftMM > rough {
		r.pattern("rough", "%v rms are left that no smooth bend explains; the dial reads the scallop, up to %v, too: steps between neighbouring places suggest lost steps in Z or a cutter that wore or was changed between passes", measure.MM(r.LeftMM), measure.MM(w.Scallop))
	}
	if len(r.Patterns) == 0 {
		r.pattern("none", "no bow, twist or step is told from chance: cutting and time added no more than %v of bow", measure.Enough(math.Abs(r.Bow.MM)+r.Bow.HalfMM, 3))
	}
}

// without tells the reading that was left out.
func (r *Found) without(d fit.Departure) {
	if d.Outlier < 0 {
		return
	}
	off, turn := d.Left[d.Outlier], ""
	if whole := math.Round(math.Abs(off)); whole > 0 && math.Abs(math.Abs(off)-whole) < 0.1 {
		turn = ", or a turn of the dial that was miscounted"
	}
	r.pattern("one place", "place %d is %v off what the others say and was left out: a chip, dust, steps lost on the way there%s; read it again", d.Outlier+1, measure.MM(off), turn)
}

// lies takes the plane, and tells a gauge or a zero that moved.
func (r *Found) lies(d fit.Departure) {
	r.Plane = &Plane{100 * d.TiltX.Amount, 100 * d.TiltX.Half, 100 * d.TiltY.Amount, 100 * d.TiltY.Half}
	if math.Abs(r.DriftMM) > max(2*r.GaugeMM, 3*d.Noise) {
		r.pattern("drift", "place 1 read %v more at the end than at the start: the gauge, what it reads or Z moved meanwhile", measure.MM(r.DriftMM))
	}
	r.without(d)
}

// bed says how the bed lies where the blank will, and what that does at worst.
func (r *Found) bed(f Filled, d fit.Departure) {
	r.lies(d)
	w := &f.Job.Work
	low, high := math.Inf(1), math.Inf(-1)
	for i, v := range f.Dial {
		if i != d.Outlier {
			low, high = min(low, v), max(high, v)
		}
	}
	off := high - low
	r.BedMM, r.Profile = &off, f.lines("bed:", d)
	r.level(f, d)
	r.Verdict = measure.Say("the bed is %v higher at its highest place than at its lowest, as the machine sees it; a plane taken out, its places lie within %v", measure.Enough(off, 3), measure.Enough(math.Abs(r.Largest.Off), 3))
	switch {
	case off <= w.ZeroError:
		r.pattern("flat", "that is no more than the zero error of %v: the job need not know of it", measure.MM(w.ZeroError))
	case w.ZeroAtBed:
		r.pattern("zero", "Z0 is touched off on the bed: at worst it is off by %v, and so is the depth of all that is cut, more than the zero error of %v: touch off on the blank's top, or surface the board of waste", measure.Enough(off, 3), measure.MM(w.ZeroError))
	default:
		r.pattern("lies", "that is more than the zero error of %v: a blank that lies on it as it does tilts or rocks by as much, which top points in the job take up where it is a plane; what no plane takes up bends a thin blank when it is clamped: surface the board of waste, or shim", measure.MM(w.ZeroError))
	}
	if w.HasFace() && off > w.ZeroError {
		r.pattern("floor", "at worst %v less wood than told stays under the deepest place", measure.Enough(off, 3))
	}
}

// top says how a blank's top lies.
func (r *Found) top(f Filled, d fit.Departure) {
	r.lies(d)
	slope := math.Hypot(d.TiltX.Amount, d.TiltY.Amount)
	r.Verdict = measure.Say("the top rises %v along X and %v along Y, as the machine sees it; its places lie within %v of that plane", measure.Tan(d.TiltX.Amount), measure.Tan(d.TiltY.Amount), measure.Enough(math.Abs(r.Largest.Off), 3))
	if !d.TiltX.Sure() && !d.TiltY.Sure() {
		r.pattern("level", "that is not told from level: the job needs no top points")
	}
	if far := f.Job.Work.Face.Rim; slope*far > 0 {
		r.pattern("tilt", "left out of the job it would tilt the face by %v from its middle to its edge", measure.Enough(slope*far, 3))
	}
	r.Lines = f.lines("top points:", d)
}

// heights are the places that count, each once, and how high it lies over place 1, the mean of
// whose two readings is zero.
func (f Filled) heights(d fit.Departure) (list []r3.Vec, zero float64) {
	last := len(f.List) - 1
	switch zero = (f.Dial[0] + f.Dial[last]) / 2; d.Outlier {
	case 0:
		zero = f.Dial[last]
	case last:
		zero = f.Dial[0]
	}
	for i, p := range f.List[:last] {
		z := f.Dial[i] - zero
		if i == 0 {
			z = 0
		} else if i == d.Outlier {
			continue
		}
		list = append(list, r3.Vec{X: p.X, Y: p.Y, Z: z})
	}
	return list, zero
}

// lines are those heights as they are written under a key.
func (f Filled) lines(key string, d fit.Departure) []string {
	u, out := f.Job.Ruler, []string{key}
	list, _ := f.heights(d)
	for _, p := range list {
		out = append(out, fmt.Sprintf("  - {x: %s, y: %s, z: %s}", u.Length(p.X, 1), u.Length(p.Y, 1), u.Length(p.Z, 3)))
	}
	return out
}

// level takes the plane of the places that count, each once, as a profile does.
func (r *Found) level(f Filled, d fit.Departure) {
	list, zero := f.heights(d)
	p, ok := fit.PlaneThrough(list)
	if !ok {
		return
	}
	r.Plane.X, r.Plane.Y, r.RMSMM, r.LeftMM, r.Largest = 100*p.A, 100*p.B, p.RMS, p.RMS, Largest{}
	for i := range r.Places {
		q := &r.Places[i]
		q.Off = q.Dial - zero - (p.A*q.X + p.B*q.Y + p.C)
		q.Left = q.Off
		if !q.Outlier && (math.Abs(q.Off) > math.Abs(r.Largest.Off) || r.Largest.Place == 0) {
			r.Largest = Largest{q.Place, q.X, q.Y, q.Off}
		}
	}
}
