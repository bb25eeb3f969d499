package shop_test

import (
	"fmt"
	"math"
	"strings"

	"dishwright/machines"
)

// rules checks what a program does in its order: stop, lift, spindle, cut, off.
// Clearance is the height that the first lift goes to.
func rules(s script, m machines.Machine, pins []pin) error {
	hand := len(m.Spindle.Dial) > 0
	stops, lifted, on, off, ended := 0, false, false, false, false
	// Without a dwell the first way down is slow: the plain reader holds it to the time.
	waited := m.Dwell == machines.NoDwell || !(m.Spindle.StartTime > 0)
	tallest, clearance := 0.0, 0.0
	for _, p := range pins {
		tallest = math.Max(tallest, p.height)
	}
	asked := "" // the last message
	for _, st := range s.steps {
		say := func(text string) error { return fmt.Errorf("line %d: %s", st.line, text) }
		if ended {
			return say("something after the end")
		}
		switch st.what {
		case "message":
			asked = st.text
		case "stop":
			stops++
			switch {
			case hand && stops == 2 && lifted && strings.Contains(asked, "Switch the router on"):
				on = true
			case hand && stops == 3 && on && strings.Contains(asked, "Switch the router off"):
				on, off = false, true
			case stops != 1:
				return say("a stop that nobody expects")
			}
			asked = ""
		case "spindle":
			if stops == 0 || !lifted || hand {
				return say("the spindle turns before the stop or before the lift")
			}
			on = true
		case "off":
			on, off = false, true
		case "dwell":
			waited = waited || on && st.value >= m.Spindle.StartTime
		case "end":
			ended = true
		case "move":
			if stops == 0 || off {
				return say("a move before the stop or after the spindle is off")
			}
			if !lifted {
				if lifted = true; st.g != 0 || !math.IsNaN(st.to[0]) || !math.IsNaN(st.to[1]) || !(st.to[2] >= tallest+2) {
					return say("the first move is no lift clear of everything")
				}
				clearance = st.to[2]
				continue
			}
			if st.g != 0 && !(on && waited) {
				return say("a cut before the spindle turns")
			}
			sideways := st.from[0] != st.to[0] || st.from[1] != st.to[1]
			if st.g == 0 && sideways && (st.from[2] < clearance || st.to[2] < clearance) {
				return say("a traverse sideways below clearance")
			}
		}
	}
	if !ended || !off || on {
		return fmt.Errorf("the program does not switch off and end")
	}
	return nil
}

// limits checks feeds axis by axis, the speed, the travel and the floor.
func limits(s script, m machines.Machine, c tool, b board, floor float64) error {
	speed := 0.0
	low, high := point{math.Inf(1), math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	most := [3]float64{m.Feed.X, m.Feed.Y, m.Feed.Z}
	for _, st := range s.steps {
		switch st.what {
		case "message":
			for _, d := range m.Spindle.Dial {
				if strings.Contains(strings.ToLower(st.text), "dial at "+strings.ToLower(d.Mark)+" is") {
					speed = d.Speed
				}
			}
		case "speed":
			if speed = st.value; len(m.Spindle.Dial) > 0 || speed < m.Spindle.Slowest || speed > m.Spindle.Fastest {
				return fmt.Errorf("line %d: a speed of %g", st.line, speed)
			}
		case "move":
			n := 1
			if st.g >= 2 {
				n = 64
			}
			for i := range n {
				a, z := st.place(float64(i)/float64(n)), st.place(float64(i+1)/float64(n))
				if err := step1(st, a, z, most, speed*float64(c.flutes)*c.chip); err != nil {
					return err
				}
				for k := range z {
					if !math.IsNaN(z[k]) {
						low[k], high[k] = math.Min(low[k], z[k]), math.Max(high[k], z[k])
					}
				}
			}
		}
	}
	if !(speed > 0) || speed > math.Min(c.speed, c.fastest) {
		return fmt.Errorf("a speed of %g for a cutter of %g", speed, c.speed)
	}
	if high[0]-low[0] > m.Travel.X || high[1]-low[1] > m.Travel.Y || high[2]+b.thickness > m.Travel.Z {
		return fmt.Errorf("from %v to %v is beyond the travel", low, high)
	}
	if low[2] < floor-b.thickness-same {
		return fmt.Errorf("the tip goes to %g, into the floor", low[2])
	}
	return nil
}

// step1 checks the feed over one small piece of a motion.
func step1(st step, a, z point, most [3]float64, teeth float64) error {
	if st.g == 0 {
		return nil
	}
	long := math.Sqrt(sqr(z[0]-a[0]) + sqr(z[1]-a[1]) + sqr(z[2]-a[2]))
	for k := range most {
		// A millionth: feeds of inch programs are products of two floats.
		if v := st.feed * math.Abs(z[k]-a[k]) / long; !(v <= most[k]*(1+1e-6)) {
			return fmt.Errorf("line %d: %c runs at %.3f mm/min, over %.3f", st.line, "XYZ"[k], v, most[k])
		}
	}
	// Thin chips may raise the feed by half.
	if !(st.feed > 0) || !(st.feed <= 1.5*teeth*(1+1e-6)) {
		return fmt.Errorf("line %d: a feed of %g mm/min for %g mm/min of chips", st.line, st.feed, teeth)
	}
	return nil
}
