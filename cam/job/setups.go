package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// The greatest index errors that a job may state: more is no setup.
const (
	mostIndexShift = 5.0
	mostIndexTurn  = 2 * math.Pi / 180
)

// setups reads how a face that is too large for the machine is divided. It comes last:
// what the blank is brought round by depends on its shape and its centre hole.
func (l *Reader) setups(w *work.Work) {
	if k, _ := l.In.Find("setups"); !k.For(l.Form) {
		return // the form says so
	}
	if !l.Root.Has("setups") {
		for _, k := range [...]string{"index by", "index error"} {
			if l.Root.Has(k) {
				l.Root.FaultAtKey(k, k+" is for a face that is cut in several setups", "setups: auto, or leave it out")
			}
		}
		return
	}
	word := l.Root.Word("setups")
	if word == "" {
		return
	}
	if l.Root.Has("top points") {
		l.Root.Fault("top points", "a blank that is turned or slid lies otherwise each time", "touch its top off again by a plane of its own, shim it level, or skim it first")
	}
	w.Setups.Count = work.AutoSetups
	if n, err := strconv.Atoi(word); err == nil {
		w.Setups.Count = n
	}
	switch {
	case l.Root.Has("index error"):
		l.indexError(w)
	case w.Setups.Count == work.AutoSetups: // asked for when it comes to several
		w.Setups.Unstated = true
	default:
		l.Root.Require("index error")
	}
	l.indexBy(w)
	l.besideSetups()
}

// indexError reads the three parts: how far aside, how far round, how far up or down.
func (l *Reader) indexError(w *work.Work) {
	hint := l.like("such as 0.1 mm, 0.05 deg, height 0.05 mm") + ": how far the blank may lie aside, turned and up or down"
	text := l.Root.Text("index error")
	if text == "" {
		return
	}
	e, seen := &w.Setups.Error, map[string]bool{}
	for _, part := range strings.Split(text, ",") {
		part = strings.TrimSpace(part)
		kind, rest := "shift", part
		if r, ok := strings.CutPrefix(part, "height "); ok {
			kind, rest = "height", strings.TrimSpace(r)
		}
		v, err := measure.ParseLength(rest)
		value, most, unit := v.MM, mostIndexShift, l.ruler().Down(mostIndexShift, 3)
		if a, errA := measure.ParseAngle(rest); errA == nil && kind == "shift" {
			kind, value, most, unit, err = "turn", a, mostIndexTurn, "2 deg", nil
		}
		switch {
		case err != nil:
			l.Root.Fault("index error", fmt.Sprintf("index error: %s is no length and no angle", measure.Quote(part)), hint)
			return
		case seen[kind]:
			l.Root.Fault("index error", fmt.Sprintf("index error: two parts say the %s", kind), hint)
			return
		case !(value >= 0 && value <= most):
			l.Root.Fault("index error", fmt.Sprintf("index error: %s is out of range", part), "from 0 to "+unit)
			return
		}
		seen[kind] = true
		*map[string]*float64{"shift": &e.Shift, "turn": &e.Turn, "height": &e.Height}[kind] = value
	}
	for _, kind := range [...]string{"shift", "turn"} {
		if !seen[kind] {
			l.Root.Fault("index error", "index error does not say "+map[string]string{"shift": "how far aside the blank may lie, a length", "turn": "how far it may be turned, an angle"}[kind], hint)
		}
	}
	if !seen["height"] {
		l.Take("index error: height", "0 mm", "none is stated: the blank is seated and touched off again exactly")
	}
}

// indexBy reads what the blank is brought round by, or takes what it has.
func (l *Reader) indexBy(w *work.Work) {
	hole, through := w.CentreHole()
	n := w.Setups.Count
	if !l.Root.Has("index by") {
		by, why := w.IndexBy()
		w.Setups.By = by
		l.Take("index by", by, why)
		return
	}
	by := l.Root.Word("index by")
	if by == "" {
		return
	}
	w.Setups.By = by
	switch {
	case by == work.ByPin && !hole:
		l.Root.Fault("index by", "the job has no centre hole for a pin", l.like("extras: {centre hole: 8 mm}")+", or index by: marks")
	case by == work.ByPin && !through:
		l.Root.Fault("index by", "the centre hole does not go through, so no pin of the bed stands in it", "a centre hole without a depth, or index by: marks")
	case by == work.ByFences && w.Blank.Shape == dish.Round:
		l.Root.Fault("index by", "a round blank has no sides to lay against fences", "index by: pin, or marks")
	case by == work.ByFences && (n == 3 || n == 6):
		l.Root.Fault("index by", fmt.Sprintf("in %d setups the sides of a blank do not lie against the same fences again", n), "setups: 4, or index by: pin")
	case by == work.ByFences && w.Blank.Shape == dish.Rectangle && n == 4:
		l.Root.Fault("index by", "a quarter turn does not bring the sides of a rectangle to where the others lay", "setups: 2, a square blank, or index by: pin")
	case by == work.ByFence && w.Blank.Shape == dish.Round:
		l.Root.Fault("index by", "a round blank has no side to slide along a fence", "index by: pin, or marks")
	case by == work.ByFence && n != 2 && n != work.AutoSetups:
		l.Root.Fault("index by", fmt.Sprintf("a blank that slides along one fence is cut in two setups, not %d", n), "setups: 2")
	}
}

// besideSetups refuses what several setups do not make.
func (l *Reader) besideSetups() {
	m, ok := l.Root.Peek("extras") // read before, and its faults noted
	if !ok {
		return
	}
	for _, k := range m.Keys() {
		if _, known := Keys().Find("extras/" + k); known && k != "centre hole" {
			l.Doc.Fault(m.KeyPos(k), k+" is not made where a face is cut in several setups: it would be cut out of reach, or cut loose before the last one", "only a centre hole; mark out and saw the rest by hand")
		}
	}
}
