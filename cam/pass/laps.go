package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// laps are closed passes round the edge of a mould, each at one distance from its
// inside line, from the innermost to the outermost, with a short way over from each
// to the next.
type laps struct {
	piece  work.Piece
	cutter path.Cutter
	tool   work.Tool
	budget work.Budget
	lines  [][]r2.Vec // one a lap
	step   float64
}

// newLaps spaces the laps.
//
// Between two laps s apart a rounded corner c leaves at most what a ball of that
// radius leaves on a crown of radius R, about s²/8 (1/c + 1/R) (the sagitta of either
// over s, which bend apart), in whatever direction they run; a level end leaves at most the stair that the face falls
// over s. A bull does the lower of both: its corner passes wherever the other would
// stand. The exact scallop is certified, and the laps brought closer where it is more.
func newLaps(w work.Piece, c path.Cutter, b work.Budget) (*laps, error) {
	l := &laps{piece: w, cutter: c, tool: bandTool(w.Work, c), budget: b}
	if w.Direction == work.Uphill {
		return nil, work.Problems{{Kind: work.KindPattern, Key: work.KeyDirection, Message: measure.Say("laps go up and down with the edge"), Hint: measure.Say("direction: both")}}
	}
	if l.budget.Ridge -= l.tool.Alone(); l.budget.Ridge <= 0 { // roughing asks where they run too
		return nil, tooSmall(w)
	}
	in, out := l.between()
	round, stair := l.apart()
	// The stair is only there under a level end.
	l.step = min(max(round, min(stair, l.tool.Flat)), sideStep*c.Diameter)
	n := math.Ceil((out - in) / l.step)
	if points, _ := w.Band().Line(); n*float64(len(points)) > work.MostMoves {
		return nil, tooLong(n * float64(len(points)))
	}
	l.step = (out - in) / n
	for k := 0.0; k <= n; k++ {
		line, err := lapAt(w.Band(), in+float64(k*l.step))
		if err != nil {
			return nil, err
		}
		l.lines = append(l.lines, line)
	}
	if deep := deepest(l.lines, l.tool.Tip); deep > w.Blank.Thickness-w.Floor {
		return nil, work.Problems{{Kind: work.KindThickness, Key: work.KeyThickness, Message: measure.Say("laps with %s go %s deep at the edge of the band: less than the floor of %s is left under them", c.Name, measure.MM(deep), measure.MM(w.Floor)),
			Hint: measure.Say("a thinner floor, or a blank of at least %s", measure.MM(math.Ceil((w.Floor+deep)*10)/10))}}
	}
	if dives(c, l.lines, l.tool.Tip) {
		return nil, work.Problems{{Kind: work.KindRamp, Key: work.KeyPattern, Message: measure.Say("along the mould's edge laps go down more steeply than %s may into stock", c.Name), Hint: measure.Say("a ball cutter, or one with a greater ramp")}}
	}
	return l, nil
}

// bandTool is the tool over a crown without a moat.
func bandTool(w *work.Work, c path.Cutter) work.Tool {
	t := work.WornTool(w, c)
	t.Low, t.Foot = math.Inf(-1), math.Inf(1)
	return t
}

// dives reports whether the way over the laps goes down more steeply than c may into
// stock, in either sense. What counts is the slope along it: laps about the apex
// hardly have any, however steep the face.
func dives(c path.Cutter, lines [][]r2.Vec, z func(x, y float64) float64) bool {
	if c.Core <= 0 {
		return false
	}
	way := wayRound(lines)
	for i := 1; i < len(way); i++ {
		p, q := way[i-1], way[i]
		if math.Abs(z(q.X, q.Y)-z(p.X, p.Y)) > float64(work.Steep(c)*exact.Dist(q.X-p.X, q.Y-p.Y)) {
			return true
		}
	}
	return false
}

// between returns how far outside the line the innermost and the outermost laps
// run. The cutter touches the crown on its side towards the apex, flat + corner ×
// slope off its axis: where the line's normal points away from the apex the laps
// have to lie that much further out, and where it does not, further in. A quarter
// of the widest step more keeps the scallop beside the outermost within the band or well
// outside it.
func (l *laps) between() (in, out float64) {
	points, normals := l.piece.Band().Line()
	least, most := 1.0, -1.0
	for i, p := range points {
		for _, q := range [...]r2.Vec{p, points[(i+1)%len(points)]} {
			if d := exact.Dist(q.X, q.Y); d > 0 {
				share := (float64(q.X*normals[i].X) + float64(q.Y*normals[i].Y)) / d
				least, most = min(least, share), max(most, share)
			}
		}
	}
	// Outside the line the direction from the apex is a little nearer to the normal.
	most = min(1, most+l.piece.Band().Width/l.piece.Face.Rim)
	off := l.tool.Flat + float64(l.tool.Corner*l.piece.Face.RimSlope())
	over, stair := l.apart()
	if over == 0 {
		over = stair
	}
	return float64(off*least) - over/4, l.piece.Band().Width + float64(off*most) + over/4
}

// apart returns the widest steps that a rounded corner and a level end leave the scallop over;
// 0 where there is no corner.
func (l *laps) apart() (round, stair float64) {
	if l.tool.Corner > 0 {
		round = math.Sqrt(8 * l.budget.Ridge / (1/l.tool.Corner + 1/l.piece.Face.Radius))
	}
	return round, l.budget.Ridge / l.piece.Face.RimSlope()
}

// passes returns the laps, strung together to one way.
func (l *laps) passes() Passes {
	figures := measure.Say("%d round a band of %v, %v apart", len(l.lines), measure.MM(l.piece.Band().Width), measure.Micro(l.step))
	return Passes{Origin: work.Origin{Way: work.WayLaps, Figures: figures}, Count: len(l.lines), Widest: l.step,
		Course: link.Course{Tool: l.tool, Lift: l.budget.Lift, Tol: l.budget.Chord, Ways: []link.Way{{Legs: link.Straight(wayRound(l.lines)...)}}}}
}

// lapOver returns the stretch along a way over a crown, at the heights that z gives and so
// much higher that no chord lies lower: that runs below it, so its ends are raised by what
// its middle lacks.
func lapOver(b *link.Builder, way []r2.Vec, z func(x, y float64) float64) link.Stretch {
	lift, last := make([]float64, len(way)), len(way)-1
	for i, q := range way[1:] {
		p := way[i]
		lack := z((p.X+q.X)/2, (p.Y+q.Y)/2) - (z(p.X, p.Y)+z(q.X, q.Y))/2
		lift[i], lift[i+1] = max(lift[i], lack), max(lift[i+1], lack)
	}
	lift[0] = max(lift[0], lift[min(1, last)])
	closed := last > 0 && way[0] == way[last]
	if closed {
		lift[0] = max(lift[0], lift[last])
		lift[last] = lift[0]
	}
	var places []r3.Vec
	for i, p := range way {
		places = append(places, b.Place(p.X, p.Y, func(x, y float64) float64 { return z(x, y) + lift[i] }))
	}
	if closed {
		return link.Closed(b.Along(places))
	}
	return b.Along(places)
}
