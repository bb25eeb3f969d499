package shop_test

import (
	"fmt"
	"strings"
)

// faults are the changes that break something.
func faults() []doctored {
	return slicesOf(faultsOfHeight, faultsOfPath, faultsOfOrder, faultsOfWords, faultsOfText)
}

func slicesOf(lists ...func() []doctored) (all []doctored) {
	for _, l := range lists {
		all = append(all, l()...)
	}
	return all
}

// faultsOfHeight are wrong heights and wrong zeros.
func faultsOfHeight() []doctored {
	return []doctored{
		{name: "Z lowered by 0.01 mm", job: "two", file: 2, change: deeper(0.01, 0), kind: "gouge", judged: true},
		{name: "Z lowered by 0.01 mm early", job: "two", file: 2, change: deeper(0.01, -250), kind: "gouge", judged: true},
		{name: "Z lowered by 0.0004 in on a crown", job: "inches", file: 2, change: deeper(0.0004, 0), kind: "gouge", judged: true},
		{name: "Z lowered by 0.01 mm, zero on the bed", job: "flat", file: 1, change: deeper(0.01, 200), kind: "gouge", judged: true},
		{name: "Z lowered by 0.01 mm, bull", job: "hand", file: 1, change: deeper(0.01, 150), kind: "gouge", judged: true},
		{name: "Z raised by 1 mm", job: "two", file: 2, change: deeper(-1, 0), kind: "scallop", within: 1, judged: true},
		{name: "Z raised by 1 mm elsewhere", job: "two", file: 2, change: deeper(-1, 150), kind: "scallop", within: 1, judged: true},
		{name: "Z raised by 0.04 in on a crown", job: "inches", file: 2, change: deeper(-0.04, 0), kind: "scallop", within: 1, judged: true},
		{name: "Z far too deep", job: "two", file: 2, change: deeper(9, 0), kind: "gouge|floor|bite|contact", judged: true},
		{name: "sign of Z lost", job: "two", file: 2, kind: "scallop", within: 1, judged: true, change: func(p pages) (pages, int) {
			k := p.cut(0)
			*p.line(k) = strings.Replace(*p.line(k), "Z-", "Z", 1)
			return p, k
		}},
		{name: "digit of Z lost", job: "two", file: 2, kind: "scallop", within: 1, judged: true, change: func(p pages) (pages, int) {
			k := p.cut(0)
			*p.line(k) = strings.Replace(*p.line(k), "Z-1.", "Z-.", 1)
			return p, k
		}},
		{name: "zero 0.1 mm low", job: "two", file: 2, kind: "gouge", judged: true, change: func(p pages) (pages, int) {
			return p.shift(p.find("G1 ", 1), len(p), "Z", -0.1), 0
		}},
		{name: "zero 0.5 mm high", job: "two", file: 2, kind: "scallop", within: 1 << 20, judged: true, change: func(p pages) (pages, int) {
			return p.shift(p.find("G0", 1), len(p), "Z", 0.5), 1
		}},
		{name: "zero 1 mm to the side", job: "two", file: 2, kind: "gouge", judged: true, change: func(p pages) (pages, int) {
			return p.shift(1, len(p), "X", 1), 0
		}},
		{name: "a layer of roughing too deep", job: "two", file: 1, kind: "ramp", judged: true, change: func(p pages) (pages, int) {
			k := p.find("G1 ", 2)
			return p.shift(k, len(p)-5, "Z", -0.6), k
		}},
		{name: "plunge in place of the spiral", job: "two", file: 1, kind: "ramp", judged: true, change: func(p pages) (pages, int) {
			k := p.find("G1 ", 1)
			p.set(k, "Z", "-0.4")
			return p, k
		}},
		{name: "a zigzag within the core", job: "two", file: 1, kind: "ramp", within: 40, judged: true, change: func(p pages) (pages, int) {
			k := p.find("G1 ", 1)
			x, z, zigzag := p.value(p.find("G0 X", 1), "X"), 0.0, pages{}
			for z > -0.7 {
				z -= 0.02
				zigzag = append(zigzag, fmt.Sprintf("G1 X%.4f Z%.4f", x+float64(len(zigzag)%2)/2, z))
			}
			p.set(k, "Z", "0")
			return p.with(k+1, zigzag...), k + len(zigzag)
		}},
		{name: "a traverse goes on down", job: "two", file: 1, kind: "traverse|gouge|ramp", judged: true, change: func(p pages) (pages, int) {
			k := p.find("G0 Z", 2)
			p.set(k, "Z", "-0.9")
			return p, k
		}},
		{name: "a traverse through stock", job: "two", file: 1, kind: "traverse", change: func(p pages) (pages, int) {
			k := p.cutFlat()
			*p.line(k) = strings.Replace(*p.line(k), "G1", "G0", 1)
			return p, k
		}},
		{name: "lifted less than the clamp is tall", job: "two", file: 2, change: func(p pages) (pages, int) {
			k := p.find("G0", 1)
			p.set(k, "Z", "9")
			return p, k
		}, kind: "traverse", judged: true},
	}
}

// faultsOfPath are lines lost, swapped and turned.
func faultsOfPath() []doctored {
	return []doctored{
		{name: "a whole pass lost", job: "two", file: 2, kind: "scallop", within: 60, judged: true, change: func(p pages) (pages, int) {
			from := p.nextPass(p.cut(0))
			to := p.nextPass(from + 1)
			return p.without(from, to-1), from
		}},
		{name: "a pass of arcs lost", job: "arcs", file: 2, kind: "scallop", within: 3, judged: true, change: func(p pages) (pages, int) {
			k := p.find("G2 ", 12)
			return p.without(k-1, k), k - 1
		}},
		{name: "a step to the next pass lost", job: "two", file: 2, kind: "scallop|gouge", within: 60, judged: true, change: func(p pages) (pages, int) {
			k := p.nextPass(p.cut(0))
			return p.without(k, k), k
		}},
		{name: "a vertex lost on a crown", job: "inches", file: 2, kind: "gouge", judged: true, change: func(p pages) (pages, int) {
			k := p.cut(4)
			return p.without(k, k), k
		}},
		{name: "two lines swapped at a pass's end", job: "two", file: 2, kind: "scallop|gouge", within: 6, judged: true, change: func(p pages) (pages, int) {
			k := p.nextPass(p.cut(0))
			p[k-1], p[k+4] = p[k+4], p[k-1]
			return p, k
		}},
		{name: "G3 for G2", job: "arcs", file: 2, kind: "travel", change: turned("G2", "G3")},
		{name: "G2 for G3", job: "arcs", file: 2, kind: "travel", change: turned("G3", "G2")},
		{name: "K too small by 1", job: "arcs", file: 2, kind: "gouge", judged: true, change: func(p pages) (pages, int) {
			k := p.find("G2 ", 12)
			p.add(k, "K", -1)
			return p, k
		}},
		{name: "K a tenth", job: "arcs", file: 2, kind: "gouge|floor", judged: true, change: func(p pages) (pages, int) {
			k := p.find("G2 ", 12)
			p.add(k, "K", -0.9*p.value(k, "K"))
			return p, k
		}},
		{name: "I too large by 0.1", job: "arcs", file: 2, kind: "text", change: func(p pages) (pages, int) {
			k := p.find("G2 ", 12)
			p.add(k, "I", 0.1)
			return p, k
		}},
		{name: "plane changed", job: "arcs", file: 2, kind: "text", change: func(p pages) (pages, int) {
			*p.line(p.find("G18", 1)) = "G17"
			return p, p.find("G2 ", 1)
		}},
		{name: "decimal point of X lost", job: "two", file: 2, kind: "travel", judged: true, change: func(p pages) (pages, int) {
			k := p.cut(2)
			p.set(k, "X", strings.Replace(word(p, k, "X"), ".", "", 1))
			return p, k
		}},
		{name: "X beyond the travel", job: "two", file: 1, kind: "travel", judged: true, change: func(p pages) (pages, int) {
			k := p.cutFlat()
			p.set(k, "X", "311")
			return p, k
		}},
		{name: "an arc on a machine without arcs", job: "two", file: 2, kind: "arc", change: func(p pages) (pages, int) {
			k := p.find("G0 Z", -1)
			return p.with(k+1, "G91 G2 X1 Y1 I1 J0"), k + 1
		}},
		{name: "traverse aslant", job: "two", file: 2, kind: "traverse", change: func(p pages) (pages, int) {
			k := p.find("G0 X", 1)
			*p.line(k) += " Z3"
			return p, k
		}},
		{name: "traverse low over the blank", job: "two", file: 2, kind: "traverse", change: func(p pages) (pages, int) {
			k := p.find("G4 ", 1) + 1
			return p.with(k, "G0 Z1"), k
		}},
	}
}

func turned(from, to string) func(pages) (pages, int) {
	return func(p pages) (pages, int) {
		k := p.find(from+" ", 12)
		*p.line(k) = strings.Replace(*p.line(k), from, to, 1)
		return p, k
	}
}

// word returns the text behind a letter.
func word(p pages, n int, letter string) string {
	_, rest, _ := strings.Cut(*p.line(n), letter)
	w, _, _ := strings.Cut(rest, " ")
	return w
}

// nextPass returns the first line from n on that steps to another pass.
func (p pages) nextPass(n int) int {
	for ; ; n++ {
		if l := *p.line(n); strings.HasPrefix(l, "G1 X") && strings.Contains(l, " Y") && strings.Contains(l, " Z") {
			return n
		}
	}
}

// cutFlat returns a feed line in the middle of a roughing layer.
func (p pages) cutFlat() int {
	for n := p.find("G1 ", -40); ; n-- {
		if l := *p.line(n); strings.HasPrefix(l, "G1 X") && strings.Contains(l, " Y") && !strings.Contains(l, " Z") {
			return n
		}
	}
}
