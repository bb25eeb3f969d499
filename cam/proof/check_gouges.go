package proof

import (
	"slices"

	"dishwright/cam/path"
	"dishwright/dish/measure"
)

// checkGouges lists the moves that gouge, and keeps the worst of all programs.
func (j *checker) checkGouges(cut Cut, worst *Gouge, program int) {
	w, over := deepestGouge(j.limits.Face, j.stays, []Cut{cut}, j.tally)
	if len(over) > 0 && !j.limits.Extras.Empty() {
		j.checkBottoms(over)
		w, over = deepestGouge(j.limits.Face, j.stays, []Cut{{cut.Cutter, j.outsideExtras(cut.Moves, over)}}, j.tally)
	}
	if w.Move >= 0 && (program == 0 || w.Amount > worst.Amount) {
		w.Cut = program
		*worst = w
	}
	for _, g := range over {
		below := "the face"
		if g.Below != "" {
			below = g.Below
		}
		if g.Amount >= UnknownDepth {
			j.report(KindGouge, g.Source, g.X, g.Y, g.Amount, "how far the cutter goes below %s is not known", below)
			continue
		}
		j.report(KindGouge, g.Source, g.X, g.Y, g.Amount, "the cutter goes %v below %s", measure.To(g.Amount, 4), below)
	}
}

// checkBottoms finds holes and cut-outs that are cut below their bottom, each where it is
// deepest: a move that is lies below the face's limit.
func (j *checker) checkBottoms(over []Gouge) {
	var deepest []Gouge // of each
	for _, g := range over {
		v := j.extras.volume(g.Move)
		if v.over == 0 {
			continue
		}
		k := slices.IndexFunc(deepest, func(d Gouge) bool { return j.extras.volume(d.Move).name == v.name })
		if k < 0 {
			deepest = append(deepest, g)
		} else if v.over > j.extras.volume(deepest[k].Move).over {
			deepest[k] = g
		}
	}
	for _, g := range deepest {
		v, thick := j.extras.volume(g.Move), j.limits.Blank.Thickness
		format, deep := "%s is cut %v deep; it is to be %v", -v.bottom
		if deep >= thick {
			format, deep = "%s is cut %v into the board of waste below the blank; it is to be %v", deep-thick
		}
		j.report(KindExtra, g.Source, g.X, g.Y, v.over, format, v.name, measure.MM(deep+v.over).Against(deep), measure.MM(deep).Against(deep+v.over))
	}
}

// outsideExtras returns the moves without those that lie in an extra's volume, where
// going below the face is no gouge: of a program that cuts only extras all that cut,
// of another those that were found to gouge.
func (j *checker) outsideExtras(moves []path.Move, over []Gouge) (rest []path.Move) {
	free := map[int]bool{}
	for _, g := range over {
		free[g.Move] = j.extras.volume(g.Move).inside
	}
	only := j.extras.cutsOnlyExtras()
	for i, m := range moves {
		if lo, _ := m.Box(); !free[i] && !(only && lo.Z < 0 && j.extras.volume(i).inside) {
			rest = append(rest, m)
		}
	}
	return rest
}
