package shop_test

import (
	"fmt"
	"strconv"
	"strings"
)

// faultsOfOrder are stops, lifts and spindles in the wrong place.
func faultsOfOrder() []doctored {
	return []doctored{
		{name: "M0 lost", job: "two", file: 1, change: lost("M0", 1, "G0", 1), kind: "order"},
		{name: "M0 behind the first move", job: "two", file: 1, kind: "order", change: func(p pages) (pages, int) {
			q := p.without(p.find("M0", 1), p.find("M0", 1))
			k := q.find("G0", 1)
			return q.with(k+1, "M0"), k
		}},
		{name: "M1 for M0", job: "two", file: 1, kind: "order", change: func(p pages) (pages, int) {
			*p.line(p.find("M0", 1)) = "M1"
			return p, p.find("G0", 1)
		}},
		{name: "M3 before M0", job: "two", file: 2, kind: "order", change: func(p pages) (pages, int) {
			k := p.find("S", 1)
			q := p.without(k, k+1).with(p.find("M0", 1), "S12000", "M3")
			return q, q.find("M3", 1)
		}},
		{name: "M3 lost", job: "two", file: 2, kind: "spindle", change: func(p pages) (pages, int) {
			q := p.without(p.find("M3", 1), p.find("M3", 1))
			return q, q.firstDown(0)
		}},
		{name: "M5 in the middle", job: "two", file: 2, kind: "order", change: func(p pages) (pages, int) {
			k := p.cut(0)
			return p.with(k, "M5"), k
		}},
		{name: "the wait lost", job: "two", file: 2, kind: "spindle", change: func(p pages) (pages, int) {
			q := p.without(p.find("G4 ", 1), p.find("G4 ", 1))
			return q, q.firstDown(0)
		}},
		{name: "the lift lost", job: "two", file: 1, change: lost("G0 Z", 1, "M3", 1), kind: "order"},
		{name: "the last lift lost", job: "two", file: 1, change: lost("G0 Z", -1, "M5", 1), kind: "order"},
		{name: "M4 for M3", job: "two", file: 1, change: replaced("M3", 1, "M4"), kind: "text"},
		{name: "S over the spindle's limit", job: "two", file: 1, kind: "spindle", change: func(p pages) (pages, int) {
			*p.line(p.find("S12000", 1)) = "S24500"
			return p, p.find("M3", 1)
		}, judged: true},
		{name: "S over the cutter's limit", job: "two", file: 1, kind: "spindle", change: func(p pages) (pages, int) {
			*p.line(p.find("S12000", 1)) = "S12500"
			return p, p.find("M3", 1)
		}, judged: true},
		{name: "S a tenth", job: "two", file: 1, kind: "spindle", change: func(p pages) (pages, int) {
			*p.line(p.find("S12000", 1)) = "S1200"
			return p, p.find("M3", 1)
		}, judged: true},
		{name: "S raised without a wait", job: "arcs", file: 1, kind: "feed", change: func(p pages) (pages, int) {
			k := p.find("S", 1)
			s := *p.line(k)
			*p.line(k) = fmt.Sprintf("S%g", p.value(k, "S")/2)
			q := p.with(p.find("G4 ", 1)+1, s)
			return q, q.firstDown(0)
		}, within: 9}, // on the ramp it feeds half as fast
		{name: "S lost", job: "two", file: 1, change: lost("S12000", 1, "M3", 1), kind: "text"},
		{name: "another cutter called", job: "two", file: 1, kind: "cutter|order", change: func(p pages) (pages, int) {
			k := p.find("G1 ", 30)
			return p.with(k, "T2 M6"), k
		}},
		{name: "a cutter changed before M0", job: "two", file: 2, kind: "order", change: func(p pages) (pages, int) {
			k := p.find("M0", 1)
			return p.with(k, "T1 M6"), k
		}},
		{name: "a cutter changed before the lift", job: "two", file: 2, kind: "order", change: func(p pages) (pages, int) {
			k := p.find("G0 Z", 1)
			return p.with(k, "T1", "M6"), k + 1
		}},
		{name: "coolant before M0", job: "two", file: 2, kind: "order", change: func(p pages) (pages, int) {
			k := p.find("M0", 1)
			return p.with(k, "M8"), k
		}},
		{name: "M3 for a hand router", job: "hand", file: 1, kind: "spindle", change: func(p pages) (pages, int) {
			k := p.find("M0", 2)
			return p.with(k, "S10000 M3"), k
		}},
		{name: "the first stop lost, hand router", job: "hand", file: 1, change: lost("M0", 1, "G0", 1), kind: "order"},
		{name: "the stop of the dial lost", job: "hand", file: 1, kind: "spindle", change: func(p pages) (pages, int) {
			q := p.without(p.find("M0", 2), p.find("M0", 2))
			return q, q.firstDown(0)
		}},
		{name: "the last stop lost, hand router", job: "hand", file: 1, change: lost("M0", 3, "M2", 1), kind: "order"},
		{name: "sideways after the last stop", job: "hand", file: 1, kind: "order", change: func(p pages) (pages, int) {
			k := p.find("M2", 1)
			return p.with(k, "G0 X0 Y0"), k
		}},
	}
}

// faultsOfWords are wrong words for units, feeds, modes and cutters.
func faultsOfWords() []doctored {
	return []doctored{
		{name: "inches for mm", job: "two", file: 1, kind: "travel", change: func(p pages) (pages, int) {
			*p.line(p.find("G21", 1)) = "G20"
			return p, p.find("G0", 1)
		}},
		{name: "mm for inches", job: "inches", file: 1, kind: "traverse", change: func(p pages) (pages, int) {
			*p.line(p.find("G20", 1)) = "G21"
			return p, p.find("G0 Z", 1)
		}},
		{name: "units lost", job: "two", file: 1, change: lost("G21", 1, "G0", 1), kind: "text"},
		{name: "units in the middle", job: "two", file: 1, kind: "text", change: func(p pages) (pages, int) {
			k := p.cutFlat()
			return p.with(k, "G20"), k + 1
		}},
		{name: "feed ten times", job: "two", file: 2, kind: "feed", judged: true, change: feed(1, tenfold)},
		{name: "second feed ten times", job: "two", file: 2, kind: "feed", judged: true, change: feed(2, tenfold)},
		{name: "feed ten times, inches", job: "inches", file: 1, kind: "feed", judged: true, change: feed(1, tenfold)},
		{name: "feed ten times, arcs", job: "arcs", file: 2, kind: "feed", change: feed(2, tenfold)},
		{name: "half the speed", job: "arcs", file: 1, kind: "feed", judged: true, change: func(p pages) (pages, int) {
			k := p.find("S", 1)
			*p.line(k) = fmt.Sprintf("S%g", p.value(k, "S")/2)
			return p, p.firstDown(0)
		}, within: 9}, // on the ramp it feeds half as fast
		{name: "half the speed from a cut on", job: "arcs", file: 1, kind: "feed", change: func(p pages) (pages, int) {
			k := p.cutFlat()
			return p.with(k, fmt.Sprintf("S%g", p.value(p.find("S", 1), "S")/2)), k + 1
		}},
		{name: "a dwell in the cut", job: "two", file: 2, kind: "spindle", change: before(0, "G4 P0.1")},
		{name: "a stop in the cut", job: "two", file: 2, kind: "spindle", change: before(0, "M0")},
		{name: "a stop in the cut, hand router", job: "hand", file: 1, kind: "spindle", change: func(p pages) (pages, int) {
			k := p.firstDown(-0.3) + 1
			return p.with(k, "M0"), k
		}},
		{name: "a crawl", job: "inches", file: 2, kind: "feed", change: before(0, "F0.3")},
		{name: "feed zero", job: "two", file: 2, kind: "text", change: feed(1, func(string) string { return "0" })},
		{name: "feed negative", job: "two", file: 2, kind: "text", change: feed(2, func(f string) string { return "-" + f })},
		{name: "first feed lost", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			k := p.find("G1 ", 1)
			*p.line(k), _, _ = strings.Cut(*p.line(k), " F")
			return p, k
		}},
		{name: "feed by time", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			*p.line(p.find("G94", 1)) = "G93"
			return p, p.find("G1 ", 2) + 1
		}},
		{name: "G91 for G90", job: "two", file: 1, kind: "text", change: func(p pages) (pages, int) {
			*p.line(p.find("G90", 1)) = "G91"
			return p, p.find("G0", 1)
		}},
		{name: "G91 left on", job: "two", file: 2, kind: "gouge|bite|floor", judged: false, change: func(p pages) (pages, int) {
			k := p.cut(0)
			return p.with(k, "G91"), k + 1
		}},
		{name: "another cutter's name", job: "two", file: 2, kind: "gouge", judged: true, change: func(p pages) (pages, int) {
			*p.line(p.find("(cutter:", 1)) = "(cutter: small flat)"
			return p, 0
		}},
		{name: "an unknown cutter's name", job: "two", file: 2, change: replaced("(cutter:", 1, "(cutter: half-inch ball)"), kind: "cutter"},
		{name: "the cutter's line lost", job: "two", file: 2, kind: "cutter", change: func(p pages) (pages, int) {
			return p.without(p.find("(cutter:", 1), p.find("(cutter:", 1)), 1
		}},
		{name: "a second cutter's line", job: "two", file: 2, kind: "cutter", change: func(p pages) (pages, int) {
			k := p.find("(cutter:", 1)
			return p.with(k+1, "(cutter: small flat)"), k + 1
		}},
		{name: "two cutters in one line", job: "two", file: 2, kind: "cutter", change: func(p pages) (pages, int) {
			k := p.find("(cutter:", 1)
			*p.line(k) = "(cutter: small flat)" + *p.line(k)
			return p, k
		}},
		{name: "path mode lost", job: "arcs", file: 2, change: lost("G64", 1, "G1 ", 1), kind: "path mode"},
		{name: "a path mode that the profile does not name", job: "two", file: 2, change: replaced("G94", 1, "G64 G94"), kind: "path mode"},
		{name: "a path mode left on at the end", job: "two", file: 1, kind: "path mode", change: func(p pages) (pages, int) {
			k := p.find("M5", 1)
			return p.with(k, "G64"), k
		}},
		{name: "path mode without its own word", job: "arcs", file: 2, change: replaced("G64", 1, "G64"), kind: "path mode"},
		{name: "path mode with another number", job: "arcs", file: 2, change: replaced("G64", 1, "G64 Q0.5"), kind: "text"},
		{name: "path mode changed for a while", job: "arcs", file: 2, kind: "path mode", change: func(p pages) (pages, int) {
			k := p.find("G2 ", 5)
			return p.with(k, "G64").with(k+2, "G64 Q0.01"), k
		}},
		{name: "G41", job: "two", file: 1, change: replaced("G94", 1, "G94 G41"), kind: "text"},
		{name: "another origin", job: "two", file: 1, change: replaced("G94", 1, "G94 G55"), kind: "text"},
		{name: "an offset by G92", job: "two", file: 2, kind: "gouge|traverse|bite|travel|scallop|order", change: func(p pages) (pages, int) {
			k := p.find("G1 ", 2)
			return p.with(k, "G92 Z3"), k + 1
		}},
		{name: "an offset left on by a percent line", job: "two", file: 1, kind: "text", change: endedByPercent("G92 Z15")},
		{name: "G91 left on by a percent line", job: "two", file: 1, kind: "text", change: endedByPercent("G91")},
		{name: "the spindle left on by a percent line", job: "two", file: 1, kind: "text", change: endedByPercent("M3")},
		{name: "a tool length", job: "two", file: 1, change: replaced("G94", 1, "G94 G43 H1"), kind: "text"},
	}
}

// endedByPercent ends a program by a second percent line, with a line before it.
func endedByPercent(line string) func(pages) (pages, int) {
	return func(p pages) (pages, int) {
		q := append(p.with(1, "%")[:len(p)], line, "%")
		return q, len(q)
	}
}

// before puts a line before a line of feed that lies n lines behind the middle; an F alone
// counts from that line on.
func before(n int, text string) func(pages) (pages, int) {
	return func(p pages) (pages, int) {
		k := p.cut(n)
		q := p.with(k, text)
		if text[0] == 'F' {
			k++
		}
		return q, k
	}
}

func tenfold(f string) string {
	v, err := strconv.ParseFloat(f, 64)
	if err != nil {
		panic(err)
	}
	return strconv.FormatFloat(10*v, 'f', 1, 64)
}

// feed changes the text of the n-th F word.
func feed(n int, change func(string) string) func(pages) (pages, int) {
	return func(p pages) (pages, int) {
		for i, seen := 1, 0; ; i++ {
			if l := *p.line(i); l[0] != '(' && strings.Contains(l, " F") {
				if seen++; seen == n {
					p.set(i, "F", change(word(p, i, "F")))
					return p, i
				}
			}
		}
	}
}
