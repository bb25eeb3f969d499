package choose

import (
	"errors"
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/pass"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// inSetups plans a work that is divided between setups: the fewest that the machine's
// travel allows, one where that is enough.
func inSetups(w work.Piece, left *effort) (Choice, error) {
	if w.Setups.Count == work.AutoSetups {
		one := *w.Work
		one.Setups = work.Setups{}
		if c, err := inOne(w.Of(one), left); err == nil || !travels(err) {
			return c, err
		}
	}
	if w.Setups.Unstated {
		return Choice{}, unstated(w.Work)
	}
	return inSeveral(w, left)
}

// unstated asks for the index error of a work that takes several setups.
func unstated(w *work.Work) error {
	p := work.Problem{Kind: work.KindSetups, Key: work.KeySetups, Message: measure.Say("a face of %v takes several setups on %s, and how well the blank lies again each time is not stated", measure.To(2*w.Face.Rim, 0), w.Machine.Name),
		Hint: measure.Say("index error: %v", indexText(work.IndexError{Shift: 0.1, Turn: 0.05 * math.Pi / 180, Height: usualHeight}))}
	if f, ok := divided(w, &effort{looks: mostTried}); ok {
		p.Hint = measure.Say("index error: %v, if the blank lies as well as that", indexText(f.Work.Setups.Error))
	}
	return work.Problems{p}
}

// inSeveral plans a work in two setups or more, every tile with the cutters and the pattern
// that are quickest in the first. The passes are spaced for what an index error leaves of the
// scallop, where that is something.
func inSeveral(w work.Piece, left *effort) (Choice, error) {
	if ps := tooFar(w.Work); len(ps) > 0 {
		return Choice{}, ps
	}
	var firstErr error
	turned := w.Of(turnable(*w.Work))
	for _, layout := range work.Layouts(w) {
		c, err := tiles(turned, layout, left)
		if err == nil {
			c.Plan.Work.Scallop = w.Scallop
			return c, nil
		}
		if !travels(err) || work.KindSize.In(err) { // no division brings a face onto its blank
			return c, err
		}
		firstErr = keep(firstErr, err)
	}
	return Choice{}, tooLarge(w.Work, firstErr, left)
}

// turnable returns a work as its tiles are planned: for straight moves, for a turned arc in an
// upright plane is none that a program can say, and for the scallop that is left for passes.
func turnable(w work.Work) work.Work {
	w.Scallop = spaced(&w)
	w.Machine.Arcs = false
	return w
}

// tooFar refuses an index error that leaves nothing of the scallop whatever its height:
// no passes are fine enough for it.
func tooFar(w *work.Work) (ps work.Problems) {
	sideways, _ := w.Adds()
	if w.Scallop-sideways >= max(work.LeastScallop, leastShare*w.Scallop) {
		return nil
	}
	hint := measure.Say("a larger scallop")
	if _, shift := AllowedIndexErrors(w); shift >= 0.001 {
		hint = measure.Say("an index error of at most %v aside, or a larger scallop", measure.MM(math.Floor(shift*1000)/1000))
	}
	return work.Problems{{Kind: work.KindScallop, Key: work.KeyIndexError,
		Message: measure.Say("a blank that lies %v aside adds %v to the scallops on a face this steep: of the %v allowed too little is left for its passes", measure.MM(w.Setups.Error.Shift), measure.To(sideways, 4), measure.To(w.Scallop, 4)),
		Hint:    hint}}
}

// leastShare is the share of the scallop below which nothing useful is left for the
// scallops: then the passes are laid as if the height were sure, and what it adds breaks
// the bound.
const leastShare = 0.25

// spaced returns the scallop that passes are laid for.
func spaced(w *work.Work) float64 {
	sideways, height := w.Adds()
	for _, s := range [...]float64{w.Scallop - sideways - height, w.Scallop - sideways} {
		// Half a hundredth for the rounding of what is certified.
		if s = math.Floor(0.995e6*s) / 1e6; s >= max(work.LeastScallop, leastShare*w.Scallop) {
			return s
		}
	}
	return w.Scallop
}

// AllowedIndexErrors returns the index errors in mm, in height and by shift, up to which
// passes can be laid that keep the work's scallop: that in height with the stated shift,
// that by shift with none in height.
func AllowedIndexErrors(w *work.Work) (height, shift float64) {
	sideways, _ := w.Adds()
	most := w.Scallop - max(work.LeastScallop, leastShare*w.Scallop)/0.995
	height = max(0, most-sideways)
	if sideways > 0 {
		shift = max(0, w.Setups.Error.Shift*most/sideways)
	}
	return height, shift
}

// tiles plans the tiles of a layout, all but the first by its method.
func tiles(w work.Piece, layout work.Layout, left *effort) (all Choice, err error) {
	method := w.Method
	for i, t := range layout {
		c, err := inOne(w.By(method).In(t), left)
		if err != nil {
			return all, err
		}
		if i == 0 {
			all = c
			all.Plan.Programs = nil
			all.Plan.Layout = layout
			method = work.Method{Rough: c.Plan.Rough, Finish: c.Plan.Finish, Pattern: c.Plan.Pattern, Share: w.Share}
		}
		for _, s := range t.Setups {
			for _, p := range c.Plan.Programs {
				all.Plan.Programs = append(all.Plan.Programs, p.In(w.Work, s))
			}
		}
		all.Plan.Left = max(all.Plan.Left, c.Plan.Left)
	}
	if ps := cam.BeyondTravel(w, all.Plan.Programs, layout); len(ps) > 0 {
		return all, ps
	}
	return all, nil
}

// travels reports whether a work is refused because of the machine's travel, within which
// also what is touched must lie.
func travels(err error) bool {
	return work.KindTravel.In(err) || work.KindLand.In(err)
}

// tooLarge says that a face is too large for any setup, and which would not be, as far as that
// can be found out with what is left to spend.
func tooLarge(w *work.Work, why error, left *effort) error {
	how, hint := ", however it is divided", measure.Say("a machine with more travel")
	if d := largest(w, left); d > 0 {
		hint = measure.Say("a diameter of at most %v, or %v", measure.Most(d, 0), hint)
	}
	if n := w.Setups.Count; n != work.AutoSetups {
		how = fmt.Sprintf(" in %d setups", n)
		v := *w
		v.Setups.Count = work.AutoSetups
		if n := planned(&v, left); n > 0 {
			hint = measure.Say("setups: %d, or %v", n, hint)
		}
	}
	p := work.Problem{Kind: work.KindTravel, Key: work.KeyDiameter, Message: measure.Say("a face of %v is too large for %s%s", measure.To(2*w.Face.Rim, 0), w.Machine.Name, how), Hint: hint}
	var ps work.Problems
	if errors.As(why, &ps) && len(ps) > 0 {
		p.Kind, p.Message = ps[0].Kind, measure.Say("%v: %v", p.Message, ps[0].Message)
	}
	return work.Problems{p}
}

// largest returns a diameter in whole millimetres that can be planned, within two
// hundredths of the greatest; 0 where none from half the rim on can.
func largest(w *work.Work, left *effort) float64 {
	fits := func(d float64) bool {
		v := *w
		f, err := w.Face.WithRim(d / 2)
		v.CutAll(f)
		return err == nil && planned(&v, left) > 0
	}
	lo, hi := math.Ceil(w.Face.Rim/2), math.Floor(2*w.Face.Rim)
	if !fits(lo) {
		return 0
	}
	for hi > max(1.02*lo, lo+1) {
		if d := math.Floor((lo + hi) / 2); fits(d) {
			lo = d
		} else {
			hi = d
		}
	}
	return lo
}

// surelyOver is how many steps beyond a tile passes run on that are sure to close up.
const surelyOver = 1.0

// reaches reports whether a work with a named cutter gets round the first tile of a layout
// within the machine's travel. Its passes are not certified: they are taken to run as far on
// as they ever have to.
func reaches(w work.Piece, l work.Layout) bool {
	v := w.In(l[0])
	c, _ := v.Cutter(v.Method.Finish)
	passes, err := pass.Plan(v, c)
	if err != nil {
		return false
	}
	v.Over = l[0].Sector.Margin + surelyOver*passes.Widest
	p, err := cam.With(v, passes)
	return err == nil && len(cam.BeyondTravel(w, p.Programs, nil)) == 0
}

const (
	// seamSteps is how many steps within a tile's border a scallop has to lie to be put down to
	// passes that end too soon.
	seamSteps = 2.0
	// leastOn and mostOn are by which shares of the steps beyond the tile passes run on again,
	// about as the root of the scallop over what is allowed.
	leastOn, mostOn = 1.15, 1.6
	// mostOver is so many steps beyond it that every pattern has closed its passes up.
	mostOver = 4.0
)

// extension is the last lengthening of a tile's passes, and the scallop that it was to
// lower.
type extension struct {
	done  bool
	over  float64
	ridge proof.Scallop
}

// further lengthens a tile's passes where the highest scallop stands near a border. One
// that it did not lower stands there for another reason: it is taken back.
func (f *finishing) further(r proof.Scallop) bool {
	t := f.piece.Tile
	if e := f.extended; e.done && r.X == e.ridge.X && r.Y == e.ridge.Y {
		f.piece.Over, f.extended = e.over, extension{ridge: r}
		return false
	}
	by, _ := t.Sector.Off(r.X, r.Y)
	same := f.extended.ridge.X == r.X && f.extended.ridge.Y == r.Y
	if same || by < -seamSteps*f.section.Widest || f.piece.Over > t.Sector.Margin+mostOver*f.section.Widest {
		return false
	}
	f.extended = extension{true, f.piece.Over, r}
	on := min(mostOn, max(leastOn, math.Sqrt(r.Found/f.piece.Scallop)))
	f.piece.Over = t.Sector.Margin + float64((f.piece.Over-t.Sector.Margin)*on)
	return true
}
