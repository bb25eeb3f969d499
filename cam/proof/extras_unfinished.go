package proof

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/dish/extra"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// edgeTolerance is how far, in mm, the edge of an extra may stay short of where it should be.
const edgeTolerance = 0.05

// unfinishedExtras lists which extras are not cut as they should be, and returns an upper
// bound of how far off the worst edge of a cut-out is, mm.
func (c Case) unfinishedExtras(programs []Program, extras []*programExtras) (list []Finding, edge float64) {
	if c.Extras.Empty() {
		return nil, 0
	}
	t := &tally{of: c.budget}
	defer t.flush()
	find := func(p r3.Vec, amount float64, format string, args ...any) {
		f := Finding{Line: 1, Column: 1, Kind: KindExtra, X: p.X, Y: p.Y, Amount: amount, Message: measure.Say(format, args...)}
		f.nameNearestLine(p.Z, programs, extras, t)
		list = append(list, f)
	}
	for _, h := range c.Extras.Holes {
		unfinishedHole(h, programs, find, t)
	}
	unfinishedGrooves(c.Extras.Grooves, programs, find, t)
	for _, o := range c.Extras.CutOuts {
		edge = max(edge, c.unfinishedCutOut(o, programs, find, t)+o.ChordTolerance)
	}
	if len(c.Extras.Runs) > 0 {
		list, edge = append(list, c.wrongRuns(programs, t)...), max(edge, c.Machine.Step())
	}
	return list, edge
}

// reporter takes a finding at a place.
type reporter func(p r3.Vec, amount float64, format string, args ...any)

// clearedDownTo returns what the cutting moves that stay at a depth or below it clear
// in a box.
func clearedDownTo(programs []Program, z float64, lo, hi r2.Vec, t *tally) *cleared {
	return collect(programs, lo, hi, t, func(_ path.Cutter, _ path.Move, _, high float64) bool { return high <= z+volumeTolerance })
}

// collect returns what those cutting moves clear in a box that are wanted, by their lowest
// and their highest place.
func collect(programs []Program, lo, hi r2.Vec, t *tally, want func(c path.Cutter, m path.Move, low, high float64) bool) *cleared {
	var list []capsule
	for _, p := range programs {
		beyond := p.Cutter.Radius() + edgeTolerance
		for _, m := range p.Path.Moves {
			if t.add(1) {
				break
			}
			if m.Kind == path.Traverse || !finite(m.From) || !finite(m.To) || m.Kind == path.Arc && !finite(m.Centre) {
				continue
			}
			a, b := m.Box()
			if a.X > hi.X+beyond || b.X < lo.X-beyond || a.Y > hi.Y+beyond || b.Y < lo.Y-beyond || !want(p.Cutter, m, a.Z, b.Z) {
				continue
			}
			n := len(list)
			list = capsules(list, p.Cutter, m)
			t.add(capsuleLooks * (len(list) - n))
			t.keep(keptCapsule * (len(list) - n))
		}
	}
	return layOut(list, lo, hi, edgeTolerance, t)
}

// unfinishedHole searches the disc of a hole, floor and wall, for a place that lies
// farther than edgeTolerance outside what is cut.
func unfinishedHole(h extra.Hole, programs []Program, find reporter, t *tally) {
	middle, r := r2.Vec{X: h.X, Y: h.Y}, r2.Vec{X: h.Radius, Y: h.Radius}
	low := clearedDownTo(programs, h.Bottom, r2.Sub(middle, r), r2.Add(middle, r), t)
	if at, ok := low.coversDisc(middle, h.Radius, middle, h.Radius); !ok {
		find(r3.Vec{X: at.X, Y: at.Y, Z: h.Bottom}, finiteOr(low.shortfall(at), h.Radius), "%s is not cut to its depth of %v and its diameter of %v", h.Name, measure.To(-h.Bottom, 2), measure.To(2*h.Radius, 2))
	}
}

// coversDisc reports whether all of a disc lies within edgeTolerance of what is cleared, and
// else where it may not. It looks at the part of the disc in a square, and halves that
// both ways until it knows. The shortfall changes no faster than the place: from the place q
// of the disc that is nearest to the square's middle no place of that part is farther away
// than half of the square's diagonal, for what brings the places of the square to the
// nearest ones of a disc, which is convex, brings none farther apart.
func (x *cleared) coversDisc(middle r2.Vec, radius float64, at r2.Vec, half float64) (r2.Vec, bool) {
	off := r2.Sub(at, middle)
	d, around := r2.Norm(off), float64(half*math.Sqrt2)
	if d-around > radius {
		return at, true
	}
	q := at
	if d > radius {
		q = exact.AddScaled2(middle, off, radius/d)
	}
	short := x.shortfall(q)
	switch {
	case short+around <= edgeTolerance:
		return q, true
	case short > edgeTolerance, around <= leastSquare, x.tally.over:
		return q, false
	}
	for k := range 4 {
		part := r2.Vec{X: at.X + float64(half/2*float64(k&1*2-1)), Y: at.Y + float64(half/2*float64(k&2-1))}
		if q, ok := x.coversDisc(middle, radius, part, half/2); !ok {
			return q, false
		}
	}
	return q, true
}

// leastSquare is half the diagonal, in mm, of the smallest square that is tried: what
// stands short by as much less than edgeTolerance may count as too much.
const leastSquare = 0.5e-3

// unfinishedGrooves searches each groove for a place that no move cuts.
func unfinishedGrooves(grooves []extra.Groove, programs []Program, find reporter, t *tally) {
	if len(grooves) == 0 {
		return
	}
	var all []r3.Vec
	var boxes []r2.Box // as far about each as what follows it may lie
	for _, g := range grooves {
		all, boxes = append(all, g.Path...), append(boxes, boxAbout(g.Path, grooveTolerance))
	}
	near := func(m path.Move) bool {
		lo, hi := m.Box()
		return slices.ContainsFunc(boxes, func(b r2.Box) bool {
			return lo.X <= b.Max.X && hi.X >= b.Min.X && lo.Y <= b.Max.Y && hi.Y >= b.Min.Y
		})
	}
	line := path.Cutter{} // only its middle counts
	var tips []Program
	for _, p := range programs {
		tips = append(tips, Program{Cutter: line, Path: p.Path})
	}
	box := boxAbout(all, 0)
	cut := collect(tips, box.Min, box.Max, t, func(_ path.Cutter, m path.Move, low, _ float64) bool { return low < 0 && near(m) })
	for _, g := range grooves {
		for i := 1; i < len(g.Path); i++ {
			if p, ok := cut.followed(g.Path[i-1], g.Path[i]); !ok {
				find(p, g.Depth, "%s is not cut here", g.Name)
				break
			}
		}
	}
}

// boxAbout returns the box in plan that lies so far about places.
func boxAbout(places []r3.Vec, by float64) r2.Box {
	b := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	for _, p := range places {
		b.Min = r2.Vec{X: min(b.Min.X, p.X-by), Y: min(b.Min.Y, p.Y-by)}
		b.Max = r2.Vec{X: max(b.Max.X, p.X+by), Y: max(b.Max.Y, p.Y+by)}
	}
	return b
}

// grooveTolerance is how far, in mm, the tip may pass beside a groove's bottom, and how far
// above it.
const grooveTolerance = 2 * volumeTolerance

// followed reports whether the tip passes every place of a groove's straight bottom, and else
// a place where it does not. Where one piece of a move passes both ends of a part it passes
// all of it: with the share of the part goes the same share of the way between the two
// places of the piece; the distance between the two is convex, and the height of one over
// the other is linear. A part no longer than volumeTolerance is cut by what passes its ends:
// every cutter is wider.
func (x *cleared) followed(a, b r3.Vec) (r3.Vec, bool) {
	pa, pb := r2.Vec{X: a.X, Y: a.Y}, r2.Vec{X: b.X, Y: b.Y}
	inA, inB := false, false
	for _, i := range x.at(pa) {
		if k := &x.list[i]; k.passes(a) {
			if inA = true; k.passes(b) {
				return a, true
			}
		}
	}
	if !inA || x.tally.over {
		return a, false
	}
	for _, i := range x.at(pb) {
		inB = inB || x.list[i].passes(b)
	}
	length := r2.Norm(r2.Sub(pb, pa))
	if !inB || !(length > volumeTolerance) {
		return b, inB
	}
	mid := exact.AddScaled3(a, r3.Sub(b, a), 0.5)
	if p, ok := x.followed(a, mid); !ok {
		return p, false
	}
	return x.followed(mid, b)
}

// passes reports whether the tip passes a place of a groove's bottom.
func (k *capsule) passes(p r3.Vec) bool {
	d, share := segmentDistance(k.from.X, k.from.Y, k.to.X, k.to.Y, p.X, p.Y)
	return d <= grooveTolerance && k.from.Z+float64(share*(k.to.Z-k.from.Z)) <= p.Z+grooveTolerance
}

// unfinishedCutOut searches a cut-out's edge for a place that is not cut through (over
// a tab: not down to it), and returns for a template how far off its edge is at most.
//
// A line h outside the edge, all of it cleared, parts the piece from what stands beyond
// it: nothing that hangs together with the piece stands out by more than h. So the edge is
// off by at most the least such h, or by how far a cutter comes inside it, if that is more.
func (c Case) unfinishedCutOut(o extra.CutOut, programs []Program, find reporter, t *tally) (edge float64) {
	out := newOutside(o, programs, t)
	if p, what := out.cutAt(edgeTolerance); what != "" {
		find(r3.Vec{X: p.X, Y: p.Y, Z: o.Bottom}, finiteOr(out.through.shortfall(p), o.Slot.Width), "%s is not cut %s here", o.Name, what)
		return o.Slot.Width // what stands there may reach across
	}
	if !c.TemplatesOnly {
		return 0
	}
	cut, uncut := edgeTolerance, 0.0
	for cut-uncut > edgeStep {
		h := (cut + uncut) / 2
		if _, what := out.cutAt(h); what == "" {
			cut = h
		} else {
			uncut = h
		}
	}
	return max(cut, c.cutInto(o, programs, t))
}

// edgeStep is how closely, in mm, it is found out how far off an edge is: the step
// of written coordinates.
const edgeStep = 1e-4

// outside is what is cleared round a cut-out's edge.
type outside struct {
	extra.CutOut
	through, toTabs *cleared
}

func newOutside(o extra.CutOut, programs []Program, t *tally) outside {
	lo, hi := o.Box()
	out := outside{CutOut: o, through: clearedDownTo(programs, o.Bottom, lo, hi, t)}
	if len(o.Tabs) > 0 { // all of one height
		out.toTabs = clearedDownTo(programs, o.Tabs[0].Top, lo, hi, t)
	}
	return out
}

// cutAt follows the line h outside the edge and returns where it is not cut, and how it
// should be; no text where all of it is.
func (x *outside) cutAt(h float64) (at r2.Vec, what string) {
	points, normals := x.Slot.Line()
	for i, p := range points {
		q, next := points[(i+1)%len(points)], normals[(i+1)%len(points)]
		a, b := exact.AddScaled2(p, normals[i], h), exact.AddScaled2(q, normals[i], h)
		if what := x.cut(a, b, h, normals[i]); what != "" {
			return p, what
		}
		// Round a corner no place of the straight line is farther from it than h.
		if what := x.cut(b, exact.AddScaled2(q, next, h), h, normals[i], next); what != "" {
			return q, what
		}
	}
	return at, ""
}

// cut is cutAt for a straight part of the line, with the normals of the sides that it belongs
// to: at a corner what a tab leaves of either side may stand.
func (x *outside) cut(a, b r2.Vec, h float64, normals ...r2.Vec) (what string) {
	const through, toTab = "through the blank", "down to its tab"
	length, free := r2.Norm(r2.Sub(b, a)), math.Inf(1)
	if len(x.Tabs) > 0 {
		for _, n := range normals {
			axis := exact.AddScaled2(exact.AddScaled2(a, r2.Sub(b, a), 0.5), n, x.CutterRadius-h)
			free = min(free, x.TabClearance(axis.X, axis.Y)-(x.CutterRadius+besideTab))
		}
	}
	switch {
	case free-length/2 >= 0: // it changes no faster than the place
		if !x.through.covers(a, b) {
			return through
		}
	case free+length/2 <= 0 || length <= volumeTolerance:
		if !x.toTabs.covers(a, b) {
			return toTab
		}
	default:
		mid := exact.AddScaled2(a, r2.Sub(b, a), 0.5)
		if what := x.cut(a, mid, h, normals...); what != "" {
			return what
		}
		return x.cut(mid, b, h, normals...)
	}
	return ""
}

// besideTab is how much longer, in mm, a tab may be left at either end.
const besideTab = 1.0

// cutInto returns how far cutters come inside a cut-out's edge at most, mm. What they cut in
// a groove is none of the edge's.
func (c Case) cutInto(o extra.CutOut, programs []Program, t *tally) (most float64) {
	lo, hi := o.Box()
	near := collect(programs, lo, hi, t, func(k path.Cutter, m path.Move, low, _ float64) bool {
		return low < 0 && !c.inSomeGroove(k, m, t)
	})
	points, _ := o.Slot.Line()
	for i, a := range points {
		b := points[(i+1)%len(points)]
		near.rows(a, b, 0, func(cell int) bool {
			for _, n := range near.cells[cell] {
				k := &near.list[n]
				d := apart(a, b, r2.Vec{X: k.from.X, Y: k.from.Y}, r2.Vec{X: k.to.X, Y: k.to.Y})
				most = max(most, k.reach-d)
			}
			return !t.add(1 + 4*len(near.cells[cell]))
		})
	}
	return most
}

// finiteOr returns v, or other where v is no number.
func finiteOr(v, other float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return other
	}
	return v
}

// nameNearestLine names the line that comes nearest to what is not cut down to z, of the
// programs that cut only extras; the last program where there is none.
func (f *Finding) nameNearestLine(z float64, programs []Program, extras []*programExtras, t *tally) {
	least := math.Inf(1)
	for i, p := range programs {
		if i == len(programs)-1 && math.IsInf(least, 1) {
			f.Program = p.Name
		}
		if !extras[i].cutsOnlyExtras() {
			continue
		}
		for _, m := range p.Path.Moves {
			if lo, _ := m.Box(); m.Kind == path.Traverse || !(lo.Z < 0) {
				continue
			}
			if t.add(movePieces(m)) {
				return
			}
			if d := math.Hypot(planDistance(m, f.X, f.Y), m.To.Z-z); d < least {
				least = d
				f.Program, f.Line, f.Column = p.Name, m.Source.Line, m.Source.Column
			}
		}
	}
}
