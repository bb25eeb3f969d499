package shop_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// faultsOfText are what is not the language.
func faultsOfText() []doctored {
	end := func(text string) func(pages) (pages, int) {
		return func(p pages) (pages, int) {
			k := p.cut(0)
			*p.line(k) += text
			return p, k
		}
	}
	return []doctored{
		{name: "cut off in the middle", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			k := p.cut(0)
			return p[:k], k
		}},
		{name: "cut off in a number", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			k := p.cut(0)
			*p.line(k) = (*p.line(k))[:6]
			return p[:k], k
		}},
		{name: "M2 lost", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) { return p[:len(p)-1], len(p) - 1 }},
		{name: "text after M2", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			return append(p, "", "G0 Z-3"), len(p) + 2
		}},
		{name: "unknown word", job: "two", file: 2, change: end(" E5"), kind: "text"},
		{name: "idle word", job: "two", file: 2, change: end(" Q5"), kind: "text"},
		{name: "unknown code", job: "two", file: 2, change: replaced("G94", 1, "G187"), kind: "text"},
		{name: "a turning axis", job: "two", file: 2, change: end(" A5"), kind: "text"},
		{name: "two words of one group", job: "two", file: 2, change: end(" G0"), kind: "text"},
		{name: "a word twice", job: "two", file: 2, change: end(" X1"), kind: "text"},
		{name: "an exponent", job: "two", file: 2, change: end("E1"), kind: "text"},
		{name: "two points in a number", job: "two", file: 2, change: end(".5"), kind: "text"},
		{name: "a nested comment", job: "two", file: 2, change: end(" (a (b))"), kind: "text"},
		{name: "a comment left open", job: "two", file: 2, change: end(" (a"), kind: "text"},
		{name: "a semicolon", job: "two", file: 2, change: end(" ; here"), kind: "text"},
		{name: "a line too long", job: "two", file: 2, change: end(" (" + strings.Repeat("a", 256) + ")"), kind: "text"},
		{name: "a line too long for the machine", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			k := p.cut(0)
			*p.line(k) = strings.Replace(*p.line(k), " Z", strings.Repeat(" ", 80)+"Z", 1)
			return p, k
		}},
		{name: "a comment too long for the machine", job: "two", file: 2, change: replaced("(Straight", 1, "("+strings.Repeat("a", 79)+")"), kind: "text"},
		{name: "a slash", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			k := p.cut(0)
			*p.line(k) = "/" + *p.line(k)
			return p, k
		}},
		{name: "a byte-order mark", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			p[0] = "\xef\xbb\xbf" + p[0]
			return p, 1
		}},
		{name: "a zero byte", job: "two", file: 2, change: end("\x00"), kind: "text"},
		{name: "a percent sign in the middle", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			k := p.cut(0)
			return p.with(k, "%"), k
		}},
		{name: "a comma for a point", job: "two", file: 2, kind: "text", change: func(p pages) (pages, int) {
			k := p.cut(0)
			*p.line(k) = strings.Replace(*p.line(k), ".", ",", 1)
			return p, k
		}},
	}
}

// harmless are changes after which the programs are as good as before.
func harmless() []doctored {
	return []doctored{
		{name: "CR LF", job: "two", file: 2, change: everyLine(func(l string) string { return l + "\r" })},
		{name: "lower case", job: "arcs", file: 2, change: everyLine(func(l string) string {
			if strings.HasPrefix(l, "G64") {
				return l
			}
			return strings.ToLower(l)
		})},
		{name: "capitals", job: "two", file: 2, change: everyLine(strings.ToUpper)},
		{name: "blanks in words", job: "two", file: 2, change: everyLine(spaced)},
		{name: "numbered, and one line as long as the machine takes", job: "two", file: 2, change: func(p pages) (pages, int) {
			p, _ = replaced("(Straight", 1, "("+strings.Repeat("a", 78)+")")(p)
			for i := range p {
				if p[i] != "" {
					p[i] = fmt.Sprintf("N%d %s", 10*i+10, p[i])
				}
			}
			return p, 0
		}},
		{name: "as long as the machine takes", job: "two", file: 2, change: replaced("(Straight", 1, "("+strings.Repeat("a", 78)+")")},
		{name: "no blanks", job: "two", file: 2, change: everyLine(func(l string) string {
			if l[0] == '(' {
				return l
			}
			return strings.ReplaceAll(l, " ", "")
		})},
		{name: "line numbers", job: "two", file: 2, change: everyLine(numbered())},
		{name: "comments lost", job: "hand", file: 1, judged: false, change: everyLine(func(l string) string {
			if l[0] == '(' && !strings.HasPrefix(l, "(cutter") {
				return ""
			}
			return l
		})},
		{name: "percent lines", job: "two", file: 1, change: func(p pages) (pages, int) { return append(p.with(1, "%"), "%"), 0 }},
		{name: "percent lines and no M2", job: "two", file: 1, change: func(p pages) (pages, int) { return append(p.with(1, "%")[:len(p)], "%"), 0 }},
		{name: "M30 for M2", job: "two", file: 1, change: replaced("M2", 1, "M30")},
		{name: "blank lines after M2", job: "two", file: 1, change: func(p pages) (pages, int) { return append(p, "", " ", ""), 0 }},
		{name: "G90 lost", job: "two", file: 1, change: lost("G90", 1, "", 0)},
		{name: "G94 lost", job: "two", file: 1, change: lost("G94", 1, "", 0), judged: true},
		{name: "plane without arcs", job: "two", file: 1, change: replaced("G94", 1, "G18 G94"), judged: true},
		{name: "what holds anyway", job: "two", file: 1, change: replaced("G94", 1, "G17 G54 G49 G40 G94")},
		{name: "exact path mode", job: "arcs", file: 2, change: replaced("G64", 1, "G61"), judged: true},
		{name: "exact path mode where the profile names none", job: "two", file: 2, change: replaced("G94", 1, "G61 G94"), judged: true},
		{name: "exact path mode left on at the end", job: "two", file: 1, change: func(p pages) (pages, int) { return p.with(p.find("M5", 1), "G64", "G61"), 0 }},
		{name: "M5 lost, M2 stops it", job: "two", file: 1, change: lost("M5", 1, "", 0)},
		{name: "second feed lost, slower", job: "two", file: 2, judged: true, change: func(p pages) (pages, int) {
			k := p.find("G1 ", 2)
			*p.line(k), _, _ = strings.Cut(*p.line(k), " F")
			return p, 0
		}},
		{name: "a line twice", job: "two", file: 2, change: func(p pages) (pages, int) {
			k := p.cut(0)
			return p.with(k, *p.line(k)), 0
		}},
		{name: "Z raised by 0.0005 mm", job: "two", file: 2, judged: true, change: deeper(-0.0005, 0)},
		{name: "Z lowered by 0.0004 mm", job: "two", file: 2, judged: true, change: deeper(0.0004, 0)},
		{name: "the last digit of X lost", job: "two", file: 2, judged: true, change: func(p pages) (pages, int) {
			k := p.cut(2)
			w := word(p, k, "X")
			p.set(k, "X", w[:len(w)-1])
			return p, 0
		}},
		{name: "I off by 0.01 on a long arc", job: "arcs", file: 2, judged: true, change: func(p pages) (pages, int) {
			p.add(p.find("G2 ", 2), "I", 0.01)
			return p, 0
		}},
		{name: "the same arc by R", job: "arcs", file: 2, change: func(p pages) (pages, int) {
			k := p.find("G2 ", 12)
			head, _, _ := strings.Cut(*p.line(k), " I")
			r := hypot(p.value(k, "I"), p.value(k, "K"))
			*p.line(k) = head + " R" + r
			return p, 0
		}},
		{name: "S raised before the wait", job: "two", file: 1, change: func(p pages) (pages, int) {
			*p.line(p.find("S12000", 1)) = "S8000"
			return p.with(p.find("M3", 1)+1, "S12000"), 0
		}},
		{name: "S raised with a wait", job: "two", file: 1, change: func(p pages) (pages, int) {
			*p.line(p.find("S12000", 1)) = "S8000"
			k := p.find("G4 ", 1)
			return p.with(k+1, "S12000", *p.line(k)), 0
		}},
		{name: "M3 twice", job: "two", file: 2, change: func(p pages) (pages, int) { return p.with(p.find("G4 ", 1)+1, "M3 S12000"), 0 }},
		{name: "M3 and S on one line", job: "two", file: 2, change: func(p pages) (pages, int) {
			k := p.find("S", 1)
			return p.without(k, k+1).with(k, "M3 S12000"), 0
		}},
		{name: "words in another order", job: "two", file: 2, change: everyLine(func(l string) string {
			if l[0] == '(' {
				return l
			}
			w := strings.Fields(l)
			for i, j := 0, len(w)-1; i < j; i, j = i+1, j-1 {
				w[i], w[j] = w[j], w[i]
			}
			return strings.Join(w, " ")
		})},
		{name: "a pause at clearance", job: "two", file: 2, change: func(p pages) (pages, int) { return p.with(p.find("G0 X", 1), "M0", "G4 P2"), 0 }},
		{name: "a pause just above the wood, hand router", job: "hand", file: 1, change: func(p pages) (pages, int) { return p.with(p.firstDown(0), "M0"), 0 }},
		{name: "dust collection", job: "two", file: 2, change: func(p pages) (pages, int) { return p.with(p.find("M3", 1), "M8"), 0 }},
		{name: "a cutter selected first", job: "two", file: 2, change: func(p pages) (pages, int) { return p.with(p.find("M0", 1), "T1"), 0 }},
		{name: "numbers by expressions", job: "two", file: 2, change: func(p pages) (pages, int) {
			k := p.cut(0)
			p.set(k, "X", "["+word(p, k, "X")+"+2-1*2]")
			return p, 0
		}},
	}
}

// hypot writes the length of a vector with six decimals, rounded up: a radius a
// little too large leaves wood and takes none.
func hypot(a, b float64) string {
	return strconv.FormatFloat(math.Ceil(math.Hypot(a, b)*1e6)/1e6, 'f', 6, 64)
}
