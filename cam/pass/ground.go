package pass

import (
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
)

// Ground is what planning has to know of the part of a face that is cut: one type for each
// shape of region. Nothing else asks which shape that is.
type Ground interface {
	// Face is what is cut, such as "the face", and piece what a cut-out takes out of the blank.
	Face() string
	Piece() string
	// Fit compares the part with the blank.
	Fit(w *work.Work) work.Problems
	// patterns are those of its finishing passes, the one that is taken unasked first.
	patterns() []Pattern
	// foreign says why another pattern is none of them.
	foreign(pattern string) string
	// layers plans roughing with c ahead of finishing with finish; see Roughing.
	layers(w work.Piece, c, finish path.Cutter) (s work.Section, left float64, err error)
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
	// Lattice is into how many steps a blank is divided where land is looked for beside it.
	Lattice() int
	// Out measures how far out a place is, and within is the region of what lies no
	// farther out: passes that run anywhere within it leave what is beside it.
	Out(x, y float64) float64
	Within(out float64) dish.Region
}

// GroundOf returns that of the work's region.
func GroundOf(w *work.Work) Ground {
	switch r := w.Region.(type) {
	case dish.Strip:
		return board{strip: r}
	case *dish.Band:
		return mould{band: r}
	case dish.Nowhere:
		return templates{}
	}
	if w.Face.Falls() {
		return crown{}
	}
	return whole{}
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
