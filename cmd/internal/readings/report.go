package readings

import (
	"errors"
	"fmt"
	"math"

	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/fit"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
)

// Report is what the readings tell. Names end in their unit.
type Report struct {
	Name        string         `json:"name"`
	Source      string         `json:"source"` // independent: of tools that the machine had no part in
	Face        string         `json:"face"`
	Readings    int            `json:"readings"`
	Ignored     int            `json:"ignored"`
	AskedMM     float64        `json:"asked_radius_mm"`
	RadiusMM    float64        `json:"radius_mm"`
	LowMM       float64        `json:"radius_low_mm"`
	HighMM      *float64       `json:"radius_high_mm"` // null where the readings do not tell the face from a flat
	Apex        *Apex          `json:"apex,omitempty"` // not told by bars and spherometers
	RMSMM       float64        `json:"rms_mm"`
	NoiseMM     float64        `json:"noise_mm"`
	GaugeMM     float64        `json:"gauge_mm"`
	Residuals   []Residual     `json:"residuals"`
	Roundness   *Roundness     `json:"roundness,omitempty"`
	AsErrors    *AsErrors      `json:"as_machine_errors,omitempty"`
	More        []Again        `json:"to_halve_the_interval"`
	Within      bool           `json:"asked_within"`
	Verdict     measure.Said   `json:"verdict"`
	Limit       measure.Said   `json:"limit"`
	SpanMM      float64        `json:"span_mm"`                       // over which was measured
	StepMM      float64        `json:"step_is_radius_mm"`             // what one step of the gauge over that span is in radius: 8R²h/L²
	CorrectedMM float64        `json:"corrected_radius_mm,omitempty"` // to ask for at the next cut
	Correction  *Correction    `json:"correction"`
	Against     *Against       `json:"against,omitempty"` // where a job was named
	AtRimMM     float64        `json:"off_at_rim_mm"`     // what the radius found makes at the rim, against the one asked for
	RimMM       float64        `json:"rim_mm"`
	Warnings    []measure.Said `json:"warnings"`

	half     float64 // of the interval of the curvature, 1/mm
	halfAxes float64 // of those along X and Y, of a face that is fitted with two
}

// Apex is where the sphere is level.
type Apex struct {
	X float64 `json:"x_mm"`
	Y float64 `json:"y_mm"`
	Z float64 `json:"z_mm"`
}

// Residual is how far a reading stands above the sphere.
type Residual struct {
	X        float64 `json:"x_mm"`
	Y        float64 `json:"y_mm"`
	Line     int     `json:"line"`
	Residual float64 `json:"residual_mm"`
	Outlier  bool    `json:"outlier"`
}

// Roundness is two radii across one another.
type Roundness struct {
	LeastMM  float64  `json:"least_radius_mm"`
	MostMM   *float64 `json:"most_radius_mm"`
	AngleDeg float64  `json:"least_radius_angle_deg"`
	Sure     bool     `json:"sure"`
}

// AsErrors is the machine that would have cut what was measured, told to cut the radius
// asked for: if its heights are true, and the readings' X and Y are those of the machine
// that cut it. Lengths too far, mm per 100 mm.
type AsErrors struct {
	ScaleX float64 `json:"scale_x_mm_per_100_mm"`
	ScaleY float64 `json:"scale_y_mm_per_100_mm"`
	Lean   float64 `json:"lean_mm_per_100_mm"`
	Leans  bool    `json:"lean_told"` // is the lean known? Lines along X and Y alone do not tell it
	Within float64 `json:"known_within_mm_per_100_mm"`
	Sure   bool    `json:"sure"` // do the readings tell it from a true machine?
}

// asErrors works out the machine errors behind two curvatures across one another. Told to
// cut the curvature κ, a machine of the plan map M = [[1 + sx, l], [0, 1 + sy]] cuts κ
// M⁻ᵀM⁻¹, of which M is found as of any such product, from its last corner up.
func asErrors(o Roundness, asked float64) (AsErrors, bool) {
	if o.MostMM == nil || !(asked > 0) {
		return AsErrors{}, false
	}
	a := o.AngleDeg * math.Pi / 180
	most, least := asked/o.LeastMM, asked/(*o.MostMM)
	mean, half := (most+least)/2, (most-least)/2
	xx, xy, yy := mean+half*math.Cos(2*a), half*math.Sin(2*a), mean-half*math.Cos(2*a)
	if !(xx > 0) || !(xx*yy > xy*xy) {
		return AsErrors{}, false
	}
	x, y := 1/math.Sqrt(xx), 1/math.Sqrt(yy-xy*xy/xx)
	// M⁻¹ = [[1/x, −l/(x y)], [0, 1/y]], so that its product holds −l/(x² y) off the diagonal.
	return AsErrors{ScaleX: 100 * (x - 1), ScaleY: 100 * (y - 1), Lean: 100 * -xy / xx, Sure: o.Sure}, true
}

// Again is readings to take again at a place.
type Again struct {
	X     float64 `json:"x_mm"`
	Y     float64 `json:"y_mm"`
	Count int     `json:"count"`
}

// Target is the face that was wanted: its radius, and its rim's distance from the apex,
// mm; 0 where that is not said.
type Target struct {
	Radius measure.Length
	Rim    float64
	Told   float64                 // radius that its programs were told to cut, mm; 0 where that is Radius
	Over   float64                 // what a job that asks for it has in its key radius over that of the face, mm
	Errors machines.GeometryErrors // of the machine that cut it, as its profile knows them
}

// told returns the radius that the programs were told to cut.
func (t Target) told() float64 {
	if t.Told > 0 {
		return t.Told
	}
	return t.Radius.MM
}

// flattest is a radius beyond which a face is called flat, mm: over the largest of
// dishes a kilometre of radius is a twentieth of a millimetre.
const flattest = 1e6

// Judge fits the readings and says what they mean.
func Judge(s Set, asked Target) (Report, error) {
	var found fit.Sphere
	var err error
	if s.Feet > 0 {
		found, err = fit.FitSagittas(s.Feet, s.Heights, s.Fit.Resolution)
	} else {
		found, err = fit.Fit(s.Fit)
	}
	if err != nil {
		return Report{}, s.refusal(err)
	}
	if r, _, _ := found.Radius(); !(r <= flattest) {
		return Report{}, strict.Faults{{File: s.file, Line: 1, Column: 1, Message: "these readings are of a flat: they have no radius", Hint: "readings that differ over the face, each as it was read"}}
	}
	if hollow := found.Curvature > 0; hollow == s.Crown && math.Abs(found.Curvature) > found.HalfInterval {
		return Report{}, strict.Faults{{File: s.file, Line: 1, Column: 1, Message: fmt.Sprintf("these are readings of a %s, not of a %s", kind(hollow), kind(!hollow)), Hint: "of: crown in the file, or --crown, for a rim or a plate; depths and z are down and up"}}
	}
	r := Report{Name: s.Name, Source: "independent", Face: kind(!s.Crown), Readings: len(s.At), Ignored: s.Ignored, AskedMM: asked.Radius.MM, RMSMM: found.RMS, NoiseMM: found.Noise,
		GaugeMM: s.Fit.Resolution, Residuals: []Residual{}, More: []Again{}, Warnings: []measure.Said{}}
	radius, low, high := found.Radius()
	r.RadiusMM, r.LowMM, r.half = radius, low, found.HalfInterval
	if !math.IsInf(high, 1) {
		r.HighMM = &high
	}
	if s.Feet == 0 {
		r.Apex = &Apex{found.Apex.X, found.Apex.Y, found.Apex.Z}
	}
	for i, p := range s.At {
		r.Residuals = append(r.Residuals, Residual{p.X, p.Y, p.Line, found.Residual[i], i == found.Outlier})
	}
	r.round(s, found, asked.told())
	r.judge(s, asked, found, high)
	r.correct(asked, found)
	tell.Tidy(&r)
	return r, nil
}

func kind(hollow bool) string {
	if hollow {
		return "hollow"
	}
	return "crown"
}

// refusal says why readings tell nothing.
func (s Set) refusal(err error) error {
	hint := "readings spread over the face: two more than there are unknowns (radius, height and tilt of each placing)"
	switch {
	case errors.Is(err, fit.ErrTooFew):
		hint = "at least 5 places, 4 depths under a straightedge, or 3 under a bar; 9 or more tell how sure they are"
	case errors.Is(err, fit.ErrSpread):
		hint = "places on several lines across the face, or depths under a straightedge as x_mm,depth_mm"
	}
	return strict.Faults{{File: s.file, Line: 1, Column: 1, Message: err.Error(), Hint: hint}}
}

// round fills in the roundness and where to measure next.
func (r *Report) round(s Set, found fit.Sphere, told float64) {
	if s.Feet > 0 {
		return
	}
	if o, ok := found.Roundness(s.Fit); ok {
		most, least := o.MaxCurvature, o.MinCurvature
		angle := o.Angle
		if s.Crown { // the sharper curve of a crown is the more negative
			most, least = -o.MinCurvature, -o.MaxCurvature
			angle += math.Pi / 2
			if angle > math.Pi/2 {
				angle -= math.Pi
			}
		}
		out := &Roundness{LeastMM: 1 / most, AngleDeg: angle * 180 / math.Pi, Sure: o.Significant}
		if least > 0 {
			flat := 1 / least
			out.MostMM = &flat
		}
		if most > 0 {
			r.Roundness = out
			r.halfAxes = o.HalfAxes
			if e, ok := asErrors(*out, told); ok {
				e.Leans, e.Within = o.Crossed, 100*told*max(o.HalfAxes/2, o.HalfBoth)
				e.Sure = e.Sure || r.AskedMM < r.LowMM || r.HighMM != nil && r.AskedMM > *r.HighMM
				r.AsErrors = &e
			}
		}
	}
	for _, m := range found.RepeatsToHalve() {
		p := s.At[m.Reading]
		r.More = append(r.More, Again{p.X, p.Y, m.Count})
	}
}

// reachOf returns how far from the middle the readings go.
func (s Set) reachOf() float64 {
	far := s.Feet
	for _, p := range s.At {
		far = max(far, math.Hypot(p.X, p.Y))
	}
	return far
}

// judge says in words what the radius found means.
func (r *Report) judge(s Set, asked Target, found fit.Sphere, high float64) {
	r.RimMM = asked.Rim
	if r.RimMM == 0 {
		r.RimMM = s.reachOf()
	}
	if r.RimMM < r.RadiusMM && r.RimMM < asked.Radius.MM {
		r.AtRimMM = dish.Drop(r.RadiusMM, r.RimMM) - dish.Drop(asked.Radius.MM, r.RimMM)
	}
	r.Within = asked.Radius.MM >= r.LowMM && asked.Radius.MM <= high
	r.SpanMM = 2 * s.reachOf()
	step, what := s.Fit.Resolution, "step of the gauge"
	if step == 0 {
		step, what = found.Noise, "reading's scatter"
	}
	if r.SpanMM > 0 {
		// R = L²/8h nearly, so that dR is L²/8h² dh = 8R²/L² dh.
		r.StepMM = 8 * r.RadiusMM * r.RadiusMM * step / (r.SpanMM * r.SpanMM)
		r.Limit = measure.Say("over %v one %s, %v, is %v of radius", measure.To(r.SpanMM, 1), what, measure.To(step, 4), measure.To(r.StepMM, 0))
	}
	span := measure.Say("your readings say %v", measure.Domes(r.LowMM, high))
	switch {
	case r.Within:
		r.Verdict = measure.Say("%v: %v is within it", span, measure.Nominal{Length: asked.Radius})
	default:
		r.Verdict = measure.Say("%v: %v is not within it%v", span, measure.Nominal{Length: asked.Radius}, otherUnit(r.RadiusMM, asked.Radius.MM))
		// What came out too curved is asked for flatter by as much.
		if k := 1/asked.told() + 1/asked.Radius.MM - 1/r.RadiusMM; k > 0 {
			r.CorrectedMM = 1 / k
		}
	}
	if half := found.HalfInterval * r.RadiusMM; half > 0.02 {
		r.Warnings = append(r.Warnings, measure.Say("the radius is known within %.0f %% only: wider spread, more or finer readings", 100*half))
	}
	if s.Fit.Resolution == 0 {
		r.Warnings = append(r.Warnings, measure.Say("the gauge's step is not said (gauge: %v, or --gauge): its rounding is not counted", measure.MM(0.01)))
	}
	if o := r.Roundness; o != nil && o.Sure {
		r.Warnings = append(r.Warnings, measure.Say("it is more curved at %s degrees from X than across that: square the spindle to the bed, or state its tilt in the job (spindle tilt: %v), and see that the dish lay flat when it was cut and when it was measured", measure.FormatFixed(o.AngleDeg, 0), measure.Tan(0.0005)))
	}
	if found.Outlier >= 0 {
		p := r.Residuals[found.Outlier]
		r.Warnings = append(r.Warnings, measure.Say("reading %d, at %v, is %v off what the others say: left out; measure it again", found.Outlier+1, measure.At(p.X, p.Y), measure.Micro(found.OutlierBy)))
	}
}
