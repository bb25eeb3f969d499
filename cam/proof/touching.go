package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Touching is what a program is held against that sets a dial gauge down on a face, or on a
// blank's top, with the spindle off. Its path is as the machine is told; everything that the
// gauge could meet is worked out there.
type Touching struct {
	Face      dish.Face
	Flat      bool      // a level surface is read, not the face
	Level     float64   // how high that lies, mm
	Warp      path.Warp // from what the machine is told to where the tip goes
	Machine   machines.Machine
	Obstacles []path.Obstacle
	Places    []r2.Vec // where the dial is read, as the machine is told, in order
	Asks      []string // what each of those stops says
	Travel    float64  // of the gauge, mm
	Press     float64  // by which it is pressed at the lowest place, mm
	Low       float64  // the one height at which that is so and the dial is read, as the machine is told, mm
	ZeroError float64  // how well the height is set, mm
	Feed      float64  // how fast the gauge may be pressed and let go, mm/min
	Parts     []GaugePart
}

// GaugePart is a piece of a gauge: upright about the tip's axis, beginning Above the free tip.
type GaugePart struct{ Radius, Above float64 }

// freeAbove is how far above the face a tip is certainly free, mm: more than a height is off.
const freeAbove = 0.2

// touch is a program as it is followed.
type touch struct {
	Touching
	tally   map[Kind]int
	out     []Finding
	name    string
	stopped bool
	lifted  bool
	read    int     // places read
	level   float64 // the height of the first reading; NaN before
	said    string  // the message since the last stop
	low, hi r3.Vec  // what was run over
	deepest float64 // furthest that the gauge is pressed, mm
}

// Check follows a program. Pressed is the furthest that the gauge is pressed on the face as it
// should be.
func (c Touching) Check(p Program) (findings []Finding, pressed float64) {
	inf := math.Inf(1)
	t := &touch{Touching: c, name: p.Name, tally: map[Kind]int{}, level: math.NaN(), low: r3.Vec{X: inf, Y: inf}, hi: r3.Vec{X: -inf, Y: -inf}}
	at, e := r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()}, 0
	var last path.Source
	for i := 0; i <= len(p.Path.Moves); i++ {
		for ; e < len(p.Path.Events) && p.Path.Events[e].Before <= i; e++ {
			last = p.Path.Events[e].Source
			t.event(p.Path.Events[e], at)
		}
		if i < len(p.Path.Moves) {
			last = p.Path.Moves[i].Source
			t.move(p.Path.Moves[i])
			at = p.Path.Moves[i].To
		}
	}
	t.end(at, last)
	return t.out, t.deepest
}

func (t *touch) report(kind Kind, at path.Source, p r3.Vec, amount float64, format string, args ...any) {
	if t.tally[kind]++; t.tally[kind] > maxPerKind {
		return
	}
	known := func(v float64) float64 {
		if math.IsNaN(v) {
			return 0
		}
		return v
	}
	t.out = append(t.out, Finding{Program: t.name, Line: at.Line, Column: at.Column, Kind: kind, X: known(p.X), Y: known(p.Y), Amount: amount, Message: measure.Say(format, args...)})
}

// rest is the height at which the free tip touches where the machine is told to go, as it is
// told.
func (t *touch) rest(p r3.Vec) float64 {
	at := t.Warp.Actual(r3.Vec{X: p.X, Y: p.Y})
	if at.Z = t.Level; !t.Flat {
		at.Z = t.Face.Height(t.Face.Distance(at.X, at.Y))
	}
	return t.Warp.Compensated(at).Z
}

// clear reports whether the tip may go sideways at a height, and how far that is too low.
func (t *touch) clear(z float64) (ok bool, low float64) {
	c := Case{Obstacles: t.Obstacles}
	return c.clear(z), c.clearHeight() - z
}

// longer is how much longer the machine's ways along Z may be than it is told.
func (t *touch) longer() float64 { return 1 + max(0, t.Machine.Errors.Scale.Z) }

func (t *touch) event(e path.Event, at r3.Vec) {
	switch e.Kind {
	case path.Message:
		t.said = e.Text
	case path.SpindleOn:
		t.report(KindSpindle, e.Source, at, e.Value, "the spindle is switched on in a program for a gauge")
	case path.CutterCall:
		t.report(KindCutter, e.Source, at, 0, "a cutter is called in a program for a gauge")
	case path.CoolantOn:
		t.report(KindOrder, e.Source, at, 0, "coolant or air is switched on in a program for a gauge")
	case path.OptionalStop:
		t.report(KindOrder, e.Source, at, 0, "a stop that may be switched off: the dial would not be read")
	case path.Stop:
		if t.stopped {
			t.reading(e.Source, at)
		}
		t.stopped, t.said = true, ""
	}
}

// reading is a stop at which the dial is read.
func (t *touch) reading(at path.Source, p r3.Vec) {
	if t.read == len(t.Places) {
		t.report(KindOrder, at, p, 0, "there are more stops than the %d places of the job", len(t.Places))
		return
	}
	want, n, step := t.Places[t.read], t.read+1, t.Machine.Step()
	t.read++
	if !(math.Abs(p.X-want.X) < step/2 && math.Abs(p.Y-want.Y) < step/2) {
		t.report(KindOrder, at, p, 0, "place %d is read elsewhere than the job has it, at %v", n, measure.At(want.X, want.Y))
		return
	}
	if t.said != t.Asks[n-1] {
		t.report(KindOrder, at, p, 0, "the stop at place %d says %s, not %s", n, measure.Quote(t.said), measure.Quote(t.Asks[n-1]))
	}
	if math.IsNaN(t.level) {
		if t.level = p.Z; !(math.Abs(p.Z-t.Low) < step) {
			way := "lower"
			if p.Z > t.Low {
				way = "higher"
			}
			t.report(KindOrder, at, p, p.Z-t.Low, "the dial is read %v %s than a press of %v makes it: the program's heights are of another press than it says", measure.MM(math.Abs(p.Z-t.Low)), way, measure.MM(t.Press))
		}
	} else if !(math.Abs(p.Z-t.level) < step/2) {
		t.report(KindOrder, at, p, p.Z-t.level, "place %d is read at another height than the first: then Z measures too", n)
	}
	if by := t.rest(p) - p.Z; !(by >= t.Press-step) {
		t.report(KindContact, at, p, t.Press-by, "at place %d the gauge is pressed by %v, less than its press of %v: its dial may show nothing", n, measure.MM(by).Against(t.Press), measure.MM(t.Press).Against(by))
	}
}

// move follows one move.
func (t *touch) move(m path.Move) {
	for _, v := range [...]r3.Vec{m.From, m.To} {
		if !math.IsNaN(v.X) {
			t.low.X, t.hi.X = min(t.low.X, v.X), max(t.hi.X, v.X)
		}
		if !math.IsNaN(v.Y) {
			t.low.Y, t.hi.Y = min(t.low.Y, v.Y), max(t.hi.Y, v.Y)
		}
	}
	if !t.stopped {
		t.report(KindOrder, m.Source, m.To, 0, "the machine moves before the first stop (M0)")
		t.stopped = true // once
	}
	if !t.lifted {
		if up, _ := t.clear(m.To.Z); m.Sideways() || !up {
			t.report(KindOrder, m.Source, m.To, 0, "the gauge is not lifted clear of everything first, straight up")
		}
		t.lifted = true
		if !m.Sideways() {
			return
		}
	}
	switch {
	case m.Kind == path.Arc:
		t.report(KindArc, m.Source, m.To, 0, "an arc in a program for a gauge, which goes straight up, down and across")
	case m.Sideways():
		if ok, low := t.clear(min(m.From.Z, m.To.Z)); !ok {
			t.report(KindTraverse, m.Source, m.To, low, "the gauge moves sideways %v below what clears everything", measure.MM(low))
		}
	default:
		t.upright(m)
	}
}

// upright holds a way straight up or down against what the gauge may be pressed.
func (t *touch) upright(m path.Move) {
	rest, low := t.rest(m.To), min(m.From.Z, m.To.Z)
	if !(low < rest+freeAbove) && !math.IsNaN(rest) {
		return
	}
	pressed := float64((rest-low)*t.longer()) + 0
	t.deepest = max(t.deepest, pressed)
	switch {
	case math.IsNaN(rest), math.IsNaN(low):
		t.report(KindContact, m.Source, m.To, 0, "how far the gauge is pressed is not known there")
		return
	case pressed+t.ZeroError > t.Travel:
		t.report(KindContact, m.Source, m.To, pressed+t.ZeroError-t.Travel, "the gauge would be pressed %v, and the zero may be off by %v: its travel is %v", measure.MM(pressed), measure.MM(t.ZeroError), measure.MM(t.Travel))
	}
	if limit := min(t.Feed, t.Machine.Feed.Z); m.Kind == path.Traverse {
		t.report(KindFeed, m.Source, m.To, 0, "a traverse where the gauge touches: it is pressed and let go at %v at most", measure.Rate(limit))
	} else if !(m.Feed <= limit*(1+1e-9)) {
		t.report(KindFeed, m.Source, m.To, m.Feed-limit, "the gauge is pressed or let go at %v: at most %v", measure.Rate(m.Feed).Against(limit), measure.Rate(limit).Against(m.Feed))
	}
	at := t.Warp.Actual(r3.Vec{X: m.To.X, Y: m.To.Y})
	for _, o := range t.Obstacles {
		for _, part := range t.Parts {
			if near := o.Clear(at.X, at.Y) - part.Radius; near < sideClearance && low+part.Above < o.Height+topClearance {
				t.report(KindObstacle, m.Source, m.To, sideClearance-near, "the gauge comes down beside what stands at %v", measure.At(o.X, o.Y))
				break
			}
		}
	}
}

// end holds the whole against what it should have done.
func (t *touch) end(at r3.Vec, source path.Source) {
	if t.read < len(t.Places) {
		t.report(KindOrder, source, at, 0, "place %d of %d is not read", t.read+1, len(t.Places))
	}
	if up, _ := t.clear(at.Z); !up {
		t.report(KindOrder, source, at, 0, "the program ends while the gauge is not clear of everything")
	}
	for _, a := range [...]struct {
		name           string
		across, travel float64
	}{{"X", t.hi.X - t.low.X, t.Machine.Travel.X}, {"Y", t.hi.Y - t.low.Y, t.Machine.Travel.Y}} {
		if a.across > a.travel+t.Machine.Step() {
			t.report(KindTravel, source, at, a.across-a.travel, "the program runs over %v along %s: the machine travels %v", measure.MM(a.across).Against(a.travel), a.name, measure.MM(a.travel).Against(a.across))
		}
	}
}
