package cam

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/cam/path"
	"dishwright/dish"
)

// passes are the finishing passes of one pattern, worked out for one cutter and
// not yet laid down.
type passes interface {
	// origin is the pattern with its figures.
	origin() Origin
	// count is how many passes there are.
	count() int
	// widest is the widest step between two of them, mm.
	widest() float64
	// length is about how far they and the links between them run in plan, mm.
	length() float64
	// lay lays them down. stands is how high stock may stand above the face.
	lay(b *builder, stands float64) error
}

// pattern is a way of covering a face with passes.
type pattern struct {
	name string
	// suits returns why the pattern is nothing for a cutter on a face, empty where it is.
	suits func(f dish.Face, c path.Cutter) string
	// plan works its passes out; the errors are Problems.
	plan func(w Piece, c path.Cutter, b budget) (passes, error)

	along  bool   // may its passes all run along X, or all along Y?
	exact  bool   // is it spaced by the exact scallop?
	climbs bool   // do its passes climb alone, where down would be too steep for their cutter?
	steep  string // what they do there, where it is worth saying
}

// patterns are all that can be planned. Of two equally quick ones the first is chosen.
var patterns = []pattern{
	{name: string(WayRaster), suits: always, plan: planRaster, along: true, exact: true, climbs: true,
		steep: "every finishing pass climbs, which takes far longer"},
	{name: string(WaySpokes), suits: spokesSuit, plan: planSpokes,
		steep: "passes go down there only between two that are cut, and lie closer for that"},
	{name: string(WayRings), suits: ringsSuit, plan: planRings, exact: true},
}

// banded is the pattern of a mould's edge, and of nothing else.
var banded = pattern{name: string(WayLaps), suits: always, plan: planLaps}

// always suits everything.
func always(dish.Face, path.Cutter) string { return "" }

// Patterns returns the names that a job may ask for, in a fixed order.
func Patterns() []string {
	return names(patterns)
}

func names(list []pattern) (names []string) {
	for _, p := range list {
		names = append(names, p.name)
	}
	return names
}

// SpacedExactly reports whether a pattern is spaced by the exact scallop: over a whole face
// the proof of the programs then decides, and nothing is certified ahead of it.
func SpacedExactly(name string) bool { p, _ := patternOf(name); return p.exact }

// ClimbsAlone reports whether a pattern's passes only climb by themselves where down would
// be too steep for their cutter; others rely on what their own passes have cleared before.
func ClimbsAlone(name string) bool { p, _ := patternOf(name); return p.climbs }

// PatternsFor returns the names of the patterns that there are for a work.
func PatternsFor(w *Work) []string {
	return names(w.ground().patterns())
}

// Suits returns why a pattern is nothing for cutter c on the work's face, empty
// where it is.
func Suits(w *Work, name string, c path.Cutter) string {
	p, ok := patternOf(name)
	if !ok {
		return fmt.Sprintf("there is no pattern %q", name)
	}
	if why := strange(w, p.name); why != "" {
		return why
	}
	if (w.Direction == AlongX || w.Direction == AlongY) && !p.along {
		return fmt.Sprintf("its passes do not all run %s", w.Direction)
	}
	return p.suits(w.Face, c)
}

// strange returns why a pattern is none for what is cut, empty where it is one, or Auto.
func strange(w *Work, pattern string) string {
	if _, known := patternOf(pattern); !known || pattern == Auto || slices.Contains(PatternsFor(w), pattern) {
		return ""
	}
	return w.ground().foreign(pattern)
}

// patternOf returns the pattern of that name; auto, where nobody has chosen, is
// the raster, which suits everything.
func patternOf(name string) (pattern, bool) {
	if name == Auto {
		return patterns[0], true
	}
	for _, p := range append([]pattern{banded}, patterns...) {
		if p.name == name {
			return p, true
		}
	}
	return pattern{}, false
}

// planPasses works out the passes of the piece's pattern with c.
func planPasses(w Piece, c path.Cutter) (passes, error) {
	name, own := w.Method.Pattern, w.ground().patterns()
	if name == Auto {
		name = own[0].name
	}
	p, ok := patternOf(name)
	if !ok {
		return nil, Problems{{KindPattern, KeyPattern, fmt.Sprintf("there is no pattern %q", name), strings.Join(Patterns(), ", ") + ", or auto"}}
	}
	if why := Suits(w.Work, p.name, c); why != "" {
		return nil, Problems{{KindPattern, KeyPattern, fmt.Sprintf("%s with %s: %s", p.name, c.Name, why), "another pattern or cutter, or pattern: auto"}}
	}
	p = own[slices.IndexFunc(own, func(o pattern) bool { return o.name == p.name })]
	made, err := p.plan(w, c, newBudget(w.Work, c, w.Share))
	var long tooLong
	if errors.As(err, &long) {
		return nil, p.enough(w, c, long)
	}
	return made, err
}

// tooLong is the error of a planner that would need about so many moves, more
// than mostMoves.
type tooLong float64

func (n tooLong) Error() string { return fmt.Sprintf("about %.0f moves", float64(n)) }

// enough returns the refusal of a work that takes n moves, with a scallop that
// would do: moves grow about in inverse proportion to the scallop.
func (p pattern) enough(w Piece, c path.Cutter, n tooLong) error {
	more, hint := *w.Work, "a larger ball, a flat or a bull leaves less"
	at := float64(w.Scallop * float64(n) / mostMoves * 1.1)
	for range 20 {
		more.Scallop = math.Ceil(at*1000) / 1000
		if _, err := p.plan(w.Of(more), c, newBudget(&more, c, w.Share)); err == nil {
			hint = fmt.Sprintf("%s would be enough for this cutter; %s", mm(more.Scallop), hint)
			break
		}
		at = float64(at * 1.5)
	}
	return Problems{{KindMoves, KeyScallop, fmt.Sprintf("a scallop of %s with %s takes over %d moves", mm(w.Scallop), c.Name, mostMoves), hint}}
}
