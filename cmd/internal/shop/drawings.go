package shop

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/draw"
)

// Drawings draws the result as text, stage by stage, up to the given share of
// the whole path (1 is all of it).
func Drawings(r *Result, share float64, look draw.Options) string {
	var b strings.Builder
	w := r.Plan.Work
	total, done := 0.0, 0.0
	for _, t := range r.Texts {
		total += cutting(t.Path.Moves)
	}
	stock := proof.NewStock(w.Blank, Cell(w))
	for i, t := range r.Texts {
		left := share*total - done
		if left <= 0 {
			break
		}
		all := cutting(t.Path.Moves)
		moves := t.Path.Moves
		name := fmt.Sprintf("program %d, %s with %s", i+1, t.Program.Purpose(), t.Program.Cutter.Name)
		if left < all {
			moves = upTo(moves, left)
			name += fmt.Sprintf(", the first %.0f %%", 100*left/all)
		}
		done += all
		stock.Run(t.Program.Cutter, moves)
		fmt.Fprintf(&b, "%s: %s\n\n", name, t.Program.Pattern())
		b.WriteString(draw.Plan(planView(r, moves), look))
		b.WriteByte('\n')
		b.WriteString(draw.Section(sectionView(r, stock, name, moves, t.Program.Cutter), look))
		b.WriteByte('\n')
		b.WriteString(draw.Map(mapView(r, stock, name, i == len(r.Texts)-1), look))
		b.WriteByte('\n')
	}
	if b.Len() == 0 {
		return "nothing is cut yet\n"
	}
	return b.String()
}

// cutting returns the length of the feed moves.
func cutting(moves []path.Move) (n float64) {
	for _, m := range moves {
		if m.Kind != path.Traverse {
			n += m.Length()
		}
	}
	return n
}

// upTo returns the moves until so much has been cut.
func upTo(moves []path.Move, most float64) []path.Move {
	for i, m := range moves {
		if m.Kind == path.Traverse {
			continue
		}
		if most -= m.Length(); most < 0 {
			return moves[:i]
		}
	}
	return moves
}

// planView gathers the passes: runs of feed moves, and the traverses between.
func planView(r *Result, moves []path.Move) draw.PlanView {
	w := r.Plan.Work
	v := draw.PlanView{Blank: w.Blank, Rim: w.Face.Rim}
	for _, h := range w.HoldDowns {
		v.HoldDowns = append(v.HoldDowns, draw.Disc{X: h.X, Y: h.Y, Radius: h.Radius})
	}
	var pass draw.Pass
	flush := func() {
		if len(pass.Points) > 1 {
			v.Passes = append(v.Passes, pass)
		}
		pass = draw.Pass{}
	}
	for _, m := range moves {
		traverse := m.Kind == path.Traverse
		if math.IsNaN(m.From.X) || math.IsNaN(m.To.X) || math.IsNaN(m.From.Y) || math.IsNaN(m.To.Y) || (m.From.X == m.To.X && m.From.Y == m.To.Y) {
			continue
		}
		if n := len(pass.Points); n > 0 && (pass.Traverse != traverse || turns(pass.Points, m)) {
			last := pass.Points[n-1]
			flush()
			pass.Points = []draw.Point{last}
		}
		pass.Traverse = traverse
		if len(pass.Points) == 0 {
			pass.Points = append(pass.Points, draw.Point{X: m.From.X, Y: m.From.Y})
		}
		pass.Points = append(pass.Points, draw.Point{X: m.To.X, Y: m.To.Y})
	}
	flush()
	return v
}

// turns reports whether the move leaves the way of the last two points by more
// than 60 degrees: there one pass ends and the next begins.
func turns(points []draw.Point, m path.Move) bool {
	n := len(points)
	if n < 2 {
		return false
	}
	ax, ay := points[n-1].X-points[n-2].X, points[n-1].Y-points[n-2].Y
	bx, by := m.To.X-m.From.X, m.To.Y-m.From.Y
	return ax*bx+ay*by < 0.5*math.Hypot(ax, ay)*math.Hypot(bx, by)
}

// sectionView cuts through the apex along the passes' own cross direction, so
// that their ridges show.
func sectionView(r *Result, s *proof.Stock, name string, moves []path.Move, c path.Cutter) draw.SectionView {
	w := r.Plan.Work
	half := w.Blank.Length / 2
	v := draw.SectionView{Lo: draw.Point{X: -half, Y: -w.Blank.Thickness}, Hi: draw.Point{X: half, Y: 0}, LeftName: name, Title: "along X through the apex"}
	const n = 481
	d, z := s.Section(0, n)
	for i := range d {
		v.Left = append(v.Left, draw.Point{X: d[i], Y: math.Min(0, z[i])})
		want := 0.0
		if a := math.Abs(d[i]); a <= w.Face.Rim {
			want = w.Face.Height(a)
		}
		v.Wanted = append(v.Wanted, draw.Point{X: d[i], Y: want})
	}
	if len(moves) > 0 && !math.IsNaN(moves[len(moves)-1].To.X) {
		if at := moves[len(moves)-1].To; math.Abs(at.X)+c.Radius() < half && at.Z <= 0 {
			for k := -20; k <= 20; k++ {
				u := c.Radius() * float64(k) / 20
				v.Cutter = append(v.Cutter, draw.Point{X: at.X + u, Y: at.Z + c.Profile(math.Abs(u))})
			}
		}
	}
	return v
}

// mapView shows what stands above the wanted face: after the last program in
// shares of the scallop, before it in shares of what is left for finishing.
func mapView(r *Result, s *proof.Stock, name string, last bool) draw.MapView {
	w := r.Plan.Work
	unit := r.Plan.Left
	if last {
		unit = w.Scallop
	}
	v := draw.MapView{Lo: draw.Point{X: -w.Face.Rim, Y: -w.Face.Rim}, Hi: draw.Point{X: w.Face.Rim, Y: w.Face.Rim}, Unit: "mm", Digits: 3,
		Title:  "left above the wanted face after " + name,
		Levels: []float64{0.25 * unit, 0.5 * unit, 0.75 * unit, unit, 2 * unit, 4 * unit}}
	const cells = 160
	values := s.Left(w.Face, cells, cells)
	for i := len(values) - 1; i >= 0; i-- {
		v.Values = append(v.Values, values[i])
	}
	return v
}
