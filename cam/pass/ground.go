package pass

import (
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
)

// Ground is what planning has to know of the part of a face that is cut: one for each shape
// of it. Nothing else asks which shape that is.
type Ground struct {
	Face, Piece string    // what is cut, such as "the face", and what a cut-out takes out of the blank
	Lattice     int       // into how many steps a blank is divided where land is looked for beside it
	patterns    []Pattern // of its finishing passes, the one that is taken unasked first
	foreign     string    // why another pattern, %s, is none of them
	shape
}

// shape is what depends on how large the part is, and on the cutters.
type shape interface {
	// Fit compares the part with the blank.
	Fit(w *work.Work) work.Problems
	// layers plans roughing with c ahead of finishing with finish; see Roughing.
	layers(w work.Piece, c, finish path.Cutter) (layers, error)
	// deepest is how far finishing goes below the blank's top.
	deepest(w *work.Work, finish path.Cutter) float64
	// cleared is what of the blank passes of c may cut; see Cleared.
	cleared(w work.Piece, c, finish path.Cutter) dish.Region
	// ahead is what of the finishing cutter decides how far roughing clears; see Ahead.
	ahead(w *work.Work, finish path.Cutter) any
	// Reached is what of the blank may be cut by the cutters that the method names, and
	// before they are chosen by any of the shelf.
	Reached(w work.Piece) dish.Region
	// LandFrom is how far from the apex, in a direction, the land begins that is never cut,
	// of a board but for what roughing with a round cutter takes. It is the same before and
	// after the cutters are chosen.
	LandFrom(w work.Piece, d r2.Vec) float64
}

// GroundOf returns that of the work's region.
func GroundOf(w *work.Work) Ground {
	g := Ground{Face: "the face", Piece: "the dish", Lattice: 60, patterns: patterns, foreign: "%s run along the edge of a mould, and this is none", shape: whole{}}
	switch r := w.Region.(type) {
	case dish.Strip:
		return Ground{"the face", "the board", 80, []Pattern{lengthwise}, "a board is cut in a raster along its length, not in %s", board{strip: r}}
	case *dish.Band:
		return Ground{"the mould's edge", "the dish", 40, []Pattern{banded}, "the edge of a mould is cut in laps, not in %s", mould{band: r}}
	case dish.Nowhere:
		g.Piece, g.shape = "each template", templates{}
	case dish.Disc:
		if w.Face.Falls() {
			g.shape = crown{}
		}
	}
	return g
}

// Cleared returns the region of the blank in which passes of a cutter may cut the wood, where
// finish comes after it, or is the same: the part of the face that is cut, and what they run
// over beside it. It is what the patterns need, and in every case as far as a cutter reaches
// whose axis runs along the side. nil where the rim of a hollow ends all cutting.
func Cleared(w work.Piece, c, finish path.Cutter) dish.Region {
	return GroundOf(w.Work).cleared(w, c, finish)
}

// Ahead returns what of a finishing cutter decides how far roughing has to clear for it; nil
// where nothing does. It is comparable.
func Ahead(w *work.Work, finish path.Cutter) any { return GroundOf(w).ahead(w, finish) }
