package pass

import (
	"dishwright/cam/work"
	"dishwright/dish"
)

// templates is the ground of templates, of which nothing is a face: they are cut out of
// anywhere in a sheet, which is held down where they leave it.
type templates struct{ whole }

func (templates) Reached(work.Piece) dish.Region { return dish.Nowhere{} }
