package job

import (
	"fmt"
	"math"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// How thick boards are sold, mm and inches (common practice, from memory); what has to be
// thicker is glued up of boards of the second.
var (
	soldMM     = [...]float64{18, 25, 30, 38}
	soldInches = [...]float64{0.75 * 25.4, 25.4, 1.25 * 25.4, 1.5 * 25.4}
)

// sheetMM and sheetInch are what gauges are cut from: hard sheet as it is sold (common
// practice).
const sheetMM, sheetInch = 4.0, 3.175

// The land that a suggested blank leaves on each side, mm (common practice): of a round
// face in a square one the corners hold; the cutter runs out round a crown and over the
// ends of a board.
const (
	landRound = 10.0
	landMoat  = 45.0
	landBoard = 30.0
	landCut   = 26.0 // beyond that where the piece is cut out: its own land and the slot
)

// Sold is a blank as it is sold.
type Sold struct {
	Length, Width, Thickness float64 // mm; a square where length and width are the same
	Inches                   bool
}

// Text writes one of its sizes as a builder would.
func (s Sold) Text(mm float64) string {
	if s.Inches {
		text, _ := measure.Fraction(mm, 64)
		return text
	}
	return measure.Length{MM: mm}.String()
}

// SuggestBlank returns the blank as sold for a face so long and wide, so deep with the wood
// under it, in mm, with such a land on each side. No side is wider than what passes
// between the machine's uprights, where that leaves room for the face; widest is 0 where
// nothing is known of that.
func SuggestBlank(long, wide, deep, land, widest float64, inches bool) Sold {
	s := Sold{Inches: inches}
	step := map[bool]float64{false: 10, true: 25.4}[inches]
	side := func(across float64) float64 {
		size := float64(step * math.Ceil((across+2*land)/step-1e-9))
		if most := float64(step * math.Floor(widest/step+1e-9)); widest > 0 && size > most && most >= across {
			size = most
		}
		return size
	}
	s.Length, s.Width, s.Thickness = side(long), side(wide), soldThickness(deep, inches)
	return s
}

// soldThickness is the thinnest sold that is so thick.
func soldThickness(deep float64, inches bool) float64 {
	list := soldMM
	if inches {
		list = soldInches
	}
	for _, t := range list {
		if t >= deep {
			return t
		}
	}
	return float64(list[1] * math.Ceil(deep/list[1]))
}

// soldBlank takes what the job leaves out of the blank, with such a land on each side of the face
// at least.
func (l *Reader) soldBlank(w *work.Work, land float64) {
	long, wide := w.Region.Size()
	if v, ok := l.Root.Peek("extras"); ok && v.Has("cut out") {
		land = max(land, landRound+landCut)
	}
	for _, g := range l.Root.Given() { // the extras read it, and find its faults
		if g.Way != "land" {
			continue
		}
		if v, err := measure.ParseLength(g.Text); err == nil {
			land = max(land, v.MM)
		}
	}
	if w.Face.Rim > 0 { // else how deep it is is not known
		l.takeSold(w, SuggestBlank(long, wide, w.Face.Sagitta()+w.Floor, land, w.Machine.BetweenUprights, l.Job.SizeInInches()))
	}
}

// soldSheet does so for gauges, each so high and with what stands between two.
func (l *Reader) soldSheet(w *work.Work, high float64) {
	long, n := l.Job.Length, len(l.Job.Radii)
	if n == 0 || long.MM == 0 {
		return
	}
	s := Sold{Thickness: sheetMM, Inches: long.Unit.Imperial()}
	if s.Inches {
		s.Thickness = sheetInch
	}
	thin := *w
	if l.noThickness {
		thin.Blank.Thickness = s.Thickness
	}
	gap, deepest := 2*straight(&thin, "").Diameter+between, 0.0
	for _, r := range l.Job.Radii {
		deepest = max(deepest, dish.Drop(r.MM, long.MM/2))
	}
	high += deepest
	columns := 1
	for w.Machine.Travel.Y > 0 && columns < n && float64(float64(rows(n, columns))*(high+gap))+gap > w.Machine.Travel.Y {
		columns++
	}
	size := SuggestBlank(float64(float64(columns)*(long.MM+gap))+gap, float64(float64(rows(n, columns))*(high+gap))+gap, 0, 0, 0, s.Inches)
	s.Length, s.Width = size.Length, size.Width
	l.takeSold(w, s)
}

// rows is how many rows so many things make in so many columns.
func rows(n, columns int) int { return (n + columns - 1) / columns }

// takeSold takes of a suggestion what the job does not say.
func (l *Reader) takeSold(w *work.Work, s Sold) {
	if l.noSize {
		if w.Blank.Shape != dish.Rectangle {
			s.Length = max(s.Length, s.Width)
			s.Width = s.Length
		}
		text := s.Text(s.Length)
		if s.Width != s.Length {
			text += " by " + s.Text(s.Width)
		}
		w.Blank.Length, w.Blank.Width = s.Length, s.Width
		l.Take("blank size", text, "a round size that leaves a land to hold it by")
	}
	if l.noThickness {
		w.Blank.Thickness = s.Thickness
		why := "the thinnest sold that leaves the floor"
		if !w.HasFace() {
			why = "hard sheet as it is sold"
		}
		l.Take("blank thickness", s.Text(s.Thickness), fmt.Sprintf("%s; measure yours", why))
	}
}
