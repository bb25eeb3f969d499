package pattern

import (
	"bytes"
	"encoding/xml"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// letter is the size of the letters, mm; above the line they reach to the first of
// these heights, below it to the second (rounded up from a common sans-serif face).
const letter, ascent, descent = 3.2, 2.6, 0.8

// textWidth is no less than the width that a text takes, mm: the printer's face is
// not known, so each kind of letter counts as wide as its widest in DejaVu Sans,
// among the widest of the common sans-serif faces.
func textWidth(text string) float64 {
	em := 0.0
	for _, c := range text {
		switch {
		case strings.ContainsRune("'ijlIJftr ,./:;\\|-()[]!", c):
			em += 0.42
		case strings.ContainsRune("mwMW%@#+<=>^~", c):
			em++
		case c >= 'A' && c <= 'Z' || c == '&':
			em += 0.8
		case c > '~':
			em += 1.5
		default:
			em += 0.66
		}
	}
	return letter * em
}

// shortened returns the text, with dots for its end where it is wider than the room.
func shortened(text string, room float64) string {
	const dots = "..."
	if textWidth(text) <= room {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && textWidth(string(runes)+dots) > room {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ") + dots
}

func escaped(text string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(text)) // a buffer takes everything
	return b.String()
}

// spot is where texts may stand: how they lie to the place, and where.
type spot struct {
	anchor string // start, middle or end
	at     r2.Vec // on the sheet, mm
}

// box returns what a text at a spot takes of the sheet, at most.
func (p spot) box(text string) r2.Box {
	w := textWidth(text)
	left := p.at.X
	switch p.anchor {
	case "middle":
		left -= w / 2
	case "end":
		left -= w
	}
	return r2.Box{Min: r2.Vec{X: left, Y: p.at.Y - ascent}, Max: r2.Vec{X: left + w, Y: p.at.Y + descent}}
}

// lines are the boxes of texts one under the other.
func (p spot) lines(texts []string) []r2.Box {
	var boxes []r2.Box
	for i, t := range texts {
		q := p
		q.at.Y += float64(float64(i) * lineFeed)
		boxes = append(boxes, q.box(t))
	}
	return boxes
}

// lineFeed is from one line of a text to the next, mm.
const lineFeed = 4.0

// text writes texts one under the other at the first of the spots where all of them
// lie within the margins and on no other text. They are left out where there is no
// such spot: half a number would be a wrong one.
func (s *sheet) text(texts []string, spots ...spot) {
	for _, p := range spots {
		boxes := p.lines(texts)
		if !s.room(boxes) {
			continue
		}
		s.taken = append(s.taken, boxes...)
		for i, t := range texts {
			s.printf(`<text x="%s" y="%s" text-anchor="%s" fill="black" stroke="none">%s</text>`,
				mm(p.at.X), mm(p.at.Y+float64(float64(i)*lineFeed)), p.anchor, escaped(t))
		}
		return
	}
}

// room reports whether boxes lie within the margins and on nothing written.
func (s *sheet) room(boxes []r2.Box) bool {
	for _, b := range boxes {
		if b.Min.X < margin || b.Max.X > s.paper.Width-margin || b.Min.Y < margin || b.Max.Y > s.paper.Height-margin {
			return false
		}
		for _, t := range s.taken {
			if b.Min.X < t.Max.X && t.Min.X < b.Max.X && b.Min.Y < t.Max.Y && t.Min.Y < b.Max.Y {
				return false
			}
		}
	}
	return true
}
