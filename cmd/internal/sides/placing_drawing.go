package sides

import (
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/figure"
	"dishwright/dish/rim"
)

// Laid draws the rim in its dish or under its board: in the one that the job states, else in
// the dish that it takes; nothing where a board that is not stated sands it.
func (r *Result) Laid(size figure.Size) []*figure.Figure {
	t, u := r.Report.Tool, r.Job.Ruler
	v := figure.PlacedView{Outline: r.outline(), Edges: r.Body.FlatLines()}
	if r.Body.Top.Kind != rim.Plane {
		v.Apex = &r.Body.Top.Apex
	}
	least := figure.Disc{X: r.laid.least.At.X, Y: r.laid.least.At.Y, Radius: t.LeastMM / 2}
	dish := func(x, y, across float64) figure.Disc { return figure.Disc{X: x, Y: y, Radius: across / 2} }
	title := ""
	switch {
	case t.boarded():
		title = "the board on the rim, " + u.Length(t.HasMM, 0) + " long"
		r.drawBoard(&v)
	case len(t.Placings) > 0:
		title = "two placings in the dish, " + u.Length(t.HasMM, 0) + " across"
		v.Circle = &least
		for _, p := range t.Placings {
			v.Dishes = append(v.Dishes, dish(p.LayX, p.LayY, t.HasMM))
		}
	case t.HasMM > 0:
		title = "the rim in its dish, " + u.Length(t.HasMM, 0) + " across"
		v.Dishes = []figure.Disc{dish(t.LayX, t.LayY, t.HasMM)}
		if v.Circle = &least; t.UnusedMM >= 1 {
			v.Circle, v.Used = nil, &figure.Disc{X: t.LayX, Y: t.LayY, Radius: t.HasMM/2 - t.UnusedMM}
		}
	case t.Takes == "dish" && t.NeededMM > 0:
		title = "the rim in the dish that it takes with its swing, " + u.Up(t.NeededMM, 0) + " across"
		v.Dishes, v.Circle = []figure.Disc{dish(t.LayX, t.LayY, t.NeededMM)}, &least
	default:
		return nil
	}
	for _, d := range v.Dishes {
		v.Labels = append(v.Labels, figure.Label{At: r2.Vec{X: d.X, Y: d.Y}, Text: u.Length(d.X, 0)})
	}
	return []*figure.Figure{figure.Placed(v, title, size)}
}

// drawBoard draws the board where the body is widest, or on the centre line, and swung to
// either side.
func (r *Result) drawBoard(v *figure.PlacedView) {
	t, along := r.Report.Tool, r.laid.board
	middle := widest(r.Body.Outline)
	if along.X != 0 {
		middle = r2.Vec{X: r.Body.Outline.Length() / 2}
	}
	side := r2.Vec{X: along.Y, Y: along.X}
	at := func(by float64) (corners []r2.Vec) {
		for _, k := range [...]r2.Vec{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}} {
			end := r2.Add(middle, r2.Scale(by+k.X*t.HasMM/2, along))
			corners = append(corners, r2.Add(end, r2.Scale(k.Y*r.Job.Tool.Width/2, side)))
		}
		return corners
	}
	v.Boards = [][]r2.Vec{at(0)}
	if by := min(t.SwingMM, t.ReachMM); by >= 1 {
		v.Swung = [][]r2.Vec{at(-by), at(by)}
	}
}
