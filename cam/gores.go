package cam

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// gores is the finishing by sectors: the face is divided into equal gores, and
// in each of them straight parallel passes run along its own middle line, so
// that none is further than half a gore's angle from the slope. A level end that
// moves along the slope sweeps like a far larger ball, and all passes meet the
// rim at even distances, each gore's a quarter of one step aside: so the passes
// of two neighbours meet their seam half a step apart.
//
// All passes are one chain, in from the rim and out again; each turn in the
// middle (a unit of two passes) runs round on the face.
type gores struct {
	work   Piece
	cutter path.Cutter
	tool   tool
	budget budget
	gores  int
	each   int       // passes in a gore
	tan    float64   // of half a gore's angle
	half   float64   // tangent of a quarter of a gore's angle
	across []float64 // places of the passes across their gore, from −v to +v
	ends   []float64 // how far along their gore they run
	turns  float64   // radius of the turns at the rim of a hollow
	axes   []r2.Vec  // unit vectors along the gores
	shift  []float64 // of each kind of unit: how far from the seam it turns, mm
	units  []goreUnit
	step   float64 // widest between passes
	least  float64 // least between passes
	seam   float64 // so many steps across a seam its passes run on for
	moat   float64 // of a crown: radius on which the cutter's axis runs round it
	run    float64 // length in plan
}

// gorePass is one pass: a leg along its line and, of the one that goes through
// the apex, a last piece to there.
type gorePass struct {
	gore    int
	v       float64
	in, end float64 // places along the gore
	apex    bool    // from in on to the apex
}

// goreUnit is a pass inwards, the turn at its end, and the pass outwards.
type goreUnit struct {
	size   float64    // length of the turn
	passes []gorePass // two, or the last one of an odd number
	turn   []r2.Vec   // places from the end of the first to the start of the second, both included
}

// goresSuit says why gores are nothing for a cutter on a face.
func goresSuit(f dish.Face, c path.Cutter) string {
	switch {
	case f.Kind == dish.Flat:
		return "a flat face has no slope to go along"
	case c.FlatRadius() == 0:
		return "a ball gains nothing by going along the slope"
	}
	return ""
}

// The numbers of gores that are tried: with fewer the passes near a seam run too
// far off the slope, with more the seams take more than is won.
const (
	fewestGores = 4
	mostGores   = 16
)

// Of goresTried numbers of gores, the likely shortest, the turns are settled,
// until goresKept of them have come out well.
const (
	goresTried = 5
	goresKept  = 2
)

// planGores works out the shortest of the numbers of gores.
func planGores(w Piece, c path.Cutter, b budget) (passes, error) {
	if why := goresRefuse(w.Work, c, b); why != nil {
		return nil, why
	}
	var list []*gores
	var last error
	guess := 2 * fewestGores
	for n := fewestGores; n <= mostGores; n++ {
		g, err := spacedGores(w, c, b, n, guess)
		if err != nil {
			last = err
			continue
		}
		guess = g.count()
		list = append(list, g)
	}
	slices.SortStableFunc(list, func(a, b *gores) int { return cmp.Compare(a.run, b.run) })
	var best *gores
	kept := 0
	for _, g := range list[:min(goresTried, len(list))] {
		if kept == goresKept {
			break
		}
		if !g.settle() {
			continue
		}
		kept++
		if best == nil || g.run < best.run {
			best = g
		}
	}
	switch {
	case best != nil:
		return best, nil
	case len(list) > 0:
		return nil, Problems{{KindScallop, KeyPattern, fmt.Sprintf("gores of passes with %s leave more than the scallop where they meet", c.Name), "pattern: raster"}}
	}
	return nil, last
}

// goresRefuse is the refusal of what gores cannot do.
func goresRefuse(w *Work, c path.Cutter, b budget) error {
	t := newTool(w.Face, c)
	if err := apexOver(w, c, t, b); err != nil {
		return err
	}
	if w.Direction != Both {
		return Problems{{KindPattern, KeyDirection, fmt.Sprintf("gores run in all directions, in and out, not %s", w.Direction), "direction: both, or pattern: raster"}}
	}
	if mustClimb(t, c) {
		return Problems{{KindRamp, KeyPattern, fmt.Sprintf("gores also go down the slope, which is steeper at the rim than %s may go down into stock", c.Name), "pattern: raster, which then only climbs, or a ball cutter"}}
	}
	return nil
}

// spacedGores divides the face into n gores and spaces their passes; the length
// is an estimate.
func spacedGores(w Piece, c path.Cutter, b budget, n, guess int) (*gores, error) {
	g := &gores{work: w, cutter: c, tool: newTool(w.Face, c), budget: b, gores: n}
	if w.Face.Kind == dish.Crown {
		g.moat = moatRadius(w.Face, c)
	}
	x, y := unit(0.5 / float64(n))
	g.tan = y / x
	g.half = y / (1 + x)
	for k := range n {
		x, y := unit(float64(k) / float64(n))
		g.axes = append(g.axes, r2.Vec{X: x, Y: y})
	}
	if err := g.space(guess / n); err != nil {
		return nil, err
	}
	if m := g.estimate(); m > mostMoves {
		return nil, tooLong(m)
	}
	// Passes end about at their seams; half a turn at either end belongs to each.
	// What the turns and the overlaps take, in steps (fitted to planned gores):
	turns := 1.4 + 0.17/g.tan
	if g.moat > 0 {
		turns = 0.6 + 0.2/g.tan
	}
	if g.each%2 == 1 && n%2 == 1 { // the last gore meets the first out of turn
		turns += 0.25
	}
	for _, v := range g.across {
		g.run += float64(float64(n) * (g.about(v) + float64(turns*g.step)))
	}
	return g, nil
}

// estimate returns about how many moves the passes take: a chord over a curve
// of radius R leaves it by L²/8R.
func (g *gores) estimate() float64 {
	piece := math.Sqrt(8 * min(g.tool.face.Radius, 1e6) * g.budget.chord)
	n := 0.0
	for _, v := range g.across {
		n += float64(float64(g.gores) * (g.about(v)/piece + 16))
	}
	return n
}

// about returns about how long a pass is, from its seam to the rim.
func (g *gores) about(v float64) float64 {
	return max(0, reach(max(g.moat, g.tool.rimReach()), v)-math.Abs(v)/g.tan)
}

// goresShy is where a gore's first pass stands beyond its seam, as a share of the
// step over it: the last one of the gore before then stands three times as far
// off, and along the seam the passes of the two alternate evenly.
const goresShy = 0.25

// place divides the circle on which the cutter touches the rim evenly among the
// passes, so many in each gore, but for the steps over seams, which are that
// share of the others. It returns the passes' places across a gore.
func (g *gores) place(each int, share float64) []float64 {
	d := g.tool.rimReach()
	vs := make([]float64, each)
	for k := range vs {
		_, y := unit(((float64(k)+float64(goresShy*share))/(float64(each-1)+share) - 0.5) / float64(g.gores))
		vs[k] = float64(d * y)
	}
	return vs
}

// seamShares are the shares that are tried: where two gores meet, both passes
// turn to the seam the side on which a level end off the slope leaves more.
var seamShares = [...]float64{1, 0.97, 0.94, 0.91, 0.88, 0.85, 0.8, 0.75, 0.7, 0.6, 0.5}

// space finds the smallest number of passes in a gore that leaves no scallop over
// the budget, and how far out they run.
func (g *gores) space(guess int) error {
	for _, share := range seamShares {
		if err := g.number(share, guess); err != nil {
			return err
		}
		g.seam = mostSeam
		if guess = g.each; g.meets() {
			break
		}
	}
	least, most := 1.0, mostSeam
	for range 6 {
		if g.seam = (least + most) / 2; g.meets() {
			most = g.seam
		} else {
			least = g.seam
		}
	}
	g.seam = most
	return nil
}

// mostSeam is how many steps across a seam passes run on for at most.
const mostSeam = 2.0

// rowShy keeps the scallops between passes off the very budget, so that the seams,
// of which they are part, have room for what stands between the places looked at.
const rowShy = 0.99

// mostGorePasses is far more than any sensible plan; the places that are looked
// at grow with them.
const mostGorePasses = 8000

// number finds the smallest number of passes with that share over the seams,
// from a guess.
func (g *gores) number(share float64, guess int) error {
	h := float64(rowShy * g.budget.ridge)
	keeps := func(each int) bool {
		vs := g.place(each, share)
		for _, k := range [...]int{each/2 - 1, 0, each - 2} {
			if g.ridge(vs[k], vs[k+1]) > h {
				return false
			}
		}
		return true
	}
	lo, hi, most := max(1, guess-1), max(2, guess), mostGorePasses/g.gores
	for by := 1; hi <= most && !keeps(hi); by *= 2 {
		lo, hi = hi, hi+by
	}
	if hi > most {
		return Problems{{KindMoves, KeyPattern, fmt.Sprintf("%s would take more than %d passes in gores", g.cutter.Name, mostGorePasses), "pattern: raster, a larger scallop, or a larger cutter"}}
	}
	for by := 1; lo > 1 && keeps(lo); by *= 2 {
		lo, hi = max(1, lo-by), lo
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; keeps(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	g.each = hi
	g.across = g.place(hi, share)
	g.step, g.least = 0, math.Inf(1)
	for k := 1; k < hi; k++ {
		s := g.across[k] - g.across[k-1]
		g.step, g.least = max(g.step, s), min(g.least, s)
	}
	return nil
}

// outer returns how far along its gore a pass runs, so that the rim is served.
func (g *gores) outer(k int) float64 {
	v, in, out := g.across[k], 0.0, 0.0
	if g.moat > 0 {
		return reach(g.moat, v)
	}
	if k > 0 {
		in = v - g.across[k-1]
	}
	if k+1 < len(g.across) {
		out = g.across[k+1] - v
	}
	// Across a seam the next pass runs another way, and leaves more to this one.
	if in == 0 {
		in = float64(g.seam * out)
	}
	if out == 0 {
		out = float64(g.seam * in)
	}
	if v < 0 {
		in, out = out, in
	}
	return g.tool.runOn(math.Abs(v), in, out) + g.work.Machine.Step() + g.step/coverShare
}

// meets reports whether the rim is served between the last pass of a gore and
// the first one of the next.
func (g *gores) meets() bool {
	last := len(g.across) - 1
	a, b := g.across[last], g.across[0]
	endA, endB := g.outer(last), g.outer(0)
	pass := func(gore int, v, end, x, y float64) float64 {
		return g.leaves(g.spot(gore, max(0, end-4*g.tool.radius()), v), g.spot(gore, end, v), r2.Vec{X: x, Y: y})
	}
	rim := g.tool.face.Rim
	step := 1 / float64(g.count())
	const places = 128
	for i := range places + 1 {
		x, y := unit(0.5/float64(g.gores) + float64((float64(i)/places-0.5)*2*step))
		x, y = float64(x*rim), float64(y*rim)
		z := min(pass(0, a, endA, x, y), pass(1, b, endB, x, y))
		if i > places/4 && i < places*3/4 && !(g.tool.face.Over(rim, z) <= g.budget.ridge) {
			return false
		}
	}
	return true
}

// ridge returns the highest scallop between passes at v1 < v2 of a gore, from
// where they leave the seam, or the apex and what is looked at there, to the rim.
func (g *gores) ridge(v1, v2 float64) float64 {
	t := g.tool
	if v1+v2 < 0 {
		v1, v2 = -v2, -v1
	}
	if v2-v1 >= 2*t.radius() {
		return math.Inf(1)
	}
	crown := t.face.Kind == dish.Crown
	end := reach(t.rimReach(), max(math.Abs(v1), v2))
	from := min(end, max((v1+v2)/2/g.tan, g.middle(v2-v1)))
	most := 0.0
	if crown {
		most = t.rimRidge(v1, v2)
	}
	const places = 6
	for i := range places + 1 {
		h, x, y := t.ridge(from+float64((end-from)*(float64(i)/places)), v1, v2)
		if crown && dist(x, y) > t.face.Rim {
			continue
		}
		most = max(most, h)
	}
	return most
}

// middle is how far from the apex the passes are looked at in small steps.
func (g *gores) middle(step float64) float64 {
	return min(0.6*g.tool.rimReach(), g.tool.flat+4*step)
}

// name says what the pattern is, with its parameters.
func (g *gores) name() string {
	return fmt.Sprintf("gores(%d gores of %s, steps %.3f to %.3f mm)", g.gores, measure.Count(g.each, "pass"), g.least, g.step)
}

// count is how many passes there are, in and out alike.
func (g *gores) count() int { return g.gores * g.each }

func (g *gores) widest() float64 { return g.step }

// length returns how far the passes and the turns between them run, in plan.
func (g *gores) length() float64 { return g.run }

// height returns the tip's height at a place, lifted for the chords.
func (g *gores) height(x, y float64) float64 { return g.tool.tip(x, y) + g.budget.lift }
