package job

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"

	"dishwright/cam"
	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
)

// Mark returns eight signs that stand for what a job makes, of which blank, held how,
// on which machine: programs of jobs that differ in that have other marks. How it is
// cut, by which cutter, in which pattern, how fine, is not in it.
func (j Job) Mark() string {
	w := j.Work
	var band []r2.Vec
	wide := 0.0
	if w.Band != nil {
		band, _ = w.Band.Line()
		wide = w.Band.Width
	}
	text, err := json.Marshal(struct {
		Form      string
		Face      dish.Face
		Wanted    float64
		Blank     dish.Blank
		AtBed     bool
		HoldDowns []path.Obstacle
		KeepOuts  []path.Obstacle
		Machine   string
		Band      []r2.Vec
		Wide      float64
		Board     *dish.Strip
		Gauge     bool
		Extras    cam.Extras
	}{j.Form, w.Face, w.Wanted, w.Blank, w.ZeroAtBed, w.HoldDowns, w.KeepOuts, w.Machine.Name, band, wide, w.Board, w.Gauge, w.Extras})
	if err != nil {
		return "unmarked" // no number of a job is beyond what JSON can hold
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:4])
}
