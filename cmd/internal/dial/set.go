package dial

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"math"

	"dishwright/cam/beside"
	plan "dishwright/cam/dial"
	"dishwright/cam/job"
	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/machines"
	"dishwright/post"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Caution is the short caution of programs in which nothing turns.
const Caution = "Caution: axes crush fingers, and what has power may start: the spindle's power stays off. Read SAFETY.md and the program, run it in the air first, and follow the machine's own manual, local codes and licensed practice."

// Gauge is what the call says of the gauge.
type Gauge struct{ Travel, Press measure.Length }

// Asked is what is read, with which gauge.
type Asked struct {
	Of string // plan.Face, plan.Top or plan.Bed
	Gauge
}

// Places are those at which a job is read.
type Places struct {
	Job  job.Job
	Of   string
	List []plan.Place
	ID   string // eight signs that stand for them, and for the job
}

// PlacesOf finds the places of a job.
func PlacesOf(j job.Job, of string) (Places, error) {
	b, err := beside.Make(&j.Work)
	if err != nil {
		return Places{}, j.Locate(err)
	}
	list, err := plan.Places(&j.Work, of, b.Set)
	if err != nil {
		return Places{}, j.Locate(err)
	}
	h := sha256.New()
	fmt.Fprintln(h, j.Mark(), of)
	for _, p := range list {
		fmt.Fprintf(h, "%.6f %.6f\n", p.X+0, p.Y+0)
	}
	return Places{j, of, list, hex.EncodeToString(h.Sum(nil)[:4])}, nil
}

// Set is the readings of a job as they are made.
type Set struct {
	Places
	Asked
	Plan   plan.Plan
	Name   string // of the program's file
	Text   []byte
	Told   path.Path // read back from Text, as the machine is told
	Report Report
}

// Make plans the readings, writes the program and reads it back. What the program breaks is in
// Report.Broken.
func Make(j job.Job, a Asked) (*Set, error) {
	p, err := PlacesOf(j, a.Of)
	if err != nil {
		return nil, err
	}
	return p.make(a)
}

// plain is a gauge's length as it stands in a program: read again, it is the same.
func plain(l measure.Length) measure.Length {
	text := measure.Length{MM: l.MM, Unit: l.Unit}.String()
	if p, err := measure.ParseLength(text); err == nil {
		return p
	}
	return l
}

func (p Places) make(a Asked) (*Set, error) {
	a.Travel, a.Press = plain(a.Travel), plain(a.Press)
	s := &Set{Places: p, Asked: a}
	var err error
	if s.Plan, err = plan.Make(&p.Job.Work, a.Of, plan.Gauge{Travel: a.Travel.MM, Press: a.Press.MM}, p.List); err != nil {
		return nil, s.tooShort(err)
	}
	var text bytes.Buffer
	done, err := post.WriteReadings(&text, s.program())
	if err != nil {
		return nil, tell.Defect(fmt.Errorf("the program for the gauge is refused: %w", err))
	}
	s.Name, s.Text = "1-"+outset.Slug(s.Job.Work.Name+" "+a.Of)+".ngc", text.Bytes()
	s.Told, _, err = post.ReadAll(bytes.NewReader(s.Text), post.ReadOptions{Machine: s.machine(), ZShift: s.Job.Work.ProgramZero(), Start: post.UnknownStart()})
	if err != nil {
		return nil, tell.Defect(fmt.Errorf("the program for the gauge does not read back: %w", err))
	}
	findings, pressed := s.Check(proof.Program{Name: s.Name, Path: s.Told})
	s.report(done.Lines, pressed, findings)
	return s, nil
}

// tooShort says which gauge would do.
func (s *Set) tooShort(err error) error {
	var short plan.TooShort
	if !errors.As(err, &short) {
		return err
	}
	u := s.Job.Ruler
	deep := short.Need - 2*s.Press.MM
	return tell.Errorf(fmt.Sprintf("a gauge with a travel of %s or more, or a smaller --press", u.Up(short.Need, 2)),
		"a travel of %s is too short: the places lie %s apart in height, and the gauge is pressed %s at the lowest and keeps as much at the highest", s.Travel, u.Length(math.Ceil(deep*1000)/1000, 3), s.Press)
}

func (s *Set) machine() machines.Machine { return s.Job.Work.Machine }

// own writes lengths in the unit of the machine's programs.
func (s *Set) own() measure.Ruler { return s.machine().Unit.Ruler() }

// program is what the text is made from.
func (s *Set) program() post.Readings {
	w := &s.Job.Work
	r := post.Readings{Machine: w.Machine, Zero: w.ProgramZero(), Clearance: s.Plan.Clearance, Piece: s.Job.Piece(),
		Set:    fmt.Sprintf("program 1 of 1, job %s, made as %s", s.Job.Mark(), s.ID),
		States: fmt.Sprintf("%s, travel %s, press %s", s.Plan.Of, s.Travel, s.Press), Before: s.Before()}
	for i, p := range s.Plan.Places {
		down, up := s.Plan.Moves(i)
		r.Stops = append(r.Stops, post.Reading{At: r3.Vec{X: p.X, Y: p.Y, Z: s.Plan.Low}, Down: down, Up: up})
	}
	r.About = s.about()
	return r
}

// about are the sentences at the program's head.
func (s *Set) about() []string {
	own, what := s.own(), s.What()
	if s.Plan.Of == plan.Face {
		what += " as it was cut"
	}
	return []string{
		fmt.Sprintf("%s: readings of %s with a dial gauge, nothing turns.", s.Job.Work.Name, what),
		fmt.Sprintf("The tip goes down at %s, always to Z%s: the dial alone measures. The gauge is pressed %s at most.",
			measure.Count(len(s.Plan.Places), "place"), own.Short(s.Plan.Low-s.Job.Work.ProgramZero(), 4), own.Up(s.most(), 2)),
		fmt.Sprintf("At each the program stops: write the dial's figure into the table of the sheet, whole turns counted. Its rows belong to set %s.", s.ID),
		fmt.Sprintf("About %s on %s, and the time to read.", tell.Clock(s.seconds()), s.machine().Name),
	}
}

// most is the furthest that the gauge is pressed on the face as the job has it, mm.
func (s *Set) most() (most float64) {
	for i := range s.Plan.Places {
		most = max(most, s.Plan.Pressed(i))
	}
	return most
}

// seconds is how long the moves take.
func (s *Set) seconds() float64 {
	var p path.Path
	for i := range s.Plan.Places {
		down, up := s.Plan.Moves(i)
		p.Moves = append(append(p.Moves, down...), up...)
	}
	return motion.Estimate(s.machine(), p).Total
}

// Check holds a program against the readings, its path as the machine is told.
func (s *Set) Check(p proof.Program) (findings []proof.Finding, pressed float64) {
	w := &s.Job.Work
	c := proof.Touching{Face: w.Face, Flat: s.Plan.Of != plan.Face, Level: plan.Level(w, s.Plan.Of), Warp: plan.Warp(w, s.Plan.Of), Machine: w.Machine, Obstacles: work.Whole(w).Standing(),
		Asks: s.program().Asks(), Travel: s.Travel.MM, Press: s.Press.MM, Low: s.Plan.Low, ZeroError: w.ZeroError, Feed: plan.Feed,
		Parts: []proof.GaugePart{{Radius: plan.Stem, Above: s.Travel.MM}, {Radius: plan.Body, Above: s.Travel.MM + plan.Above}}}
	for _, q := range s.Plan.Places {
		c.Places = append(c.Places, r2.Vec{X: q.X, Y: q.Y})
	}
	return c.Check(p)
}
