package job

import (
	"dishwright/cam/work"
	"dishwright/dish"
)

// touchOff reads how the zero is found by hand.
func (l *Reader) touchOff(w *work.Work) {
	if m, ok := l.Root.Section("touch off"); ok {
		w.TouchOff.On, w.TouchOff.Block = m.Word("on"), m.Amount("block")
	}
}

// touchable sees that what is to be touched is there. It comes last: the face and the
// extras are known by then.
func (l *Reader) touchable(w *work.Work) {
	square := w.Blank.Shape == dish.Square || w.Blank.Shape == dish.Rectangle
	hole := false
	for _, h := range w.Extras.Holes {
		hole = hole || h.Key == work.KeyCentreHole
	}
	m, ok := l.Root.Peek("touch off")
	if !ok || w.Blank.Length == 0 {
		return
	}
	fault := func(message, hint string) { l.Doc.Fault(m.Pos("on"), message, hint) }
	switch on := w.TouchOff.On; {
	case (on == work.TouchCorner || on == work.TouchEdges) && l.Root.Has("setups"):
		fault("the sides of a blank that is cut in several setups may be out of the machine's reach", "on: diagonals, or centre hole")
	case on == work.TouchCorner && !square:
		fault("a "+w.Blank.Shape.String()+" blank has no corner to touch off on", "on: edges, or diagonals")
	case on == work.TouchHole && !hole:
		fault("the job has no centre hole to touch off in", l.like("extras: {centre hole: 8 mm}")+", drilled before the face is cut; or on: diagonals")
	case on == work.TouchApex && !w.Face.Falls():
		fault("the apex of this face is cut away: nothing can be touched off there", "on: diagonals; Z0 is touched off on the land")
	case on == work.TouchApex && w.ZeroAtBed:
		fault("Z0 is on the bed, not on the apex", "zero: centre-top, or on: diagonals")
	}
}
