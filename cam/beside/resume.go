package beside

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"

	"gonum.org/v1/gonum/spatial/r3"
)

// Resumed is what is left of a section that was stopped part-way.
type Resumed struct {
	From     int     // the first move of the section that is made again
	Repeated float64 // how much of what was cut is gone over once more, mm
	Entry    r3.Vec  // where the cutter comes down
	Moves    []path.Move
}

// Resume returns the moves that finish a section of which the moves before stopped
// are done. It goes back along what was cut until so much of it is repeated, or to
// where the cutter last came down, and enters there from above: through the air to
// just over what stands in the cutter's width, which stands(x, y) tells, then down at
// the plunge feed into what it has cut itself. stopped is an index of moves; it must
// not be beyond the last move that cuts.
func Resume(w *work.Work, f work.Feeds, moves []path.Move, stopped int, overlap float64, stands func(x, y float64) float64) Resumed {
	first := stopped
	for first < len(moves) && moves[first].Kind == path.Traverse { // stopped in the air: with what comes next
		first++
	}
	out := Resumed{From: first}
	for out.From > 0 && out.Repeated < overlap {
		m := moves[out.From-1]
		if m.Kind == path.Traverse || m.From.Z > w.Clearance()-w.Grid().Step/2 {
			break // here the cutter came down
		}
		out.Repeated += m.Length()
		out.From--
	}
	out.Entry = moves[out.From].From
	b := link.NewBuilder(work.Whole(w), f)
	b.Over(out.Entry, stands(out.Entry.X, out.Entry.Y))
	b.Line(out.Entry, f.Plunge)
	out.Moves = append(b.Moves, moves[out.From:]...)
	return out
}

// Exchange returns moves that were laid for one cutter as another of the same shape
// has to make them over the face: each place as much higher or lower as the lowest
// tip height is, which differs with their radii. What is nowhere near the face, such
// as layers of roughing, is raised where it has to be, but not lowered.
func Exchange(w *work.Work, old, now path.Cutter, finishing bool, moves []path.Move) []path.Move {
	g := w.Grid()
	up := w.Clearance() - g.Step/2
	shift := func(p r3.Vec) r3.Vec {
		if p.Z > up { // from there it comes down
			return p
		}
		d := w.Face.Distance(p.X, p.Y)
		by := w.Face.Tip(now.Body(), d) - w.Face.Tip(old.Body(), d)
		if math.IsNaN(by) || !finishing && by < 0 {
			by = 0
		}
		if by != 0 {
			p.Z = g.Raise(p.Z + by)
		}
		return p
	}
	out := make([]path.Move, len(moves))
	for i, m := range moves {
		if m.Kind != path.Traverse {
			m.From, m.To = shift(m.From), shift(m.To)
		}
		out[i] = m
	}
	// Traverses lead to and from what has moved.
	for i := range out {
		if out[i].Kind != path.Traverse {
			continue
		}
		if i > 0 && out[i-1].Kind != path.Traverse {
			out[i].From = out[i-1].To
		}
		if i+1 < len(out) && out[i+1].Kind != path.Traverse && out[i].To != out[i+1].From {
			out[i].To.Z = max(out[i].To.Z, out[i+1].From.Z)
			out[i+1].From = out[i].To
		}
	}
	return out
}
