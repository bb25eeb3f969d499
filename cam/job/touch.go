package job

import (
	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/dish"
)

// touchOff reads how the zero is found by hand.
func (l *loader) touchOff(w *cam.Work) {
	if !l.root.Has("touch off") {
		return
	}
	m, ok := l.root.Map("touch off")
	if !ok {
		return
	}
	m.Allow(key.Under("touch off")...)
	l.mark("touch off/", m)
	if !m.Require("on", "corner") {
		return
	}
	w.TouchOff.On, _ = m.Word("on", cam.TouchWords()...)
	if m.Has("block") {
		w.TouchOff.Block = l.mm(m, "block", 0, 200)
	}
}

// touchable sees that what is to be touched is there. It comes last: the face and the
// extras are known by then.
func (l *loader) touchable(w *cam.Work) {
	square := w.Blank.Shape == dish.Square || w.Blank.Shape == dish.Rectangle
	hole := false
	for _, h := range w.Extras.Holes {
		hole = hole || h.Key == cam.KeyCentreHole
	}
	m, ok := l.root.Map("touch off")
	if !ok || w.Blank.Length == 0 {
		return
	}
	switch on := w.TouchOff.On; {
	case (on == cam.TouchCorner || on == cam.TouchEdges) && l.root.Has("setups"):
		l.fault(m, "on", "the sides of a blank that is cut in several setups may be out of the machine's reach", "on: diagonals, or centre hole")
	case on == cam.TouchCorner && !square:
		l.fault(m, "on", "a "+w.Blank.Shape.String()+" blank has no corner to touch off on", "on: edges, or diagonals")
	case on == cam.TouchHole && !hole:
		l.fault(m, "on", "the job has no centre hole to touch off in", "extras: {centre hole: 8 mm}, drilled before the face is cut; or on: diagonals")
	case on == cam.TouchApex && w.Face.Kind != dish.Crown:
		l.fault(m, "on", "the apex of this face is cut away: nothing can be touched off there", "on: diagonals; Z0 is touched off on the land")
	case on == cam.TouchApex && w.ZeroAtBed:
		l.fault(m, "on", "Z0 is on the bed, not on the apex", "zero: centre-top, or on: diagonals")
	}
}
