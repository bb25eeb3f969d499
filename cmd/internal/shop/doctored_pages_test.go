package shop_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// pages is a program's text in lines, from 1 as people count.
type pages []string

func (p pages) line(n int) *string { return &p[n-1] }

// find returns the n-th line from 1 that begins so; negative n count from the end.
func (p pages) find(start string, n int) int {
	var found []int
	for i, l := range p {
		if strings.HasPrefix(l, start) {
			found = append(found, i+1)
		}
	}
	if n < 0 {
		return found[len(found)+n]
	}
	return found[n-1]
}

// cut returns a feed line with X and Z that lies n lines behind the middle of the
// program's cutting.
func (p pages) cut(n int) int {
	first, last := p.find("G1 ", 1), p.find("G1 ", -1)
	for i := (first+last)/2 + n; ; i++ {
		if l := *p.line(i); strings.HasPrefix(l, "G1 X") && strings.Contains(l, " Z") && !strings.Contains(l, " Y") {
			return i
		}
	}
}

// value returns the number behind a letter in a line.
func (p pages) value(n int, letter string) float64 {
	_, rest, ok := strings.Cut(*p.line(n), letter)
	if !ok {
		panic("no " + letter + " in " + *p.line(n))
	}
	word, _, _ := strings.Cut(rest, " ")
	v, err := strconv.ParseFloat(word, 64)
	if err != nil {
		panic(err)
	}
	return v
}

// set puts another text behind the letter.
func (p pages) set(n int, letter, text string) {
	before, rest, _ := strings.Cut(*p.line(n), letter)
	_, after, more := strings.Cut(rest, " ")
	*p.line(n) = before + letter + text
	if more {
		*p.line(n) += " " + after
	}
}

// add adds to the number behind the letter.
func (p pages) add(n int, letter string, v float64) {
	p.set(n, letter, strconv.FormatFloat(math.Round((p.value(n, letter)+v)*1e5)/1e5, 'f', -1, 64))
}

func (p pages) without(from, to int) pages { return slices.Delete(slices.Clone(p), from-1, to) }
func (p pages) with(at int, lines ...string) pages {
	return slices.Insert(slices.Clone(p), at-1, lines...)
}

// each changes every line.
func (p pages) each(change func(string) string) pages {
	q := slices.Clone(p)
	for i := range q {
		q[i] = change(q[i])
	}
	return q
}

// shift adds to the letter's number in every line of feed or traverse from n on.
func (p pages) shift(from, to int, letter string, v float64) pages {
	q := slices.Clone(p)
	for n := from; n <= to; n++ {
		if l := q[n-1]; strings.HasPrefix(l, "G") && strings.Contains(l, " "+letter) {
			q.add(n, letter, v)
		}
	}
	return q
}
