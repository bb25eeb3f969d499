package beside

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// skimStep is how many radii of the level end two passes of a skim stand apart: a
	// quarter of each is cut twice, and between their ends at an edge nothing is left.
	skimStep = 1.5
	// skimInset is how many radii of the level end the outermost passes stand inside the
	// blank's sides.
	skimInset = 0.5
)

// Skim plans the program that makes the blank's top flat and true to the machine; ok is
// false where none is asked for. first is the cutter that comes after it, which is taken
// where it will do. The errors are Problems.
func Skim(w *work.Work, first string) (p work.Program, ok bool, err error) {
	if !(w.Skim.Off > 0) {
		return p, false, nil
	}
	c, why := skimCutter(w, first)
	if why != nil {
		return p, false, why
	}
	most := c.DepthOfCut - work.BiteMargin
	if most < pass.LeastLayer {
		return p, false, work.Problems{{Kind: work.KindBite, Key: work.KeySkim, Message: measure.Say("%s may bite only %s: too little to skim with", c.Name, measure.MM(c.DepthOfCut)), Hint: measure.Say("another cutter")}}
	}
	layers := math.Ceil(w.Skim.Off/most - work.Fuzz)
	depth := w.Skim.Off / layers
	f, runs := work.NewFeeds(w.Machine, c, 0, depth)
	if !runs {
		return p, false, work.Problems{work.CannotRun(w, c)}
	}
	b := link.NewBuilder(work.Whole(w), f)
	rows := skimRows(w, c)
	for k := 1.0; k <= layers; k++ {
		z := w.Skim.Off - float64(k*depth)
		if k == layers {
			z = 0
		}
		var places []r3.Vec // back and forth, the first pass entered down a ramp along it
		side := 1.0
		for _, r := range rows {
			places = append(places, b.Place(float64(-side*r.End), r.V, link.Level(z)), b.Place(float64(side*r.End), r.V, link.Level(z)))
			side = -side
		}
		l := link.Linker{Builder: b, Cutter: c, Stands: link.FlatTop(w.Skim.Off - float64((k-1)*depth))}
		l.Cut(b.Along(places))
		b.Lift()
	}
	moves, err := b.Path()
	if err != nil {
		return p, false, err
	}
	figures := measure.Say("%s over the whole top, %s of %v", measure.Count(len(rows), "pass"), measure.Count(int(layers), "layer"), measure.Micro(depth))
	p = work.Then(nil, c, work.Section{Purpose: work.Skim, Passes: len(rows), Widest: float64(skimStep * c.Body().Flat), Feeds: f, Moves: moves,
		Pattern: work.Origin{Way: work.WayRows, Figures: figures}})[0]
	if held := work.NearHoldDowns(work.Whole(w), []work.Program{p}); len(held) > 0 {
		for i := range held {
			held[i].Hint = measure.Say("hold the blank from its sides or from below while its top is skimmed; %s", held[i].Hint)
		}
		return p, false, held
	}
	for _, far := range work.BeyondTravel(w, []work.Program{p}) {
		return p, false, work.Problems{{Kind: work.KindTravel, Key: work.KeySkim, Message: far.Message, Hint: measure.Say("a smaller blank, or plane its top by hand and shim it level")}}
	}
	return p, true, nil
}

// skimCutter returns the cutter that skims: the one that is named, the one that comes
// next, or the widest of the shelf that has a level end and fits the machine.
func skimCutter(w *work.Work, first string) (path.Cutter, error) {
	name := w.Skim.Cutter
	able := func(c path.Cutter) bool {
		_, _, ok := work.Runs(w.Machine, c)
		return ok && c.Body().Flat > 0 && work.TakesShank(w.Machine.Collets, c.Shank)
	}
	if name != "" {
		c, _ := w.Cutter(name)
		if !able(c) {
			return c, work.Problems{{Kind: work.KindCutter, Key: work.KeySkim, Message: measure.Say("%s cannot skim: it needs a level end, a collet and a speed that the machine has", name), Hint: measure.Say("a flat or a bull of the shelf")}}
		}
		return c, nil
	}
	if c, ok := w.Cutter(first); ok && able(c) {
		return c, nil
	}
	var best path.Cutter
	for _, c := range w.Shelf {
		if able(c) && c.Body().Flat > best.Body().Flat {
			best = c
		}
	}
	if best.Name == "" {
		return best, work.Problems{{Kind: work.KindCutter, Key: work.KeySkim, Message: measure.Say("no cutter of the shelf has a level end and fits the machine"), Hint: measure.Say("a flat or a bull on the shelf")}}
	}
	return best, nil
}

// skimRows returns the passes of a skim along X, from one side of the blank to the other:
// each as long as the blank is anywhere within the reach of its level end.
func skimRows(w *work.Work, c path.Cutter) (rows []pass.Row) {
	f := c.Body().Flat
	half := w.Blank.Width / 2
	if w.Blank.Shape != dish.Rectangle {
		half = w.Blank.Length / 2
	}
	// The field of heights in which the proof looks has cells of about this size, and takes
	// those that the edge crosses whole: passes of a narrow level end go on over them.
	cell := min(2, max(0.2, max(w.Blank.Length, w.Blank.Width)/600))
	over := max(0, min(cell, float64(3*cell)-f))
	out := max(0, half-float64(skimInset*f)+over)
	step := min(skimStep*f, max(f/2, float64(2*f)-float64(1.05*cell))) // a whole cell lies under one of two passes
	n := max(1, math.Ceil(2*out/step))
	for k := 0.0; k <= n; k++ {
		v := float64(out * (2*k/n - 1))
		near := max(0, min(half, math.Abs(v))-float64(skimStep/2*f)) // the widest place that it reaches
		edge, _ := exact.Bisect(0, w.Blank.OuterRadius(), 50, func(x float64) bool { return w.Blank.Inside(x, near) > 0 })
		rows = append(rows, pass.Row{V: v, End: edge + over})
	}
	return rows
}
