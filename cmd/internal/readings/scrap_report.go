package readings

import (
	"math"

	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/scrap"
)

// Leaves are the figures of a scrap's wood and of what it is read with.
type Leaves struct {
	Wood       string  `json:"wood"`
	TextureMM  float64 `json:"texture_mm"` // standard deviations
	EdgeMM     float64 `json:"edge_mm"`
	RepeatMM   float64 `json:"z_repeats_mm"`
	Invented   bool    `json:"invented"` // nobody measured the figures above
	CalliperMM float64 `json:"calliper_mm"`
	RuleMM     float64 `json:"rule_mm"`
}

// LeavesOf returns the figures for a sort of wood. They are invented: no source is known.
func LeavesOf(wood string, calliper, rule float64) Leaves {
	l := Leaves{wood, 0.01, 0.02, 0.005, true, calliper, rule}
	switch wood {
	case "plywood":
		l.TextureMM, l.EdgeMM = 0.03, 0.05
	case "hardwood":
		l.TextureMM, l.EdgeMM = 0.02, 0.03
	}
	return l
}

// Length is a length that the marks tell, or do not: Value, Low and High are null then.
type Length struct {
	Value      *float64 `json:"value_mm"`
	Low        *float64 `json:"low_mm"` // the interval that holds the true one in 95 of 100 cases
	High       *float64 `json:"high_mm"`
	Read       bool     `json:"read"`
	Resolved   bool     `json:"resolved"`
	Resolution float64  `json:"resolution_mm"`
	AtMost     *float64 `json:"at_most_mm"` // of what was read and is not resolved
}

// Share is a slope or a scale, likewise.
type Share struct {
	Value      *float64 `json:"value_mm_per_100_mm"`
	Low        *float64 `json:"low_mm_per_100_mm"`
	High       *float64 `json:"high_mm_per_100_mm"`
	Read       bool     `json:"read"`
	Resolved   bool     `json:"resolved"`
	Resolution float64  `json:"resolution_mm_per_100_mm"`
	AtMost     *float64 `json:"at_most_mm_per_100_mm"`
	AtLeast    *float64 `json:"at_least_mm_per_100_mm"` // of a tilt beyond what the strips show
}

// Left is what the job's programs leave with what was found, as their proof has it.
type Left struct {
	AskedMM     float64 `json:"asked_mm"`
	PlannedMM   float64 `json:"as_stated_mm"`
	CertifiedMM float64 `json:"as_measured_mm"`
	Found       bool    `json:"found"`              // is tilt or undersize what was found? Else what the job states
	TiltMM      float64 `json:"tilt_mm_per_100_mm"` // for which it is certified
	UndersizeMM float64 `json:"undersize_mm"`
	Within      bool    `json:"within"`
}

// LeftOut is what the scrap cannot tell, and why.
type LeftOut struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// Told is a line for a file of the builder's.
type Told struct {
	File string       `json:"file"` // shop file or machine profile
	Line measure.Said `json:"line"`
}

// ScrapReport is what the readings of a scrap tell. Names end in their unit.
type ScrapReport struct {
	Job       string         `json:"job"`
	Scrap     string         `json:"scrap"`
	Cutter    string         `json:"cutter"`
	Finish    string         `json:"finish_cutter"` // that finishes the job now; empty of a job without a face
	NamedMM   float64        `json:"named_diameter_mm"`
	Readings  int            `json:"readings"`
	Leaves    Leaves         `json:"leaves"`
	TiltX     Share          `json:"tilt_x"` // above 0: the side at +X of the cutter's bottom cuts deeper
	TiltY     Share          `json:"tilt_y"`
	Direction measure.Said   `json:"tilt_direction"`
	Diameter  Length         `json:"diameter"`
	Undersize Length         `json:"undersize"`
	BacklashX Length         `json:"backlash_x"`
	BacklashY Length         `json:"backlash_y"`
	ScaleX    Share          `json:"scale_x"`
	ScaleY    Share          `json:"scale_y"`
	ScaleZ    Share          `json:"scale_z"`
	Odd       []string       `json:"odd_marks"`
	LeftOut   []LeftOut      `json:"left_out"`
	Scallop   *Left          `json:"scallop"` // null where the job has no face
	Lines     []Told         `json:"lines"`
	Verdict   measure.Said   `json:"verdict"`
	Warnings  []measure.Said `json:"warnings"`

	found scrap.Found
}

// JudgeScrap finds what the readings tell.
func JudgeScrap(l *scrap.Layout, list []scrap.Reading, v Leaves) ScrapReport {
	f := l.Find(list, scrap.Leaves{Texture: v.TextureMM, Edge: v.EdgeMM, Repeat: v.RepeatMM, Calliper: v.CalliperMM, Rule: v.RuleMM})
	r := ScrapReport{NamedMM: 2 * l.Body.Radius(), Readings: len(list), Leaves: v, found: f, Odd: []string{}, LeftOut: []LeftOut{}, Lines: []Told{}, Warnings: []measure.Said{}}
	r.TiltX, r.TiltY = share(f.Tilt[0]), share(f.Tilt[1])
	r.Undersize, r.BacklashX, r.BacklashY = length(f.Undersize), length(f.Backlash[0]), length(f.Backlash[1])
	r.ScaleX, r.ScaleY, r.ScaleZ = share(f.Scale[0]), share(f.Scale[1]), share(f.Scale[2])
	across := f.Undersize
	across.Value = r.NamedMM - across.Value
	r.Diameter = length(across)
	r.Diameter.AtMost = nil
	for _, m := range l.Missing {
		r.LeftOut = append(r.LeftOut, LeftOut(m))
	}
	for _, i := range f.Odd {
		r.Odd = append(r.Odd, l.Marks[i].Letter)
	}
	r.direction()
	return r
}

// tidied rounds a figure to what is worth telling: a thousandth of a mm, or of one over a
// hundred.
func tidied(v float64) *float64 {
	v = math.Round(v*1e4)/1e4 + 0
	return &v
}

// length tells a quantity.
func length(q scrap.Quantity) (l Length) {
	l.Read, l.Resolved, l.Resolution = q.State != scrap.Unread, q.State == scrap.Resolved, *tidied(q.Resolution)
	switch q.State {
	case scrap.Resolved:
		l.Value, l.Low, l.High = tidied(q.Value), tidied(q.Value-q.Half), tidied(q.Value+q.Half)
	case scrap.Unresolved:
		l.AtMost = tidied(math.Abs(q.Value) + q.Half)
	}
	return l
}

// share tells a quantity that is a share of a length, over a hundred.
func share(q scrap.Quantity) (s Share) {
	l := length(scrap.Quantity{Value: 100 * q.Value, Half: 100 * q.Half, Resolution: 100 * q.Resolution, State: q.State})
	s = Share{l.Value, l.Low, l.High, l.Read, l.Resolved, l.Resolution, l.AtMost, nil}
	if q.State == scrap.Beyond {
		s.AtLeast = tidied(100 * math.Abs(q.Value))
	}
	return s
}

// Tilt returns how far the spindle may be out of square, rise over length, at the upper end of
// what was found; false where neither axis is resolved.
func (r *ScrapReport) Tilt() (most float64, told bool) {
	for _, q := range r.found.Tilt {
		if q.State != scrap.Unread {
			most = math.Hypot(most, math.Abs(q.Value)+q.Half)
			told = told || q.State == scrap.Resolved
		}
	}
	return most, told
}

// Lacks returns what the cutter may lack of its diameter, mm, at the upper end; false where it
// is not resolved. A cutter that cuts wider lacks nothing.
func (r *ScrapReport) Lacks() (most float64, told bool) {
	q := r.found.Undersize
	return max(0, q.Value+q.Half), q.State == scrap.Resolved
}

// Beyond reports whether the spindle leans more than the strips show.
func (r *ScrapReport) Beyond() bool {
	return r.TiltX.AtLeast != nil || r.TiltY.AtLeast != nil
}

// Another reports whether another cutter finishes the job than the one the scrap was cut with.
func (r *ScrapReport) Another() bool { return r.Finish != "" && r.Finish != r.Cutter }

// Certify takes what the job's programs leave, and says whether that may stay.
func (r *ScrapReport) Certify(left *Left) {
	r.Scallop = left
	switch {
	case r.Beyond():
		r.Verdict = measure.Say("the spindle leans more than the strips can show: square it before anything else is cut")
	case left == nil:
		r.Verdict = measure.Say("%d readings of scrap %s tell what stands below; the job has no face that a scallop could stand on", r.Readings, r.Scrap)
	case !left.Found:
		r.Verdict = measure.Say("the scrap shows nothing that changes the scallop: certified at %v of %v, for what the job states", measure.Enough(left.CertifiedMM, 4), measure.MM(left.AskedMM))
	case left.Within:
		r.Verdict = measure.Say("the scallop stays within what was asked for: certified at %v of %v with what the scrap shows", measure.Enough(left.CertifiedMM, 4), measure.MM(left.AskedMM))
	default:
		r.Verdict = measure.Say("the scallop is over what was asked for: certified at %v, asked %v, with what the scrap shows", measure.Enough(left.CertifiedMM, 4), measure.MM(left.AskedMM))
	}
	r.lines()
	r.warn()
	tell.Tidy(r)
}
