package cam

import (
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"

	"gonum.org/v1/gonum/spatial/r3"
)

// BeyondTravel compares all that the programs of several setups run over, in the one
// place that the zero keeps, with the travel, and the places of a layout where the blank's
// top is touched.
func BeyondTravel(w work.Piece, programs []work.Program, l work.Layout) work.Problems {
	var all work.Program
	for _, p := range programs {
		if all.Cutter = p.Cutter; p.Cutter.Diameter < all.Cutter.Diameter {
			all.Cutter = p.Cutter
		}
		all.Sections = append(all.Sections, p.Sections...)
	}
	if ps := work.BeyondTravel(w.Work, []work.Program{all}); len(ps) > 0 || w.ZeroAtBed {
		return ps
	}
	touch := path.Move{}
	for _, t := range l {
		for _, s := range t.Setups {
			if x, y, ok := TouchIn(w, l, s); ok {
				touch.To = r3.Vec{X: x, Y: y, Z: w.Clearance()}
				all.Sections = append(all.Sections, work.Section{Moves: []path.Move{touch}})
			}
		}
	}
	return work.BeyondTravel(w.Work, []work.Program{all})
}

// Beyond returns by how much more than the travel the finishing passes of a cutter run over,
// mm; not positive where they fit.
func Beyond(w work.Piece, c path.Cutter) (float64, error) {
	s, err := pass.Finishing(w, c, w.Allowance)
	if err != nil {
		return 0, err
	}
	size := r3.Sub(w.RunsOver(work.Program{Cutter: c, Sections: []work.Section{s}}), w.Machine.Travel)
	return max(size.X, size.Y), nil
}
