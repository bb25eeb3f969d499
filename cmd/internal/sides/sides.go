package sides

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/rim"
)

// Result is a rim job worked out.
type Result struct {
	Job    job.Rim
	Body   rim.Body
	Report Report

	start rim.UnsandedRim
	ready rim.UnsandedRim // sawn, where it is
	whole rim.Sanding     // of all of the top's edge, whatever it is sanded with
	laid  laid
	log   rim.WidthLog // that was taken, if one was
}

// Caution goes with everything that is said of a rim.
const Caution = "Sides are sanded, never cut by a spinning cutter: bare sides and kerfed linings break and fly. " +
	"Sanding dust harms lungs: wear a mask and collect it. With a power tool protect eyes and ears. " +
	"Dust and finishes catch fire: no spark or flame near them. Follow the makers' instructions and local codes."

// Feeler is the thinnest leaf of a usual feeler gauge, mm: common practice.
const Feeler = 0.05

// mostStations is the most stations of one lap: with the finest step on the
// longest body.
const mostStations = 20_000

// sandingSteps are the rows of the table of sanding.
const sandingSteps = 10

// braceParts is into how many parts a brace's arc is divided.
const braceParts = 8

// degrees turns radians into degrees.
func degrees(rad float64) float64 { return rad * 180 / math.Pi }

// Run works out a job; open reads the files that it names.
func Run(j job.Rim, open Opener) (*Result, error) {
	b := &builder{job: j, open: open}
	body := b.body()
	if err := b.err(); err != nil {
		return nil, err
	}
	if body.Outline.Perimeter()/j.Step > mostStations {
		b.fault("step", "10 mm", "a step of %s makes more than %d stations", mm(j.Step), mostStations)
	}
	notches := b.notches(body)
	start := b.start(body)
	b.readings(body, start)
	b.boards(body, start)
	laid := b.laid(body)
	if err := b.err(); err != nil {
		return nil, err
	}
	w := &maker{job: b.job, body: body, start: start, notches: notches, places: body.NamedStations(), laid: laid}
	w.report()
	if w.out.Guess = b.guess(body); w.out.Guess != nil {
		w.out.Defaults = append(w.out.Defaults, w.out.Guess.taken())
	}
	tell.Tidy(&w.out)
	return &Result{Job: b.job, Body: body, Report: w.out, start: start, ready: w.ready, whole: w.whole, laid: laid}, nil
}

// maker is a report in the making.
type maker struct {
	job     job.Rim
	body    rim.Body
	start   rim.UnsandedRim
	ready   rim.UnsandedRim // sawn, where it is
	notches [][2]rim.Notch
	places  []rim.Station
	laid    laid
	out     Report
	whole   rim.Sanding
}

func (w *maker) report() {
	o, j := w.body.Outline, w.job
	w.out = Report{Name: j.Name, Form: "rim", Units: "mm", LengthMM: o.Length(), PerimeterMM: o.Perimeter(),
		StepMM: j.Step, EdgeMM: w.body.EdgeWidth(), Caution: Caution, Stations: []Station{}, Blocks: []Block{}, Notches: []Notch{},
		Braces: []Brace{}, Shop: j.Shop, Values: append([]Value{}, j.Values...), Defaults: append([]keys.Default{}, j.Defaults...), Warnings: []work.Warning{}, Broken: []measure.Said{}}
	if j.Inches {
		w.out.Units = "in"
	}
	w.out.Warnings = append(w.out.Warnings, j.Warnings...)
	w.out.Top, w.out.Back = w.dome(w.body.Top), w.dome(w.body.Back)
	w.out.Depth = Ends{Head: rim.WidthAt(w.body.Top, w.body.Back, o.Length()), Tail: rim.WidthAt(w.body.Top, w.body.Back, 0)}
	for _, s := range w.body.Stations(j.Step) {
		w.out.Stations = append(w.out.Stations, w.station(s))
	}
	for _, s := range w.places {
		w.out.Places = append(w.out.Places, w.station(s))
	}
	high, low, narrow, wide := w.body.Extremes()
	w.out.Highest, w.out.Lowest, w.out.Narrowest, w.out.Widest = w.station(high), w.station(low), w.station(narrow), w.station(wide)
	w.side()
	w.saw()
	w.sanding()
	w.flat()
	w.attitude()
	w.tool()
	w.blocks()
	w.braces()
	w.lining()
	w.dry()
	w.domes()
}

// dome fills in a plate's face.
func (w *maker) dome(d rim.Dome) Dome {
	shape := [...]string{rim.Sphere: "sphere", rim.CylinderAcross: "cylinder across", rim.CylinderAlong: "cylinder along", rim.Plane: "flat"}[d.Kind]
	length := w.body.Outline.Length()
	out := Dome{Shape: shape, ApexX: d.Apex.X, ApexY: d.Apex.Y, ApexZ: d.Level, LeanDeg: degrees(math.Atan(d.Pitch)), FlatFromMM: d.FlatFrom, BlendMM: d.Blend}
	if d.Kind != rim.Plane {
		out.RadiusMM = d.Radius
	}
	apex := d.Height(d.Apex)
	out.FallTail, out.FallHead = math.Abs(apex-d.Height(r2.Vec{})), math.Abs(apex-d.Height(r2.Vec{X: length}))
	return out
}

// station fills in a place.
func (w *maker) station(s rim.Station) Station {
	top, back := w.start.Excess(s)
	level, rocked := w.body.EdgeGaps(s)
	return Station{Name: s.Name, ArcMM: s.Arc, X: s.At.X, Y: s.At.Y, TopZ: s.Top, TopInnerZ: s.TopInner, BackZ: s.Back, BackInnerZ: s.BackInner,
		WidthMM: s.Width, SlopeDeg: degrees(s.TopSlope), BackSlope: degrees(s.BackSlope), Steepest: degrees(s.Steepest),
		RemoveMM: top, BackRemove: back, GapLevel: level, GapRocked: rocked, Zone: w.zone(s), Saw: w.sawn(top), BackSaw: w.sawn(back)}
}

// side fills in the unrolled sides.
func (w *maker) side() {
	j := w.job
	width, slope, length := board(j, w.body, w.start)
	w.out.Side = Side{BlankWidthMM: width, BlankLengthMM: length, BlankLeanDeg: degrees(math.Atan(slope)), ThicknessMM: j.Sides, TrimHeadMM: j.TrimHead, TrimTailMM: j.TrimTail}
	if j.SawTo == 0 {
		w.out.Side.AllowanceMM = j.Start.Allowance
	}
	for i, s := range strips(j, w.body) {
		half := Halved{Side: [...]string{"right", "left"}[i], Outside: s.OuterLength, Mid: s.MidLength}
		for _, l := range s.Points {
			half.Edges = append(half.Edges, Edging{l.OuterArc, l.MidArc, l.Top, l.Back, l.Name})
		}
		w.out.Side.Halves = append(w.out.Side.Halves, half)
		w.out.MidMM += s.MidLength
	}
}

// sanding fills in how the edge comes down.
func (w *maker) sanding() {
	s := w.ready.Sanding(sandingSteps, w.domed()...)
	w.out.Sanding = Sanding{Start: w.startText(), MostMM: s.MostExcess, LeastMM: s.LeastExcess, First: w.station(s.FirstTouch), Last: w.station(s.LastTouch), WoodMM3: s.WoodVolume, MissingMM: s.MissingLength}
	for _, l := range s.Steps {
		w.out.Sanding.Steps = append(w.out.Sanding.Steps, Lowered{l.Lowered, l.TouchedFraction, l.RemovedFraction})
	}
	if w.whole = s; w.body.Top.FlatFrom > 0 {
		w.whole = w.ready.Sanding(1)
		s = w.whole // the flat, too, may be too low
	}
	// What is missing by less than a hundredth of a millimetre is nothing to the glue.
	if s.LeastExcess < -0.01 {
		low, along, at := mm(-s.LeastExcess), mm(s.MissingLength), mm(s.LastTouch.Arc)
		if flat := w.job.Start.Flat; flat > 0 {
			w.broken("the rim is too low: %v of it lack up to %v, most at %v from the tail; cut flat at %v it would do", along, low, at, mm(math.Ceil(flat-s.LeastExcess)))
		} else {
			w.broken("the rim is too low: %v of it lack up to %v, most at %v from the tail", along, low, at)
		}
	}
}
