package cam

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// roughLaps is the roughing of a mould's edge: layers of laps, each at the level of
// its layer or at the face plus allowance, whichever is higher. They reach as far
// as anything of the finishing cutter does.
func roughLaps(w Piece, c, finish path.Cutter) (s Section, left float64, err error) {
	none := Section{}
	made, err := planLaps(w, finish, newBudget(w.Work, finish, w.Share))
	if err != nil {
		return none, 0, err
	}
	fine := made.(*laps)
	t := newTool(w.Face, c).sunk(deepest(fine.lines, fine.tool.tip)) // its laps reach further out than anything has to be low
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
		line, err := offset(w.band(), in+float64(k*(out-in)/n))
		if err != nil {
			return none, 0, err
		}
		lines = append(lines, line)
	}
	height := func(x, y float64) float64 { return t.tip(x, y) + w.Allowance }
	if dives(c, lines, height) {
		return none, 0, Problems{{KindRamp, rampKey(c), fmt.Sprintf("along the mould's edge laps go down more steeply than %s may into stock", c.Name), "a ball cutter for roughing, or one with a greater ramp"}}
	}
	layers, depth, err := lapLayers(c, deepest(lines, height), c.DepthOfCut-biteMargin-r.cusp()-float64(w.Face.RimSlope()*step))
	if err != nil || layers == 0 {
		return none, w.Allowance, err
	}
	f, ok := NewFeeds(w.Machine, c, 0, depth)
	if !ok {
		return none, 0, Problems{cannotRun(w.Work, c)}
	}
	b := newBuilder(w, f)
	for k := 1; k <= layers; k++ {
		level, above := float64(-float64(k)*depth), float64(-float64(k-1)*depth)
		layer := lapLayer{cutter: c, tool: t, height: height, above: above, level: level, apart: (out - in) / n}
		layer.lay(b, lines)
		if len(b.moves) > mostMoves {
			return none, 0, Problems{{KindMoves, depthOfCutKey(c), fmt.Sprintf("roughing with %s in %d layers takes over %d moves", c.Name, layers, mostMoves), "a greater depth of cut, or a wider cutter"}}
		}
	}
	s = Section{Purpose: Roughing, Pattern: Origin{Way: WayLaps, Figures: fmt.Sprintf("%s of %.3f mm, %d round, %.1f mm apart", measure.Count(layers, "layer"), depth, len(lines), (out-in)/n)}, Passes: layers, Widest: step, Feeds: f, Moves: b.moves}
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
	if most < leastLayer {
		return 0, 0, tooLittle(c, c.DepthOfCut+leastLayer-most)
	}
	layers = int(math.Ceil(total/most - fuzz))
	if layers > mostLayers {
		return 0, 0, Problems{{KindMoves, depthOfCutKey(c), fmt.Sprintf("%s would need %d layers", c.Name, layers), "a greater depth of cut"}}
	}
	return layers, total / float64(layers), nil
}
