package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// starts draws programs that set their axes one after another, or never, among clamps and
// over a face: where the tip stands before is not known.
func (a adversary) starts() *deceit {
	kind := dish.Crown
	if a.often(50) {
		kind = dish.Hollow
	}
	c := Case{Face: must(dish.NewFace(kind, a.scale(60, 600), 50)), Blank: dish.Blank{Shape: dish.Square, Length: 140, Width: 140, Thickness: 40}, MinWood: 5,
		Machine: spindleMachine(), MaxScallop: 100, CellSize: 2}
	if kind == dish.Crown {
		c.Region = dish.Strip{Length: 140, Width: 140}
	}
	clear := traverseClearance
	for range 1 + a.IntN(4) {
		o := path.Obstacle{X: a.within(-70, 70), Y: a.within(-70, 70), Radius: a.within(2, 12), Height: a.within(1, 20)}
		c.Obstacles = append(c.Obstacles, o)
		clear = math.Max(clear, o.Height+traverseClearance)
	}
	nan := math.NaN()
	r := newRoute("1-starts.ngc", a.cutter(3, 12), r3.Vec{X: nan, Y: nan, Z: nan})
	r.Cutter.Core, r.Cutter.DepthOfCut, r.Cutter.FluteLength = 0, 50, 60
	heights := []float64{clear, clear + 3, clear - 0.01, 0.8 * clear, 0.5 * clear, 0.2 * clear, 1, 0.1, 0, -0.5, -3}
	turning := false
	r.event(path.Stop, 0)
	for k := range 1 + a.IntN(7) {
		x, y, z := r.tip.X, r.tip.Y, r.tip.Z
		axes := 1 + a.IntN(7)
		up := k == 0 && a.often(80)
		if up {
			axes = 4
		}
		if axes&1 > 0 {
			x = a.within(-70, 70)
		}
		if axes&2 > 0 {
			y = a.within(-70, 70)
		}
		if axes&4 > 0 {
			if z = heights[a.IntN(len(heights))]; up {
				z = clear
			}
		}
		kind := path.Line
		if up || a.often(20) {
			kind = path.Traverse
		}
		r.to(kind, x, y, z)
		if !turning && z >= clear {
			r.event(path.SpindleOn, 16000)
			r.event(path.Dwell, 10)
			turning = true
		}
	}
	r.to(path.Traverse, r.tip.X, r.tip.Y, clear)
	if turning {
		r.event(path.SpindleOff, 0)
	}
	return &deceit{limits: c, programs: []Program{r.Program}}
}

func (r *route) event(k path.EventKind, v float64) {
	r.Path.Events = append(r.Path.Events, path.Event{Kind: k, Value: v, Before: len(r.Path.Moves), Source: path.Source{Line: len(r.Path.Moves) + 1, Column: 1}})
}

// harms returns what a cutter with its tip at v does that it may not: it stands in a clamp,
// or below the face.
func (d *deceit) harms(c path.Cutter, v r3.Vec) float64 {
	worst := d.gougeAt(endOf(c), v)
	for _, o := range d.limits.Obstacles {
		if off := c.Diameter/2 + o.Radius - math.Hypot(v.X-o.X, v.Y-o.Y); off > 0.01 {
			worst = math.Max(worst, o.Height-v.Z)
		}
	}
	return worst
}

// judgeStart runs the program from many places where the tip may stand at first, doing no
// harm: whatever harm one of the moves then does must have been found by then.
func (d *deceit) judgeStart(a adversary) (lies []lie) {
	const harm = 0.01
	p := d.programs[0]
	said := d.says()
	first := math.MaxInt // the line of the first finding that is one of moves
	for _, f := range said.Findings {
		switch f.Kind {
		case KindSpindle, KindFeed, KindPathMode:
		default:
			if f.Line > 0 {
				first = min(first, f.Line)
			}
		}
	}
	for range 40 {
		at := r3.Vec{X: a.within(-80, 80), Y: a.within(-80, 80), Z: a.scale(0.01, 30)}
		if d.harms(p.Cutter, at) > 0 {
			continue
		}
		for i, m := range p.Path.Moves {
			if m.Source.Line >= first {
				break
			}
			next := r3.Vec{X: given(m.To.X, at.X), Y: given(m.To.Y, at.Y), Z: given(m.To.Z, at.Z)}
			worst, where := math.Inf(-1), next
			for k := 1; k <= 40; k++ {
				v := placeOf(path.Move{From: at, To: next}, float64(k)/40)
				if h := d.harms(p.Cutter, v); h > worst {
					worst, where = h, v
				}
			}
			if worst > harm {
				return []lie{{KindOrder, worst, harm, where.X, where.Y, fmt.Sprintf("%s:%d, not found", p.Name, i+1)}}
			}
			at = next
		}
	}
	return nil
}

// given returns a coordinate that a program has given, or the one that is there.
func given(v, there float64) float64 {
	if math.IsNaN(v) {
		return there
	}
	return v
}
