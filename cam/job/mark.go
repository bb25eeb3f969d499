package job

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"

	"dishwright/cam/path"
)

// Mark returns eight signs that stand for what a job makes, of which blank, held how,
// on which machine: programs of jobs that differ in that have other marks. How it is
// cut, by which cutter, in which pattern, how fine, is not in it. What a job does not
// have is not counted, so that a job keeps its mark when jobs learn new keys.
func (j Job) Mark() string {
	w, h := j.Work, sha256.New()
	add := func(name string, values ...any) {
		fmt.Fprint(h, coarse(fmt.Sprintln(append([]any{name}, values...)...)))
	}
	add("form", j.Form.Word())
	add("face", w.Face.Kind, w.Face.Radius, w.Face.Rim, w.Face.Cylinder, w.Wanted)
	add("blank", w.Blank.Shape, w.Blank.Length, w.Blank.Width, w.Blank.Thickness)
	add("machine", w.Machine.Name)
	if w.ZeroAtBed {
		add("bed")
	}
	in := func(o path.Obstacle) {
		if o.In > 0 {
			add("in", o.In)
		}
	}
	for _, o := range w.HoldDowns {
		add("hold", o.X, o.Y, o.Radius, o.Height)
		in(o)
	}
	for _, o := range w.Obstacles {
		add("keep", o.X, o.Y, o.DX, o.DY, o.Radius, o.Height)
		in(o)
	}
	if numbers := w.Region.Numbers(); len(numbers) > 0 {
		add(fmt.Sprint(numbers[0]), numbers[1:]...)
	}
	if t := w.Top; t != nil {
		add("top", t.A, t.B, t.C)
	}
	if w.Skim.Off > 0 {
		add("skim", w.Skim.Off)
	}
	if e := w.Machine.Errors; e.NeedsCorrection() {
		add("errors", e.Scale, e.Lean)
	}
	if s := w.Setups; s.Count != 0 {
		add("setups", s.Count, s.By)
	}
	extras := func(name string, n int, list any) {
		if n > 0 {
			text, _ := json.Marshal(list) // numbers and names, which it always can
			add(name, string(text))
		}
	}
	extras("holes", len(w.Extras.Holes), w.Extras.Holes)
	extras("cut-outs", len(w.Extras.CutOuts), w.Extras.CutOuts)
	extras("letters", len(w.Extras.Letters), w.Extras.Letters)
	extras("runs", len(w.Extras.Runs), w.Extras.Runs)
	if w.Extras.Lines != nil {
		extras("lines", 1, w.Extras.Lines)
	}
	return hex.EncodeToString(h.Sum(nil)[:4])
}

// figures are the numbers in a text.
var figures = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?(e[-+][0-9]+)?`)

// coarse rounds the numbers of a text to steps of 1e-7: outlines are worked out with
// functions whose last bits are not the same on every machine.
func coarse(text string) string {
	return figures.ReplaceAllStringFunc(text, func(s string) string {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil { // too large for any size
			return s
		}
		return strconv.FormatFloat(math.Round(v*1e7)/1e7+0, 'f', -1, 64)
	})
}
