package shop

import (
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// Bed is how the machine's bed lies, as its profile has it, under the blank where places of it
// lie there.
type Bed struct {
	XMM    float64  `json:"rise_along_x_mm_per_100_mm"`
	YMM    float64  `json:"rise_along_y_mm_per_100_mm"`
	OffMM  *float64 `json:"farthest_off_mm"` // its plane; null of three places, which always lie in one
	RMSMM  *float64 `json:"rms_off_mm"`      // likewise
	Places int      `json:"places"`
	Under  bool     `json:"under_the_blank"` // else they are those of all the bed
}

// bed takes how the bed lies.
func (r *Result) bed() {
	if b, ok := r.Plan.Work.Bed(); ok {
		r.Report.Bed = &Bed{XMM: work.Per100(b.A), YMM: work.Per100(b.B), Places: b.Places, Under: b.Under}
		if b.Places > 3 {
			r.Report.Bed.OffMM, r.Report.Bed.RMSMM = &b.Off, &b.RMS
		}
	}
}

// bedLies says how the bed lies, what that does to a blank, and what may be done; empty where
// the profile says nothing of it.
func (r *Result) bedLies() measure.Said {
	w := &r.Plan.Work
	b, ok := w.Bed()
	if !ok {
		return measure.Said{}
	}
	where := measure.Say("%d places under the blank", b.Places)
	switch {
	case b.Under:
	case w.Setups.Count != 0:
		where = measure.Say("all %d places, for the blank is moved", b.Places)
	default:
		where = measure.Say("all %d places, for too few lie under the blank", b.Places)
	}
	leans := measure.Say("touch its top at three places (top points), or skim it")
	switch {
	case w.Top != nil:
		leans = measure.Say("top points take that up")
	case w.Skim.Off > 0:
		leans = measure.Say("the skim takes that off")
	case 2*b.Slope()*w.Blank.OuterRadius() <= w.ZeroError:
		leans = measure.Say("over all of it no more than the zero error of %v", measure.MM(w.ZeroError))
	case w.Setups.Count != 0:
		leans = measure.Say("shim it level in each setup")
	}
	left := measure.Say("what is off that plane three places cannot tell")
	if b.Places > 3 {
		left = measure.Say("%v off that plane at worst, %v rms, beside the zero error of %v and the scallop of %v: a blank held down follows it, and what is cut is off by as much once it is free",
			measure.Enough(b.Off, 3), measure.To(b.RMS, 3), measure.MM(w.ZeroError), measure.MM(w.Scallop))
	}
	return measure.Say("rises %v along X and %v along Y (%v), and so does a blank laid on it: %v; %v", measure.Tan(b.A), measure.Tan(b.B), where, leans, left)
}
