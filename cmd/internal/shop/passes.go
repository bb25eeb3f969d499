package shop

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/path"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/picture"
)

// passesOf gathers the passes of moves: runs of feed moves, the links between them, and
// the traverses.
func passesOf(moves []path.Move) (list []figure.Pass) {
	var pass figure.Pass
	flush := func() {
		if len(pass.Points) > 1 {
			pass.Link = !pass.Traverse && len(list) > 0 && !list[len(list)-1].Traverse && picture.Length(pass.Points) < turnBack
			list = append(list, pass)
		}
		pass = figure.Pass{}
	}
	for _, m := range moves {
		from, to := r2.Vec{X: m.From.X, Y: m.From.Y}, r2.Vec{X: m.To.X, Y: m.To.Y}
		if from == to || math.IsNaN(from.X+from.Y+to.X+to.Y) {
			continue
		}
		traverse := m.Kind == path.Traverse
		if n := len(pass.Points); n > 0 && (pass.Traverse != traverse || turnsOff(pass.Points, r2.Sub(to, from))) {
			flush()
		}
		pass.Traverse = traverse
		if len(pass.Points) == 0 {
			pass.Points = append(pass.Points, from)
		}
		pass.Points = append(pass.Points, to)
	}
	flush()
	return list
}

// turnBack is how far back, in mm, a pass is looked at to see whether it turns: as far as
// a link between neighbours runs.
const turnBack = 12.0

// turnsOff reports whether a move leaves the way of the last points by more than 60
// degrees: there one pass ends and the next begins.
func turnsOff(points []r2.Vec, by r2.Vec) bool {
	n := len(points)
	if n < 2 {
		return false
	}
	back := n - 2
	for back > 0 && r2.Norm(r2.Sub(points[n-1], points[back])) < turnBack {
		back--
	}
	way := r2.Sub(points[n-1], points[back])
	return r2.Dot(way, by) < 0.5*r2.Norm(way)*r2.Norm(by)
}
