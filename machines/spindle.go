package machines

import (
	"fmt"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// maxMark is the most characters of a dial setting.
const maxMark = 10

// spindle reads what turns the cutter.
func (r *reader) spindle() {
	if !r.top.Require("spindle", key("spindle").Example) {
		return
	}
	m, ok := r.top.Map("spindle")
	if !ok {
		return
	}
	if m.Has("start") {
		r.m.Spindle.StartTime, _ = r.quantity(m, "spindle/start")
	} else {
		r.m.Spindle.StartTime = usualStart
		r.tookKey("spindle/start", key("spindle/start").Default)
	}
	if m.Has("hand router") {
		m.Allow("hand router", "start")
		r.dial(m)
		return
	}
	m.Allow(catalogue.Under("spindle")...)
	slow, fast := r.speed(m, "slowest"), r.speed(m, "fastest")
	if slow > 0 && fast > 0 && slow > fast {
		r.doc.Fault(m.Pos("slowest"), "the slowest speed of the spindle is above its fastest", "exchange the two")
	}
	r.m.Spindle.Slowest, r.m.Spindle.Fastest = slow, fast
}

// speed reads a speed of the spindle, or 0 where it is at fault.
func (r *reader) speed(m *strict.Map, name string) (v float64) {
	if m.Require(name, key("spindle/"+name).Example) {
		v, _ = r.quantity(m, "spindle/"+name)
	}
	return v
}

// dial reads the settings of a hand router, from slow to fast.
func (r *reader) dial(spindle *strict.Map) {
	m, ok := spindle.Map("hand router")
	if !ok {
		return
	}
	marks := m.Keys()
	if len(marks) == 0 || len(marks) > maxEntries {
		r.doc.Fault(spindle.Pos("hand router"), fmt.Sprintf("a hand router must list 1 to %d settings of its dial", maxEntries), "write hand router: {1: 10000, 2: 14000}")
		return
	}
	last := 0.0
	for _, mark := range marks {
		if !isDialMark(mark) {
			r.doc.Fault(m.KeyPos(mark), "the dial setting "+measure.Quote(mark)+" cannot be written in a program",
				fmt.Sprintf("use at most %d letters, digits, points and hyphens", maxMark))
			continue
		}
		v, ok := r.quantity(m, "spindle/hand router/"+mark)
		if !ok {
			continue
		}
		if v <= last {
			r.doc.Fault(m.Pos(mark), "the dial setting "+measure.Quote(mark)+" is not faster than the one before it", "list the settings from slow to fast")
		}
		last = v
		r.m.Spindle.Dial = append(r.m.Spindle.Dial, DialSetting{Mark: mark, Speed: v})
	}
	if n := len(r.m.Spindle.Dial); n > 0 {
		r.m.Spindle.Slowest, r.m.Spindle.Fastest = r.m.Spindle.Dial[0].Speed, r.m.Spindle.Dial[n-1].Speed
	}
}

// isDialMark reports whether a dial setting can be written in a program's comment and
// read on a dial: short, of letters, digits, point and hyphen.
func isDialMark(s string) bool {
	return len(s) <= maxMark && strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789.-") == ""
}
