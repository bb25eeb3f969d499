package pass

import (
	"fmt"
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// roughLaps is the roughing of a mould's edge: layers of laps, each at the level of
// its layer or at the face plus allowance, whichever is higher. They reach as far
// as anything of the finishing cutter does.
func roughLaps(w work.Piece, c, finish path.Cutter) (s work.Section, left float64, err error) {
	none := work.Section{}
	fine, err := newLaps(w, finish, work.NewBudget(w.Work, finish, w.Share))
	if err != nil {
		return none, 0, err
	}
	t := work.NewTool(w.Face, c).Sunk(deepest(fine.lines, fine.tool.Tip)) // its laps reach further out than anything has to be low
	ridge := leftBy(w.Work, c, finish)
	if ridge < leastLeft {
		return none, 0, tooLittle(c, leastLeft*4)
	}
	in, out := fine.between()
	beyond := roughOver // so that the sides of finishing's outer laps meet no wall
	if c.Name != finish.Name {
		beyond += finish.Radius()
	}
	in, out = in-beyond, out+beyond
	r := rough{piece: w, cutter: c, tool: t, left: ridge}
	step := min(r.step(w.Face.Rim, false), out-in)
	n := math.Ceil((out - in) / step)
	var lines [][]r2.Vec
	for k := 0.0; k <= n; k++ {
		line, err := lapAt(w.Band(), in+float64(k*(out-in)/n))
		if err != nil {
			return none, 0, err
		}
		lines = append(lines, line)
	}
	height := func(x, y float64) float64 { return t.Tip(x, y) + w.Allowance }
	if dives(c, lines, height) {
		return none, 0, work.Problems{{Kind: work.KindRamp, Key: work.RampKey(c), Message: fmt.Sprintf("along the mould's edge laps go down more steeply than %s may into stock", c.Name), Hint: "a ball cutter for roughing, or one with a greater ramp"}}
	}
	layers, depth, err := lapLayers(c, deepest(lines, height), c.DepthOfCut-work.BiteMargin-r.cusp()-float64(w.Face.RimSlope()*step))
	if err != nil || layers == 0 {
		return none, w.Allowance, err
	}
	f, ok := work.NewFeeds(w.Machine, c, 0, depth)
	if !ok {
		return none, 0, work.Problems{work.CannotRun(w.Work, c)}
	}
	b := link.NewBuilder(w, f)
	for k := 1; k <= layers; k++ {
		level, above := float64(-float64(k)*depth), float64(-float64(k-1)*depth)
		layer := lapLayer{cutter: c, tool: t, height: height, above: above, level: level, apart: (out - in) / n}
		layer.lay(b, lines)
		if len(b.Moves) > work.MostMoves {
			return none, 0, work.Problems{{Kind: work.KindMoves, Key: work.DepthOfCutKey(c), Message: fmt.Sprintf("roughing with %s in %d layers takes over %d moves", c.Name, layers, work.MostMoves), Hint: "a greater depth of cut, or a wider cutter"}}
		}
	}
	s = work.Section{Purpose: work.Roughing, Pattern: work.Origin{Way: work.WayLaps, Figures: fmt.Sprintf("%s of %.3f mm, %d round, %.1f mm apart", measure.Count(layers, "layer"), depth, len(lines), (out-in)/n)}, Passes: layers, Widest: step, Feeds: f, Moves: b.Moves}
	stairs := ridge + skim + float64(w.Face.RimSlope()*step)
	return s, w.Allowance + min(stairs, room(w.Work, finish)), nil
}

// roughOver is how much further in and out than those of finishing the laps of
// roughing run, mm: many times what the chords of either leave their lines by.
const roughOver = 0.5

// deepest returns how far under the blank's top the laps go.
func deepest(lines [][]r2.Vec, height func(x, y float64) float64) float64 {
	total := 0.0
	for _, line := range lines {
		for _, p := range line {
			total = max(total, -height(p.X, p.Y))
		}
	}
	return total
}

// lapLayers divides a depth into layers of at most most; none where there is nothing
// to take.
func lapLayers(c path.Cutter, total, most float64) (layers int, depth float64, err error) {
	if total <= 0 {
		return 0, 0, nil
	}
	if most < LeastLayer {
		return 0, 0, tooLittle(c, c.DepthOfCut+LeastLayer-most)
	}
	layers = int(math.Ceil(total/most - work.Fuzz))
	if layers > mostLayers {
		return 0, 0, work.Problems{{Kind: work.KindMoves, Key: work.DepthOfCutKey(c), Message: fmt.Sprintf("%s would need %d layers", c.Name, layers), Hint: "a greater depth of cut"}}
	}
	return layers, total / float64(layers), nil
}
