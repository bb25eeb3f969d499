package pass

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// Passes are the finishing passes of one pattern, worked out for one cutter: where it goes,
// in plan. At what heights, in which moves and by which ways in and over is told by package
// link.
type Passes struct {
	Origin work.Origin // the pattern with its figures
	Count  int
	Widest float64 // step between two of them, mm
	link.Course
}

// Pattern is a way of covering a face with passes.
type Pattern struct {
	Name string // as a job writes it
	// Suits returns why the pattern is nothing for a cutter on a face, empty where it is; nil
	// where it suits everything.
	Suits func(f dish.Face, c path.Cutter) string
	// Plan works its passes out, where the budget leaves scallops something; the errors are Problems.
	Plan func(w work.Piece, c path.Cutter, b work.Budget) (Passes, error)

	Along  bool   // may its passes all run along X, or all along Y?
	Exact  bool   // is it spaced by the exact scallop? over a whole face nothing is certified ahead of the proof
	Climbs bool   // do its passes climb alone, where down would be too steep for their cutter?
	Steep  string // what they do there, where it is worth saying
}

// plan returns what works the passes of a pattern out, from what spaces them.
func plan[T interface{ passes() Passes }](space func(work.Piece, path.Cutter, work.Budget) (T, error)) func(work.Piece, path.Cutter, work.Budget) (Passes, error) {
	return func(w work.Piece, c path.Cutter, b work.Budget) (Passes, error) {
		spaced, err := space(w, c, b)
		if err != nil {
			return Passes{}, err
		}
		return spaced.passes(), nil
	}
}

// patterns are all that can be planned. Of two equally quick ones the first is chosen.
var patterns = []Pattern{
	{Name: string(work.WayRaster), Plan: plan(newRaster), Along: true, Exact: true, Climbs: true,
		Steep: "every finishing pass climbs, which takes far longer"},
	{Name: string(work.WaySpokes), Suits: spokesSuit, Plan: plan(newSpokes),
		Steep: "passes go down there only between two that are cut, and lie closer for that"},
	{Name: string(work.WayRings), Suits: ringsSuit, Plan: plan(newRings), Exact: true},
}

// lengthwise is the raster of a board.
var lengthwise = Pattern{Name: patterns[0].Name, Plan: plan(newBoard), Along: true, Exact: true, Climbs: true, Steep: patterns[0].Steep}

// banded is the pattern of a mould's edge, and of nothing else.
var banded = Pattern{Name: string(work.WayLaps), Plan: plan(newLaps)}

// Add puts a pattern behind the others; remove takes it out again. Nothing may be read or
// planned while it does.
func Add(p Pattern) (remove func()) {
	before := patterns
	patterns = append(slices.Clone(before), p)
	return func() { patterns = before }
}

// Patterns returns the names that a job may ask for, in a fixed order.
func Patterns() []string {
	return names(patterns)
}

func names(list []Pattern) (names []string) {
	for _, p := range list {
		names = append(names, p.Name)
	}
	return names
}

// ClimbsAlone reports whether a pattern's passes only climb by themselves where down would
// be too steep for their cutter; others rely on what their own passes have cleared before.
func ClimbsAlone(name string) bool { return PatternOf(name).Climbs }

// PatternsFor returns the names of the patterns that there are for a work.
func PatternsFor(w *work.Work) []string {
	return names(GroundOf(w).patterns)
}

// Suits returns why a pattern is nothing for cutter c on the work's face, empty
// where it is.
func Suits(w *work.Work, name string, c path.Cutter) string {
	if why := Strange(w, name); why != "" {
		return why
	}
	p := PatternOf(name)
	if (w.Direction == work.AlongX || w.Direction == work.AlongY) && !p.Along {
		return fmt.Sprintf("its passes do not all run %s", w.Direction)
	}
	if p.Suits == nil {
		return ""
	}
	return p.Suits(w.Face, c)
}

// Strange returns why a pattern is none for what is cut, empty where it is one, or Auto.
func Strange(w *work.Work, pattern string) string {
	if pattern == work.Auto || slices.Contains(PatternsFor(w), pattern) {
		return ""
	}
	return fmt.Sprintf(GroundOf(w).foreign, pattern)
}

// PatternOf returns the pattern of that name; auto, where nobody has chosen, is
// the raster, which suits everything.
func PatternOf(name string) Pattern {
	for _, p := range append([]Pattern{banded}, patterns...) {
		if p.Name == name {
			return p
		}
	}
	return patterns[0]
}

// Plan works out the passes of the piece's pattern with c.
func Plan(w work.Piece, c path.Cutter) (Passes, error) {
	name, own := w.Method.Pattern, GroundOf(w.Work).patterns
	if name == work.Auto {
		name = own[0].Name
	}
	if why := Suits(w.Work, name, c); why != "" {
		return Passes{}, work.Problems{{Kind: work.KindPattern, Key: work.KeyPattern, Message: measure.Say("%s with %s: %s", name, c.Name, why), Hint: measure.Say("another pattern or cutter, or pattern: auto")}}
	}
	p := own[slices.IndexFunc(own, func(o Pattern) bool { return o.Name == name })]
	b := work.NewBudget(w.Work, c, w.Share)
	if b.Ridge <= 0 {
		return Passes{}, tooSmall(w)
	}
	if err := work.BridgesApex(w.Work, c, work.NewTool(w.Face, c), b.Ridge); err != nil {
		return Passes{}, err
	}
	made, err := p.Plan(w, c, b)
	var long tooLong
	if errors.As(err, &long) {
		return Passes{}, p.enough(w, c, long)
	}
	return made, err
}

// tooSmall is the refusal of a scallop that leaves nothing for passes.
func tooSmall(w work.Piece) error {
	return work.Problems{{Kind: work.KindScallop, Key: work.KeyScallop, Message: measure.Say("a scallop of %s is too small for passes of this cutter", measure.MM(w.Scallop)), Hint: measure.Say("a larger scallop")}}
}

// Uncertifiable is the refusal of passes whose scallop the proof could not bound.
func Uncertifiable(w work.Piece, c path.Cutter) error {
	return work.Problems{{Kind: work.KindScallop, Key: work.KeyPattern, Message: measure.Say("the scallop that %s with %s leave cannot be certified for %v", w.Method.Pattern, c.Name, measure.To(w.Scallop, 4)), Hint: measure.Say("another pattern, cutter or scallop")}}
}

// tooLong is the error of a planner that would need about so many moves, more
// than MostMoves.
type tooLong float64

func (n tooLong) Error() string { return fmt.Sprintf("about %.0f moves", float64(n)) }

// enough returns the refusal of a work that takes n moves, with a scallop that
// would do: moves grow about in inverse proportion to the scallop.
func (p Pattern) enough(w work.Piece, c path.Cutter, n tooLong) error {
	more := *w.Work
	var would []work.Instead
	at := float64(w.Scallop * float64(n) / work.MostMoves * 1.1)
	for range 20 {
		more.Scallop = math.Ceil(at*1000) / 1000
		if _, err := p.Plan(w.Of(more), c, work.NewBudget(&more, c, w.Share)); err == nil {
			would = []work.Instead{{Key: work.KeyScallop, MM: more.Scallop, Said: measure.Say("a scallop of at least %s with this cutter", measure.Enough(more.Scallop, 3))}}
			break
		}
		at = float64(at * 1.5)
	}
	return work.Problems{{Kind: work.KindMoves, Key: work.KeyScallop, Message: measure.Say("a scallop of %s with %s takes over %d moves", measure.MM(w.Scallop), c.Name, work.MostMoves),
		Instead: would, Hint: measure.Say("a larger ball, a flat or a bull, which leaves less")}}
}
