package machines

import (
	"fmt"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
)

// maxMark is the most characters of a dial setting.
const maxMark = 10

// spindle reads what turns the cutter.
func (r *reader) spindle() {
	m, ok := r.top.Section("spindle")
	if !ok {
		return
	}
	r.m.Spindle.StartTime = m.Amount("start")
	if m.Has("hand router") {
		for _, name := range [...]string{"slowest", "fastest"} {
			if m.Has(name) {
				m.FaultAtKey(name, fmt.Sprintf("the key %q is not known in \"spindle\" of a hand router", name), "leave it out: the speeds of its dial say it")
			}
		}
		r.dial(m)
		return
	}
	slow, fast := speed(m, "slowest"), speed(m, "fastest")
	if slow > 0 && fast > 0 && slow > fast {
		m.Fault("slowest", "the slowest speed of the spindle is above its fastest", "exchange the two")
	}
	r.m.Spindle.Slowest, r.m.Spindle.Fastest = slow, fast
}

// speed reads a speed of the spindle, or 0 where it is at fault.
func speed(m *keys.Section, name string) float64 {
	m.Require(name)
	return m.Amount(name)
}

// dial reads the settings of a hand router, from slow to fast.
func (r *reader) dial(spindle *keys.Section) {
	m, ok := spindle.Section("hand router")
	if !ok {
		return
	}
	last := 0.0
	for _, mark := range m.Keys() {
		if !isDialMark(mark) {
			m.FaultAtKey(mark, "the dial setting "+measure.Quote(mark)+" cannot be written in a program",
				fmt.Sprintf("use at most %d letters, digits, points and hyphens", maxMark))
			continue
		}
		v, ok := m.Quantity(mark)
		if !ok {
			continue
		}
		if v <= last {
			m.Fault(mark, "the dial setting "+measure.Quote(mark)+" is not faster than the one before it", "list the settings from slow to fast")
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
