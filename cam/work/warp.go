package work

import (
	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// Warp returns what the work's programs are laid for: the machine's errors where its
// profile has them corrected, and the plane of the blank's top.
func (w *Work) Warp() path.Warp {
	out := path.Warp{Zero: w.ProgramZero(), High: w.Clearance()}
	if e := w.Machine.Errors; e.Corrected {
		out.Scale, out.Lean = e.Scale, e.Lean
	}
	if w.Top != nil {
		out.A, out.B, out.C = w.Top.A, w.Top.B, w.Top.C
	}
	return out
}

// ToldDeepest returns what the machine may be told at the lowest, for a tip that goes no
// deeper than z anywhere on the blank. 0, which is no depth, stays what it is.
func (w *Work) ToldDeepest(z float64) float64 {
	if z == 0 {
		return 0
	}
	return w.Warp().LowestCompensated(z, w.Blank.OuterRadius())
}

// TopAt returns how high the machine finds the blank's top at a place, in the face frame.
func (w *Work) TopAt(x, y float64) float64 {
	if w.Top == nil {
		return 0
	}
	return float64(w.Top.A*x) + float64(w.Top.B*y) + w.Top.C
}

// rises returns how far the blank's top lies above the machine's level at most, over the
// blank.
func (w *Work) rises() float64 {
	if w.Top == nil {
		return 0
	}
	return max(0, w.Top.C+float64(w.Top.Slope()*w.Blank.OuterRadius()))
}

// Compensated returns moves as the machine must be sent along them: on the lattice, never lower
// than they are, and no axis faster than it may go.
func Compensated(w *Work, moves []path.Move) []path.Move {
	warp := w.Warp()
	if warp.IsIdentity() {
		return moves
	}
	g := w.Grid()
	out := placed(moves, func(p r3.Vec) r3.Vec {
		q := warp.Compensated(p)
		return r3.Vec{X: g.Near(q.X), Y: g.Near(q.Y), Z: g.Raise(q.Z)}
	})
	for i, m := range out {
		if d := r3.Sub(m.To, m.From); m.Kind == path.Line && d != (r3.Vec{}) {
			out[i].Feed = min(m.Feed, FloorFeed(w.Machine, w.Machine.FeedAlong(d, m.Feed)))
		}
	}
	return out
}
