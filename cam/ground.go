package cam

import (
	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
)

// ground is what planning has to know of the part of a face that is cut: one type for each
// shape of region. Nothing else asks which shape that is.
type ground interface {
	// face is what is cut, such as "the face", and piece what a cut-out takes out of the blank.
	face() string
	piece() string
	// fit compares the part with the blank.
	fit(w *Work) Problems
	// patterns are those of its finishing passes, the one that is taken unasked first.
	patterns() []pattern
	// foreign says why another pattern is none of them.
	foreign(pattern string) string
	// layers plans roughing with c ahead of finishing with finish; see RoughingOf.
	layers(w Piece, c, finish path.Cutter) (s Section, left float64, err error)
	// deepest is how far finishing goes below the blank's top.
	deepest(w *Work, finish path.Cutter) float64
	// cleared is what of the blank passes of c may cut; see Cleared.
	cleared(w Piece, c, finish path.Cutter) dish.Region
	// ahead is what of the finishing cutter decides how far roughing clears; see Ahead.
	ahead(w *Work, finish path.Cutter) any
	// reached is what of the blank may be cut by the cutters that the method names, and
	// before they are chosen by any of the shelf.
	reached(w Piece) dish.Region
	// landFrom is how far from the apex, in a direction, the land begins that is never cut,
	// of a board but for what roughing with a round cutter takes. It is the same before and
	// after the cutters are chosen.
	landFrom(w Piece, d r2.Vec) float64
	// lattice is into how many steps a blank is divided where land is looked for beside it.
	lattice() int
	// out measures how far out a place is, and within is the region of what lies no
	// farther out: passes that run anywhere within it leave what is beside it.
	out(x, y float64) float64
	within(out float64) dish.Region
}

// ground returns that of the work's region.
func (w *Work) ground() ground {
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

// strip is the region of a board.
func (w *Work) strip() dish.Strip { return w.Region.(dish.Strip) }

// band is the region of a mould's edge.
func (w *Work) band() *dish.Band { return w.Region.(*dish.Band) }

// Cleared returns the region of the blank in which passes of a cutter may cut the wood, where
// finish comes after it, or is the same: the part of the face that is cut, and what they run
// over beside it. It is what the patterns need, and in every case as far as a cutter reaches
// whose axis runs along the side. nil where the rim of a hollow ends all cutting.
func (w Piece) Cleared(c, finish path.Cutter) dish.Region {
	return w.ground().cleared(w, c, finish)
}

// Ahead returns what of a finishing cutter decides how far roughing has to clear for it; nil
// where nothing does. It is comparable.
func (w *Work) Ahead(finish path.Cutter) any { return w.ground().ahead(w, finish) }
