package cam

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
)

// board is the ground of a board: a strip along X about the apex.
type board struct {
	whole
	strip dish.Strip
}

func (board) piece() string { return "the board" }

func (g board) fit(w *Work) (ps Problems) {
	b := g.strip
	if w.Blank.Inside(b.Length/2, b.Width/2) < 0 {
		ps.add(KindSize, KeyLength, fmt.Sprintf("a board of %s by %s does not lie within the blank", mm(b.Length), mm(b.Width)), "a shorter or narrower board, or a larger blank with its length along X")
	}
	if w.Face.Cylinder {
		if off := dish.CylinderDeparture(w.Wanted, b.Width); off > w.Scallop {
			ps.add(KindScallop, KeyWidth, fmt.Sprintf("a cylinder of radius %s is %s off the sphere across a width of %s, more than the scallop of %s", mm(w.Wanted), mm(off), mm(b.Width), mm(w.Scallop)),
				fmt.Sprintf("a width of at most %s, or curve: spherical", mm(math.Floor(2*math.Sqrt(w.Scallop*(2*w.Wanted-w.Scallop))*10)/10)))
		}
	}
	return ps
}

func (board) patterns() []pattern {
	raster := patterns[0]
	raster.plan = planBoard
	return []pattern{raster}
}

func (board) foreign(pattern string) string {
	return "a board is cut in a raster along its length, not in " + pattern
}

func (board) layers(w Piece, c, finish path.Cutter) (Section, float64, error) {
	return roughBoard(w, c, finish)
}

func (board) cleared(w Piece, c, finish path.Cutter) dish.Region {
	return dish.Grown{Region: boardAxes(w, c, finish), By: c.Radius()}
}

// reached is as far beyond the sides of a board as the cutters go; before they are chosen,
// as far as the widest one reaches along a side.
func (g board) reached(w Piece) dish.Region {
	reach := widestNamed(w) / 2
	finish, known := w.Cutter(w.Method.Finish)
	rough, ok := w.Cutter(w.Method.Rough)
	if !ok {
		rough = finish
	}
	if !known {
		return dish.Grown{Region: g.strip, By: reach}
	}
	axes := boardAxes(w, rough, finish)
	reach = max(reach, max(axes.Length-g.strip.Length, axes.Width-g.strip.Width)/2+rough.Radius())
	return dish.Grown{Region: g.strip, By: reach}
}

func (g board) landFrom(w Piece, d r2.Vec) float64 {
	return (float64(g.strip.Length*math.Abs(d.X))+float64(g.strip.Width*math.Abs(d.Y)))/2 + widestNamed(w)/2 + 1
}

func (board) lattice() int                     { return 80 }
func (g board) out(x, y float64) float64       { return g.strip.Around(x, y) }
func (g board) within(out float64) dish.Region { return dish.Grown{Region: g.strip, By: out} }

// boardAxes returns the rectangle that the axis of a cutter stays within over a board: the
// board itself, for over a hollow a cutter touches what lies outward of it; and what
// roughing has to clear beyond that for the sides of the finishing cutter.
func boardAxes(w Piece, c, finish path.Cutter) dish.Strip {
	far := w.strip().Length/2 + newTool(w.Face, c).runsOver(w.Machine.Step())
	out := w.strip().Width / 2
	r := boardRough{piece: w, cutter: c, tool: newTool(w.Face, c)}
	if _, err := r.spread(finish); err == nil { // else nothing is planned with the two
		far, out = max(far, r.end(1, 0)), max(out, r.vs[len(r.vs)-1])
	}
	return dish.Strip{Length: 2 * far, Width: 2 * out}
}
