package sides

import (
	"fmt"
	"math"

	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/rim"
)

// Guess is what four widths leave open of an outline: where along the body they stand. A place
// may well be three hundredths of the length off; what that does says what the guess is worth.
type Guess struct {
	LowerBoutMM float64 `json:"lower_bout_from_tail_mm"`
	WaistMM     float64 `json:"waist_from_tail_mm"`
	UpperBoutMM float64 `json:"upper_bout_from_tail_mm"`
	LengthMM    float64 `json:"side_length_within_mm"` // by how much a side may be longer or shorter
	WidthMM     float64 `json:"side_width_within_mm"`  // by how much it may be wider or narrower at a named place
}

// guess works out what is taken of an outline that four widths tell; nil of another.
func (b *builder) guess(body rim.Body) *Guess {
	k := b.job.Outline.Bouts
	if k == nil {
		return nil
	}
	guesses := k.Guesses()
	if len(guesses) == 0 { // all is pinned down
		return nil
	}
	g := &Guess{}
	g.LowerBoutMM, g.WaistMM, g.UpperBoutMM, _ = k.Places() // the outline stands, so they do
	places := body.NamedStations()
	for _, half := range guesses {
		other := builder{job: b.job}
		o, err := rim.NewOutline(rim.Mirrored(half), b.job.Outline.Curve)
		if err != nil {
			continue
		}
		as, ok := other.domes(rim.Body{Outline: o, Sides: body.Sides, Lining: body.Lining})
		if !ok {
			continue
		}
		g.LengthMM = max(g.LengthMM, math.Abs(o.Head()-body.Outline.Head()))
		for i, s := range as.NamedStations() {
			if i < len(places) && s.Name == places[i].Name {
				g.WidthMM = max(g.WidthMM, math.Abs(s.Width-places[i].Width))
			}
		}
	}
	return g
}

// sentence says what the sides are worth that are worked out of a guess.
func (g *Guess) sentence(u measure.Ruler) string {
	return fmt.Sprintf("guessed between its four widths: a side may be %s longer or shorter; points where each bout is widest and the waist narrowest, with half its width as stated, pin it down", u.Length(g.LengthMM, 1))
}

// taken tells the guess as a default.
func (g *Guess) taken() keys.Default {
	at := func(v float64) measure.Term { return measure.To(v, 0) }
	return keys.Default{Key: "outline: points",
		Value: measure.Say("lower bout at %s, waist at %s, upper bout at %s from the tail", at(g.LowerBoutMM), at(g.WaistMM), at(g.UpperBoutMM)).String(),
		Why: measure.Say("common practice for guitars, within a few hundredths of the length: a side may be %s longer or shorter and %s wider or narrower; points, each from the tail and half the width there, pin the outline down",
			mm(g.LengthMM), mm(g.WidthMM)).String()}
}

// About tells a length along a side, to no more than a guess of its outline is worth: mm exact to
// a tenth, or the next of 1, 2, 5, 10 … of a millimetre or of sixteenths of an inch.
func (g *Guess) About(u measure.Ruler, mm float64) string {
	if g == nil {
		return u.Length(mm, 1)
	}
	unit, step := 1.0, 0.1
	if u.Inches {
		unit, step = 25.4/16, 0.1*25.4/16
	}
	for i := 0; step < g.LengthMM; i++ {
		step = float64(unit*[...]float64{1, 2, 5}[i%3]) * math.Pow10(i/3)
	}
	if step < unit {
		return u.Length(mm, 1)
	}
	return "about " + u.Length(math.Round(mm/step)*step, 2)
}
