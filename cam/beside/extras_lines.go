package beside

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/dish/extra"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// lineChord is how far the chords of a line over the face may leave it, mm.
const lineChord = 0.01

// scriber picks the cutter that leaves the narrowest line of a depth, and of two
// that are alike the one that cuts to its middle.
func (e *extrasPlanner) scriber(named string, depth, widest float64, overFace bool) (best path.Cutter, why measure.Said) {
	why = measure.Say("no cutter of the shelf leaves a line narrower than %s", measure.MM(widest))
	least := math.Inf(1)
	for _, c := range e.candidates(named) {
		wide, able := c.Body().Width(depth), e.able(c, depth)
		switch {
		case wide > widest:
			if named != "" {
				why = measure.Say("%s leaves a line %s wide, more than %s", c.Name, measure.MM(wide), measure.MM(widest))
			}
		case !able.Empty():
			why = measure.Say("%s: %s", c.Name, able)
		case c.DepthOfCut < depth+work.BiteMargin:
			why = measure.Say("%s may bite %s, and a depth of %s takes %s with its margin", c.Name, measure.MM(c.DepthOfCut), measure.MM(depth), measure.MM(depth+work.BiteMargin))
		case overFace && c.StickOut < e.w.Face.Sagitta()+work.HolderGap:
			why = measure.Say("%s sticks out too little for the face", c.Name)
		case overFace && c.Core > 0 && work.MustClimb(e.w.Face, c):
			why = measure.Say("the face is steeper than %s may go down", c.Name)
		case wide < least || (wide == least && c.Core < best.Core):
			best, least = c, wide
		}
	}
	return best, why
}

// lines plans the centre lines: on the land from just outside what is cut to the
// blank's edge and a little beyond it, so that they show on the edge; over the face
// as well where that is asked for.
func (e *extrasPlanner) lines() {
	l := e.w.Extras.Lines
	if l == nil {
		return
	}
	c, why := e.scriber(l.Cutter, l.Depth, widestLine, l.Face)
	if c.Name == "" {
		e.cannot("the centre lines", l.Key, l.Cutter, why, measure.Say("a ball of up to %s, or a narrow flat; or scribe them by hand along X0 and Y0", measure.MM(4)))
		return
	}
	wide := math.Ceil(c.Body().Width(l.Depth)*100) / 100
	var ways [][]r3.Vec
	for _, d := range [...]r2.Vec{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
		edge, travel := e.w.Blank.Length/2, e.w.Machine.Travel.X/2
		if d.X == 0 {
			edge, travel = e.w.Blank.Width/2, e.w.Machine.Travel.Y/2
		}
		edge = min(edge+c.Radius()+lineOver, travel)
		if len(e.w.Extras.CutOuts) > 0 { // no farther than over the slot
			edge = min(edge, e.slotEnd(d))
		}
		if land := pass.GroundOf(e.w.Work).LandFrom(e.w, d) + c.Body().HalfWidth(l.Depth); land+leastLine <= edge {
			ways = append(ways, []r3.Vec{at3(d, land, -l.Depth), at3(d, edge, -l.Depth)})
		}
	}
	if l.Face {
		ways = append(ways, e.faceWay(c, r2.Vec{X: 1}, l.Depth), e.faceWay(c, r2.Vec{Y: 1}, l.Depth))
	}
	if len(ways) == 0 {
		e.cannot("the centre lines", l.Key, l.Cutter, measure.Say("there is no land for them"), measure.Say("a larger blank"))
		return
	}
	e.groove("the centre lines", "a centre line", l.Depth, wide, c, ways)
}

// leastLine is how long a line is at least, mm: a shorter one shows nothing, and has no
// room for a ramp.
const leastLine = 1.0

// lineOver is how far a line runs on beyond the blank's edge, mm.
const lineOver = 0.5

func at3(d r2.Vec, u, z float64) r3.Vec {
	return r3.Vec{X: work.Plain(float64(u * d.X)), Y: work.Plain(float64(u * d.Y)), Z: z}
}

// slotEnd returns how far out along a direction the middle of the cut-outs' slots lies.
func (e *extrasPlanner) slotEnd(d r2.Vec) float64 {
	far := 0.0
	for _, c := range e.w.Extras.CutOuts {
		for _, p := range c.Line {
			far = max(far, exact.Dot2(p, d))
		}
	}
	return far + 1
}

// faceWay returns the way of a line over the face, from rim to rim: the face less
// the depth.
func (e *extrasPlanner) faceWay(c path.Cutter, d r2.Vec, depth float64) []r3.Vec {
	f := e.w.Face
	long, wide := e.w.Region.Size()
	end := long / 2
	if d.X == 0 {
		end = wide / 2
	}
	if f.Rises() { // where the cutter's side comes to the land
		end -= c.Radius()
	}
	height := func(x, y float64) float64 { return f.Tip(c.Body(), f.Distance(x, y)) - depth }
	out := exact.Scale2(end, d)
	places := link.Chords(exact.Scale2(-1, out), r2.Vec{}, height, lineChord)
	var way []r3.Vec
	for _, p := range append(places, link.Chords(r2.Vec{}, out, height, lineChord)[1:]...) {
		way = append(way, r3.Vec{X: p.X, Y: p.Y, Z: height(p.X, p.Y)})
	}
	return way
}

// groove adds lines that are cut alike.
func (e *extrasPlanner) groove(title, name string, depth, wide float64, c path.Cutter, ways [][]r3.Vec) {
	g := e.w.Grid()
	for _, way := range ways {
		for i, p := range way {
			way[i] = r3.Vec{X: g.Near(p.X), Y: g.Near(p.Y), Z: g.Raise(p.Z)}
		}
		e.out.Set.Grooves = append(e.out.Set.Grooves, extra.Groove{Name: name, Path: way, Depth: depth, Width: wide})
	}
	e.add(jobOf{c, measure.Say("%s, %v deep and %v wide", title, measure.MM(depth), measure.MM(wide)), title, 0, func(b *link.Builder) {
		l := link.Linker{Builder: b, Cutter: c, Stands: func(p r3.Vec) float64 { return p.Z + depth }, Beside: link.FlatTop(0)}
		if e.w.Face.Falls() { // beside its rim what roughing left may stand, up to the blank's top
			l.Stands = link.FlatTop(0)
		}
		for _, way := range ways {
			l.CutNearer(b.Along(way))
		}
	}})
}

// letters plans a text.
func (e *extrasPlanner) letters(l work.LettersWanted) {
	c, why := e.scriber(l.Cutter, l.Depth, l.Widest, false)
	if c.Name == "" {
		e.leaveOut(l.Name, why, measure.Say("a ball or flat that cuts a line of at most %s at a depth of %s; or write it by hand", measure.MM(l.Widest), measure.MM(l.Depth)))
		return
	}
	var ways [][]r3.Vec
	for _, s := range l.Strokes {
		var way []r3.Vec
		for _, p := range s {
			way = append(way, r3.Vec{X: p.X, Y: p.Y, Z: -l.Depth})
		}
		ways = append(ways, way)
	}
	e.groove(l.Group, l.Name, l.Depth, math.Ceil(c.Body().Width(l.Depth)*100)/100, c, ways)
}
