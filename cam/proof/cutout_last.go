package proof

import "dishwright/cam/path"

// hanging is the cut-out that has been begun, in whichever program: what it cuts round hangs
// on its tabs from then on, too loosely for anything else to be cut. A pass that was run before
// counts, though it would take nothing where nothing has moved: it lies on the wood.
type hanging struct {
	on   string // its name; empty where none is begun
	told bool   // something else that cuts was found
}

// checkCutOutsLast finds the first move that cuts something else once a cut-out has been begun.
// A cut-out is begun where its slot goes below whatever else may be cut there: in a hole that
// it crosses nothing tells the one from the other. What cuts where nothing may is told of as a
// gouge.
func (j *checker) checkCutOutsLast(h *hanging) {
	if len(j.limits.Extras.CutOuts) == 0 {
		return
	}
	limit := newTipLimit(j.limits.Face, j.program.Cutter)
	lowest := j.limits.MinWood - j.limits.Blank.Thickness
	for i, m := range j.program.Path.Moves {
		if h.told || j.tally.add(gougeLooks) {
			return
		}
		lo, _ := m.Box()
		if m.Kind == path.Traverse || !known(m) || !(lo.Z < j.top) {
			continue
		}
		below := lo.Z < lowest-GougeTolerance || max(limit.depth(m.From), limit.depth(m.To)) > GougeTolerance
		if h.on == "" && !below {
			continue
		}
		v := j.extras.volume(i)
		switch {
		case v.slot != "":
			if h.on == "" && !v.hole {
				h.on = v.slot
			}
		case h.on != "" && (v.inside || !below):
			h.told = true
			j.report(KindOrder, m.Source, m.To.X, m.To.Y, 0, "this cuts after %s is begun, when all that is cut out hangs on its tabs: the cut-outs come last", h.on)
		}
	}
}
