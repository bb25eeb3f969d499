package work

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"
)

// Budget shares the scallop that is allowed between what passes leave, the chords that
// stand in for curves, and the rounding of coordinates.
type Budget struct {
	Ridge float64 // what the scallops of cutters as worn as they may be may have
	Chord float64 // how far a chord may leave its curve
	Lift  float64 // added to every height, so that no chord gouges
}

// NewBudget gives the chords a hundredth of the scallop, but at least 0.2 µm,
// twice: once for the chord itself and once for a controller that rounds its
// corners. Over a crown a chord runs below its curve, so all heights are lifted
// by twice its deviation. The last 0.2 % cover the search for the spacing.
//
// A certified bound stands up to boundSlack above the truth, and it is the bound
// that has to keep the scallop. On a hollow the chord kept for the controller is
// not in the program, so that only what boundSlack exceeds it by is set aside.
//
// What a spindle out of square takes is set aside first (see tiltTakes), so that the
// passes keep the scallop with it.
//
// However much is allowed, a ball leaves no scallop above a third of its radius:
// between higher ones its steep sides would hardly overlap on a slope.
func NewBudget(w *Work, c path.Cutter, share float64) Budget {
	b, lift := Budget{Chord: max(0.01*w.Scallop, 0.0002)}, w.Face.Lift()
	b.Lift = float64(2 * b.Chord * lift)
	slack := max(0, boundSlack-float64((1-lift)*b.Chord))
	b.Ridge = float64(0.998 * (w.PlannedScallop() - 2*b.Chord - w.rounding() - slack))
	b.Ridge = float64((b.Ridge - tiltTakes(w, c, b.Ridge)) * share)
	if c.Body().Flat == 0 {
		b.Ridge = min(b.Ridge, c.Body().Corner/3)
	}
	return b
}

// rounding returns what rounding moves to the lattice takes of a scallop: one step in Z and,
// in X and Y, at most a tenth of one (the steepest slope times the half step, doubled).
func (w *Work) rounding() float64 { return float64(1.2 * w.Machine.Step()) }

// PlannedScallop returns what a plan's moves may leave, mm: the scallop, less what it takes to
// round them a second time where they are laid for a warp.
func (w *Work) PlannedScallop() float64 {
	if w.Warp().IsIdentity() {
		return w.Scallop
	}
	return w.Scallop - w.rounding()
}

// boundSlack is how far, in mm, a certified scallop may stand above the true one where that
// decides whether the scallop allowed is kept.
const boundSlack = 0.0001

// BridgesApex is the refusal of a cutter whose level end bridges the apex of a
// hollow so far above it that no pass ever keeps there what is allowed of the scallop.
func BridgesApex(w *Work, c path.Cutter, t Tool, allowed float64) error {
	over := w.Face.Over(0, t.Tip(0, 0))
	if over <= allowed {
		return nil
	}
	// What the budget sets aside grows by at most 2 % of the scallop, or 3 of its chords.
	enough := math.Ceil((over+w.Scallop-allowed)*1.03*1000) / 1000
	return Problems{{Kind: KindScallop, Key: KeyScallop,
		Message: measure.Say("the level end of %s cannot go lower than %s above the apex of this hollow; the scallop is %s", c.Name, measure.MM(over), measure.MM(w.Scallop)),
		Instead: []Instead{{KeyScallop, enough, measure.Say("a scallop of at least %s with this one", measure.Enough(enough, 3))}},
		Hint:    measure.Say("a cutter with a smaller level end, such as a ball")}}
}
