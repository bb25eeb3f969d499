package sides

import (
	"math"
	"slices"

	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/rim"
)

// Log is what the widths measured round by round tell. Names end in their unit; what is not
// known is null.
type Log struct {
	File        string       `json:"file"`
	Back        string       `json:"back"`  // its edge is unsanded, or finished
	State       string       `json:"state"` // measure again, too much gone, done, read finer, sanding, no pace or not resolved
	Zone        string       `json:"zone"`  // that is being sanded, dome, flat or blend: mean, press and pace are of its places
	Next        string       `json:"next_zone,omitempty"`
	Verdict     measure.Said `json:"verdict"`      // of that
	LastRound   int          `json:"last_round"`   // that was measured
	Readings    int          `json:"readings"`     // all of them
	StepMM      float64      `json:"step_mm"`      // the finest figure that was written
	NoiseMM     *float64     `json:"noise_mm"`     // standard deviation of one reading; null where too few tell it
	NoiseDOF    int          `json:"noise_dof"`    // degrees of freedom behind it
	ToleranceMM float64      `json:"tolerance_mm"` // by how much a width may be off and be right
	Mean        Trend        `json:"mean"`         // of the places: if they are pressed so that all come down together
	Places      []Logged     `json:"places"`
	First       string       `json:"first_place,omitempty"` // that comes to its width, as it goes
	Slowest     string       `json:"slowest_place,omitempty"`
	Press       string       `json:"press"`    // an end, a side, or evenly
	PressMM     float64      `json:"press_mm"` // how much more it has to come off
	Faster      string       `json:"faster"`   // the end or side that comes down faster, or evenly
	FasterMM    float64      `json:"faster_mm_per_round"`
	UnlikeMM    float64      `json:"rounds_vary_mm"`          // by how much rounds take off more or less, a standard deviation; 0 where they are alike
	Wrong       []WrongWidth `json:"left_out"`                // readings that do not fit
	Again       []string     `json:"measure_again,omitempty"` // places whose last reading is too low, and does not fit
	Gone        *Gone        `json:"too_much_gone,omitempty"`

	pace rim.Pace
}

// Trend is a pace and the rounds to come.
type Trend struct {
	LeftMM   float64  `json:"left_mm"`      // negative where too much is gone
	PerRound *float64 `json:"mm_per_round"` // that come off
	Resolved bool     `json:"resolved"`     // is that told from nothing?
	Rounds   *float64 `json:"rounds_left"`
	Low      *float64 `json:"rounds_left_low"` // the interval that holds it in 95 of 100 cases
	High     *float64 `json:"rounds_left_high"`
}

// Logged is a place of a log.
type Logged struct {
	Name     string  `json:"name"`
	Readings int     `json:"readings"` // that count
	HasMM    float64 `json:"measured_mm"`
	Round    int     `json:"measured_in_round"`
	WantedMM float64 `json:"wanted_mm"`
	DoneMM   float64 `json:"finished_mm"` // with both edges sanded
	Zone     string  `json:"zone"`        // with whose sanding it has its width
	Trend

	now bool // is that being sanded, and what is left known after the last round?
}

// WrongWidth is a reading that does not fit, and is left out.
type WrongWidth struct {
	Line     int          `json:"line"`
	Column   int          `json:"column"`
	Round    int          `json:"round"`
	Place    string       `json:"place"`
	WidthMM  float64      `json:"width_mm"`
	ExpectMM *float64     `json:"expected_mm"` // by the place's other readings; null where those are too few
	Message  measure.Said `json:"message"`
}

// Gone is what can be done where too much is gone.
type Gone struct {
	Places    []string `json:"places"`
	Worst     string   `json:"worst_place"`
	MissingMM float64  `json:"missing_mm"`        // there
	HeadMM    float64  `json:"lower_rim_head_mm"` // the depths of a rim that is so much lower
	TailMM    float64  `json:"lower_rim_tail_mm"`
	RadiusMM  *float64 `json:"other_top_radius_mm"`  // of a top through what is left; null where none near is
	BackMM    *float64 `json:"less_off_the_back_mm"` // with which the job's depths hold; null where the back has not so much everywhere
	LeastMM   float64  `json:"other_top_least_mm"`   // what then comes off
	MostMM    float64  `json:"other_top_most_mm"`
}

// The states of a log.
const (
	stateAgain      = "measure again"
	stateFiner      = "read finer"
	stateGone       = "too much gone"
	stateDone       = "done"
	stateSanding    = "sanding"
	stateNoPace     = "no pace"
	stateUnresolved = "not resolved"
)

// even is said where no end or side has more than another.
const even = "evenly"

// TakeLog reads a log of widths into the report; back is BackUnsanded or BackFinished. The error
// is a strict.Faults.
func (r *Result) TakeLog(file string, data []byte, back string) error {
	reader := logReader{file: file, places: r.Body.NamedStations(), u: r.Job.Ruler}
	for _, s := range reader.places {
		reader.wanted = append(reader.wanted, r.wanted(s, back))
	}
	log, at, err := reader.read(data)
	if err != nil {
		return err
	}
	p := r.Body.Pace(log)
	out := &Log{File: file, Back: back, LastRound: p.Last, StepMM: log.Step, NoiseDOF: p.DOF, ToleranceMM: p.Tolerance, Mean: trendOf(p.Mean), UnlikeMM: p.Unlike, Wrong: []WrongWidth{}, Zone: p.Zone.String(), pace: p}
	if p.DOF > 0 {
		out.NoiseMM = &p.Noise
	}
	for i, one := range p.Places {
		place := log.Places[i]
		out.Readings += len(place.Read)
		if one.Count == 0 {
			continue
		}
		l := Logged{place.Station.Name, one.Count, one.Has, one.Round, place.Wanted, place.Station.Width, one.Zone.String(), trendOf(one.Trend), one.Now}
		l.LeftMM = one.Left
		out.Places = append(out.Places, l)
	}
	out.leanings(p)
	out.order()
	out.next(r.Body.Top.SandingOrder())
	out.wrong(log, p, at)
	r.gone(out, log, p)
	out.judge()
	if out.State == stateGone || out.State == stateAgain {
		r.Report.Broken = append(r.Report.Broken, out.Verdict)
	}
	tell.Tidy(out)
	r.Report.Log, r.log = out, log
	return nil
}

// wanted is the width to which a place is sanded, mm: while the back's edge is not, with what
// is left on that once it is sawn.
func (r *Result) wanted(s rim.Station, back string) float64 {
	if back == BackFinished {
		return s.Width
	}
	_, left := r.ready.Excess(s)
	return s.Width + left
}

// BackLeft is what the back's edge still has while the top's is sanded first, mm: what comes off
// it, less what is sawn off before any sanding.
func (s Station) BackLeft() float64 { return s.BackRemove - s.BackSaw }

// trendOf tells a trend.
func trendOf(t rim.Trend) (out Trend) {
	if !t.Known {
		return out
	}
	out.LeftMM, out.PerRound, out.Resolved = t.AtLast, &t.PerRound, t.Resolved
	if t.Resolved {
		rounds := max(0, t.Rounds)
		out.Rounds = &rounds
	}
	if t.Spread {
		low, high := max(0, t.Low), max(0, t.High)
		out.Low, out.High = &low, &high
	}
	return out
}

// leanings fill in which end or side has more left, and which comes down faster.
func (l *Log) leanings(p rim.Pace) {
	l.Press, l.PressMM = leaning(p.Left)
	l.Faster, l.FasterMM = leaning(p.PerRound)
}

// leaning names the end or side that surely has more, and by how much.
func leaning(l rim.Lean) (string, float64) {
	along, across := math.Abs(l.Along), math.Abs(l.Across)
	switch {
	case l.AlongSure && (along >= across || !l.AcrossSure):
		if l.Along > 0 {
			return "head", along
		}
		return "tail", along
	case l.AcrossSure:
		if l.Across > 0 {
			return "left", across
		}
		return "right", across
	}
	return even, 0
}

// order fills in which place comes to its width first, as it goes, and which last.
func (l *Log) order() {
	var first, last *Logged
	for i := range l.Places {
		p := &l.Places[i]
		if p.Rounds == nil || !l.pace.More(p.LeftMM) {
			continue
		}
		if first == nil || *p.Rounds < *first.Rounds {
			first = p
		}
		if last == nil || *p.Rounds > *last.Rounds {
			last = p
		}
	}
	if first != last {
		l.First, l.Slowest = first.Name, last.Name
	} else if last != nil {
		l.Slowest = last.Name
	}
}

// next fills in which zone comes after the one that is being sanded.
func (l *Log) next(order []rim.Zone) {
	for _, z := range order[1+slices.Index(order, l.pace.Zone):] {
		if slices.ContainsFunc(l.Places, func(p Logged) bool { return p.Zone == z.String() && l.pace.More(p.LeftMM) }) {
			l.Next = z.String()
			return
		}
	}
}

// wrong lists the readings that are left out.
func (l *Log) wrong(log rim.WidthLog, p rim.Pace, at [][][2]int) {
	for _, w := range p.Wrong {
		place, where := log.Places[w.Place], at[w.Place][w.Read]
		read := place.Read[w.Read]
		one := WrongWidth{Line: where[0], Column: where[1], Round: read.Round, Place: place.Station.Name, WidthMM: read.Width}
		switch grew := measure.Say("%v more than in round %d: wood does not grow so much", mm(w.Grew), w.Before); {
		case w.Expect > 0 && w.Before >= 0:
			one.Message = measure.Say("round %d, %s: %v does not fit: it is %v; the others there say %v", read.Round, one.Place, mm(read.Width), grew, mm(w.Expect))
		case w.Expect > 0:
			one.Message = measure.Say("round %d, %s: %v does not fit: the others there say %v", read.Round, one.Place, mm(read.Width), mm(w.Expect))
		default:
			one.Message = measure.Say("round %d, %s: %v does not fit: it is %v", read.Round, one.Place, mm(read.Width), grew)
		}
		if w.Expect > 0 {
			one.ExpectMM = &w.Expect
		}
		l.Wrong = append(l.Wrong, one)
		if w.Read == len(place.Read)-1 && p.Low(read.Width-place.Wanted) {
			l.Again = append(l.Again, one.Place)
		}
	}
}

// gone fills in where too much is gone, and what can be done.
func (r *Result) gone(l *Log, log rim.WidthLog, p rim.Pace) {
	m, ok := r.Body.Remedy(log, p)
	if !ok {
		return
	}
	d := r.Report.Depth
	l.Gone = &Gone{Worst: log.Places[m.Place].Station.Name, MissingMM: m.Missing, HeadMM: d.Head - m.Missing, TailMM: d.Tail - m.Missing, LeastMM: m.Least, MostMM: m.Most}
	for _, one := range l.Places {
		if p.Low(one.LeftMM) {
			l.Gone.Places = append(l.Gone.Places, one.Name)
		}
	}
	if l.Back == BackUnsanded && !slices.ContainsFunc(r.Report.Places, func(s Station) bool { return s.BackLeft() < m.Missing }) {
		l.Gone.BackMM = &m.Missing
	}
	if m.Radius > 0 {
		l.Gone.RadiusMM = &m.Radius
	}
}
