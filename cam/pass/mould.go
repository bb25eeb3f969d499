package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// mould is the ground of a mould's edge: a band of a crown outside a closed line.
type mould struct {
	crown
	band *dish.Band
}

func (g mould) Fit(w *work.Work) (ps work.Problems) {
	if !w.Face.Falls() {
		ps.Add(work.KindSize, work.KeyTopRadius, measure.Say("the edge of a mould is cut to a crown"), measure.Say("a radius for the top"))
	}
	points, normals := g.band.Line()
	least := math.Inf(1)
	for i, p := range points {
		x, y := p.X+float64(g.band.Width*normals[i].X), p.Y+float64(g.band.Width*normals[i].Y)
		least = min(least, w.Blank.Inside(x, y))
	}
	if least < 0 {
		ps.Add(work.KindSize, work.KeyWall, measure.Say("the wall of %s reaches %s beyond the blank", measure.MM(g.band.Width), measure.MM(-least)), measure.Say("a narrower wall, or a larger blank, its middle under the top's apex"))
	}
	return ps
}

func (mould) deepest(w *work.Work, _ path.Cutter) float64 { return w.Face.Sagitta() }

// ahead is the cutter: laps reach as far as those of finishing.
func (mould) ahead(_ *work.Work, finish path.Cutter) any { return finish.Name }

// Reached is as far outside the line as the widest cutter may cut: that of roughing runs on
// by the radius of that of finishing. No land is looked for inside the line.
func (g mould) Reached(w work.Piece) dish.Region {
	return dish.Between{Band: g.band, In: math.Inf(-1), Out: g.band.Width + 2*work.WidestNamed(w)}
}

// cleared is from the innermost lap to the outermost, and where roughing clears the way for
// another cutter as much farther as that one reaches.
func (mould) cleared(w work.Piece, c, finish path.Cutter) dish.Region {
	l := laps{piece: w, cutter: finish, tool: bandTool(w.Work, finish), budget: work.NewBudget(w.Work, finish, w.Share)}
	in, out := l.between()
	beyond := roughOver
	if c.Name != finish.Name {
		beyond += finish.Radius()
	}
	in, out = min(farthestOff(w.Band(), in-beyond), 0), max(farthestOff(w.Band(), out+beyond), w.Band().Width)
	reach := c.Radius() + link.LeastOver
	return dish.Between{Band: w.Band(), In: in - reach, Out: out + reach}
}

// lapCorner is how much farther off, in mm, a lap may have a corner than the outermost one
// has, where the line bends so that laps lose loops: less than a tenth of it is known of.
const lapCorner = 1.0

// farthestOff returns how far off the line of a band a lap runs that lies by off it: in
// corners it may be farther.
func farthestOff(band *dish.Band, by float64) float64 {
	line, err := lapAt(band, by)
	if err != nil { // it is not planned
		return by
	}
	most := math.Abs(by)
	for i, p := range line {
		q := line[(i+1)%len(line)]
		for k := 0.0; k < 4; k++ {
			at := exact.AddScaled2(p, r2.Sub(q, p), k/4)
			most = max(most, math.Copysign(1, by)*band.Outside(at.X, at.Y))
		}
	}
	if most > math.Abs(by)+lapCorner/10 {
		most += lapCorner
	}
	return math.Copysign(most, by)
}
