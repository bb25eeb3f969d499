package shop

import (
	"math"

	"dishwright/cam/job"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/dial"
	"dishwright/dish/measure"
	"dishwright/post"
)

// ProvenReadings is what is proven of programs that set a dial gauge down.
type ProvenReadings struct {
	Places    int     `json:"places"`
	PressedMM float64 `json:"most_pressed_mm"` // on the face as the job has it
	TravelMM  float64 `json:"travel_mm"`
}

// readings holds a program for a gauge against the job; its path is as the tip goes.
func (v *Verdict) readings(j job.Job, c dial.Claim, p proof.Program) {
	find := func(format string, args ...any) {
		v.add(proof.Finding{Program: p.Name, Line: c.At.Line, Column: c.At.Column, Kind: proof.KindOrder, Message: measure.Say(format, args...)})
	}
	if !c.Clear {
		find("what the program reads, and with which gauge, cannot be made out: a line such as (readings: face, travel 10 mm, press 1 mm)")
		return
	}
	set, err := c.Make(j)
	if err != nil {
		find("the job has no such readings: %s", err)
		return
	}
	warp := j.Work.Warp() // by which it was read
	for i, m := range p.Path.Moves {
		p.Path.Moves[i] = warp.CompensatedMove(m)
	}
	findings, pressed := set.Check(p)
	for _, f := range findings {
		v.add(f)
	}
	if s, ok := placeOf(p.Path); ok && s.job != set.Job.Mark() {
		find("the program was made for another job, or for this one before it was changed: its mark is %s, the job's is %s", s.job, set.Job.Mark())
	} else if ok && s.made != set.ID {
		find("the program says that it is set %s; the job's readings are set %s", s.made, set.ID)
	}
	h := newHead(p.Path, j.Work.Machine.Unit.Ruler())
	h.find = func(line int, format string, args ...any) {
		v.add(proof.Finding{Program: p.Name, Line: line, Column: 1, Kind: proof.KindOrder, Message: measure.Say(format, args...)})
	}
	h.holds(saids(append([]string{post.BeforeLead}, set.Before()...)...), false)
	if v.Readings == nil {
		v.Readings = &ProvenReadings{}
	}
	r := v.Readings
	r.Places, r.PressedMM, r.TravelMM = r.Places+len(set.Report.Places), math.Max(r.PressedMM, pressed), set.Travel.MM
}
