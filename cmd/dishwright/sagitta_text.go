package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// ruler tells a dome in inches where anything but its radius was given in inches or feet: a
// radius is named in feet wherever domes are made.
func (s arc) ruler() (u measure.Ruler) {
	for _, l := range s.given {
		u.Inches = u.Inches || l.Unit.Imperial() && l.MM != s.radius
	}
	return u
}

// named writes a length as it was given, a computed one in the ruler's unit, of a dome of
// inches the radius in feet.
func (s arc) named(mm float64) string {
	if i := slices.IndexFunc(s.given, func(l measure.Length) bool { return l.MM == mm }); i >= 0 {
		return s.given[i].String()
	}
	if s.u.Inches && mm == s.radius {
		return measure.FormatShort(mm/measure.Foot.MM(), 4) + " ft"
	}
	return s.u.Length(mm, 4)
}

// answer says what was asked for, then all of the dome.
func (s arc) answer() (document.Document, error) {
	rows, low, high, near, err := s.extras()
	if err != nil {
		return nil, err
	}
	d := document.Document{
		document.Paragraph{Text: fmt.Sprintf("a dome of radius %s over a chord of %s is %s deep", s.named(s.radius), s.named(s.chord), s.named(s.depth))},
		document.Space{}, s.facts(),
	}
	if s.within > 0 {
		d = append(d, s.which(low, high, near)...)
	}
	return append(d, s.heights(rows)...), nil
}

// facts are the figures of the dome.
func (s arc) facts() document.Facts {
	u := s.u
	mark := measure.Ruler{Inches: true, Parts: 64}
	power := func(v float64, n int) string {
		if u.Inches {
			v /= math.Pow(measure.Inch.MM(), float64(n))
		}
		return fmt.Sprintf("%s %s%d", figures(v), u.Unit(), n)
	}
	list := document.Facts{{Label: "radius", Text: u.Length(s.radius, 4)}, {Label: "chord", Text: u.Length(s.chord, 4)}, {Label: "depth", Text: u.Length(s.depth, 4)}}
	if u.Inches {
		list = append(list, document.Fact{Label: "depth to 1/64 in", Text: mark.Depth(s.depth, 4)})
	}
	return append(list,
		document.Fact{Label: "arc", Text: u.Length(dish.ArcOfChord(s.radius, s.chord), 4)},
		document.Fact{Label: "slope at the rim", Text: measure.FormatFixed(s.slope(), 4) + " deg"},
		document.Fact{Label: "cap's area", Text: power(dish.CapArea(s.radius, s.chord/2), 2)},
		document.Fact{Label: "cap's volume", Text: power(dish.CapVolume(s.radius, s.chord/2), 3)})
}

// which says which dish it is; a high of 0 is a flat.
func (s arc) which(low, high float64, near []tradeRadius) document.Document {
	between := "a radius of " + s.u.Dome(low) + " or more, up to a flat"
	if high > 0 {
		between = "a radius of " + measure.Domes(low, high).In(s.u)
	}
	list := document.Facts{{Label: "which dish", Text: fmt.Sprintf("%s, with the depth known within %s", between, s.named(s.within))}}
	for _, r := range near {
		word := "not in there, the nearest often named"
		if r.Within {
			word = "in there"
		}
		list = append(list, document.Fact{Label: r.Name, Text: fmt.Sprintf("%s deep, %s", s.u.Length(r.Depth, 3), word)})
	}
	return document.Document{document.Space{}, list}
}

// mostHeights are told of a table unless all are asked for.
const mostHeights = 6

// heights are the table of a gauge or of a brace's arc; of a long one the beginning and the end.
func (s arc) heights(rows []gaugeRow) (d document.Document) {
	if len(rows) == 0 {
		return nil
	}
	u := s.u
	t := document.Table{Head: []string{"from the middle " + u.Unit(), "fall", "height"}}
	if u.Inches {
		t.Head = []string{"from the middle in", "fall", "to 1/64", "height", "to 1/64"}
	}
	left := 0
	for i, r := range rows {
		if !s.full && len(rows) > mostHeights && i >= mostHeights-1 && i < len(rows)-1 {
			left++
			continue
		}
		row := []string{u.Short(r.Distance, 2), u.Fixed(r.Fall, 3), u.Fixed(r.Height, 3)}
		if u.Inches {
			mark := func(mm float64) string { text, _ := measure.Fraction(mm, 64); return strings.TrimSuffix(text, " in") }
			row = []string{row[0], row[1], mark(r.Fall), row[2], mark(r.Height)}
		}
		t.Rows = append(t.Rows, row)
	}
	d = document.Document{document.Heading("heights: the fall from the middle, and the height over the line between the ends"), t}
	if left > 0 {
		d = append(d, document.Paragraph{Text: fmt.Sprintf("--full tells %s more", measure.Count(left, "height"))})
	}
	return d
}
