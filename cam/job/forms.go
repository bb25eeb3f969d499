package job

import (
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// replacement names, for each key that not every form has, what to do without it.
var replacement = map[string]string{
	"diameter": "a board has length and width, a gauge radii and length", "length": "a dish or caul has a diameter", "width": "a dish or caul has a diameter",
	"radius": "radii: [15 ft, 25 ft]", "radii": "radius: 25 ft; only a gauge has radii", "plate": "only a caul or a pair presses a plate against a dish",
	"curve": "only a board may be cylindrical", "spans": "only a board spans the sides", "swing": "only a board is swung", "covering": "a gauge has no covering", "covering layout": "a gauge has no covering",
	"support": "only a dish is laid down to sand in", "setups": "only a round face, a dish or a caul by itself, is cut in several setups", "index by": "only a round face by itself is cut in several setups", "index error": "only a round face by itself is cut in several setups",
	"skim": "a sheet for gauges is cut as it comes",
	"land": "the land is a flat ring round a face", "height": "only a gauge has a height", "engrave": "only a gauge is engraved",
}

// form reads which tool is made, and finds keys that it does not have.
func (l *loader) form() {
	l.job.Form = l.orWord("form", "a hollow dish", key.Forms()...)
	if l.job.Form == key.Rim {
		l.fault(l.root, "form", "a rim is worked out, not cut as a dish is", "dishwright rim JOB")
		return
	}
	for _, name := range l.root.Keys() {
		hint, special := replacement[name]
		if k, ok := key.Find(name); special && ok && l.job.Form != "" && !k.For(l.job.Form) {
			l.doc.Fault(l.root.KeyPos(name), fmt.Sprintf("a %s has no %s", l.job.Form, name), hint)
		}
	}
}

// face reads radius, size and covering, and makes the face that the wood is cut to.
func (l *loader) face(w *cam.Work) {
	board := l.job.Form == "board"
	l.root.Require("radius", "25 ft")
	radius, okR := l.length(l.root, "radius", 1, mostRadius)
	var rim float64
	var size string
	okD := false
	if board {
		rim, size, okD = l.strip(w)
	} else {
		l.root.Require("diameter", l.usualFace(w))
		l.job.Diameter, okD = l.length(l.root, "diameter", leastDiameter, mostDiameter)
		rim, size = l.job.Diameter.MM/2, "a diameter of "+l.job.Diameter.String()
	}
	covering := measure.Length{}
	if l.root.Has("covering") {
		covering, _ = l.length(l.root, "covering", 0, mostCovering)
	}
	if l.job.Form == "pair" {
		l.root.Require("plate", "3 mm")
	}
	if l.root.Has("plate") {
		l.job.Plate, _ = l.length(l.root, "plate", 0, mostCovering)
	}
	if !okR || !okD {
		return
	}
	l.job.Radius = radius
	l.radii(radius)
	l.inches(l.job.Diameter, l.job.Length, l.job.Width)
	w.Wanted, w.Covering = radius.MM, covering.MM
	kind, cut := dish.Hollow, radius.MM+covering.MM
	if l.job.Form == "caul" {
		w.Wanted -= l.job.Plate.MM
		kind, cut = dish.Crown, w.Wanted-covering.MM
	}
	if radius.MM <= rim || cut <= rim {
		l.fault(l.root, "radius", fmt.Sprintf("a sphere of radius %s is not wide enough for %s", radius, size),
			fmt.Sprintf("a radius well above %s; the domes of instruments have 4 m to 9 m", radius.WithMM(rim)))
		return
	}
	f, err := dish.NewFace(kind, cut, rim)
	if err != nil {
		l.fault(l.root, "radius", err.Error(), "a radius well above half the width of the face")
		return
	}
	f.Cylinder = w.Face.Cylinder
	w.Face = f
	if board {
		l.hand(w)
	}
}

// strip reads the size and the curve of a board; rim is the distance of its corners
// from its middle.
func (l *loader) strip(w *cam.Work) (rim float64, size string, ok bool) {
	l.root.Require("length", "600 mm")
	l.root.Require("width", "80 mm")
	long, okL := l.length(l.root, "length", leastDiameter, mostDiameter)
	wide, okW := l.length(l.root, "width", 10, mostDiameter)
	if !l.root.Has("curve") {
		l.took("curve", "spherical", "true at every angle to the sides")
	} else if word, _ := l.root.Word("curve", "spherical", "cylindrical"); word == "cylindrical" {
		w.Face.Cylinder = true
	}
	if !okL || !okW {
		return 0, "", false
	}
	if wide.MM > long.MM {
		l.fault(l.root, "width", fmt.Sprintf("a board %s wide is longer across than along (%s)", wide, long), "length is along the curve that is felt across the sides; exchange the two")
		return 0, "", false
	}
	l.job.Length, l.job.Width = long, wide
	w.Board = &dish.Strip{Length: long.MM, Width: wide.MM}
	return w.Board.OuterRadius(), "a length of " + long.String(), true
}

// boardSwing is how far a board is swung back and forth along its length (common
// practice, about): a third of that leaves rings in the wood.
const boardSwing = 50.0

// hand works out what a board can be used for by hand: the widest sides that it
// spans with its swing, and how far it bends under the hand.
func (l *loader) hand(w *cam.Work) {
	l.job.Swing = boardSwing
	if l.root.Has("swing") {
		l.job.Swing = l.mm(l.root, "swing", 1, mostDiameter)
	} else {
		l.took("swing", measure.Length{MM: boardSwing}.String(), "back and forth along the board while sanding")
	}
	span := w.Board.Length - l.job.Swing
	if l.root.Has("spans") {
		over, ok := l.length(l.root, "spans", leastDiameter, mostDiameter)
		if ok && over.MM > span {
			l.fault(l.root, "length", fmt.Sprintf("a board of %s swung by %s stays on both sides only up to %s apart; they are %s", l.job.Length, measure.Length{MM: l.job.Swing}, measure.Length{MM: max(0, span)}, over),
				fmt.Sprintf("a length of at least %s, or a shorter swing", l.job.Length.WithMM(math.Ceil(over.MM+l.job.Swing))))
			return
		}
		span = over.MM
	}
	l.job.Spans = span
}

// stiff says how far a board bends between the sides under a hand that presses its
// middle: F L³ / (48 E I). Own derivation: half of it is bent by F x/2, E I w″ = −F x/2,
// with w = 0 at the support and w′ = 0 in the middle.
func (l *loader) stiff(w *cam.Work) {
	b := w.Board
	if b == nil || w.Blank.Thickness == 0 || l.job.Spans <= 0 {
		return
	}
	thin := w.Blank.Thickness - w.Face.Sagitta()
	if !(thin > 0) {
		return
	}
	wood := cam.WoodOf(w.Material)
	bend := cam.Hand * math.Pow(l.job.Spans, 3) / (48 * wood.Stiffness() * b.Width * thin * thin * thin / 12)
	l.job.Bends = bend
	message := fmt.Sprintf("pressed with %.0f N in the middle between sides %.0f mm apart, %.1f mm of %s bend %.2f mm: a sphere of %.0f mm reads as about %.0f mm there", cam.Hand, l.job.Spans, thin, wood.Name, bend,
		w.Wanted, 1/max(1e-9, 1/w.Wanted-8*bend/(l.job.Spans*l.job.Spans)))
	hint := "press over the sides and not in the middle, or glue a rib on edge along the board's back"
	if bend > w.Scallop {
		l.job.Warnings = append(l.job.Warnings, cam.Warning{Kind: "board-bends", Message: message, Hint: hint + fmt.Sprintf("; a blank of %.0f mm would keep within the scallop", math.Ceil(float64(thin*math.Cbrt(bend/w.Scallop))+w.Face.Sagitta()))})
	}
}

// CoveringLayout is how a flat covering is cut for a round face: in wedges, or in
// strips from a roll.
type CoveringLayout struct {
	Wedges int     // 0 for strips
	Width  float64 // of the strips, mm
	Gap    float64 // left at every seam, mm
}

// layout reads how the covering is cut.
func (l *loader) layout(w *cam.Work) {
	if !l.root.Has("covering layout") {
		return
	}
	m, ok := l.root.Map("covering layout")
	if !ok {
		return
	}
	m.Allow(key.Under("covering layout")...)
	c := &CoveringLayout{Gap: 0.5}
	if m.Has("gap") {
		c.Gap = l.mm(m, "gap", 0, 20)
	}
	switch {
	case m.Has("wedges") == m.Has("strips"):
		l.fault(l.root, "covering layout", "a covering is laid in wedges or in strips", "wedges: 8, or strips: 100 mm")
		return
	case m.Has("wedges"):
		n, ok := m.Int("wedges")
		if ok && (n < 2 || n > 72) {
			l.fault(m, "wedges", measure.Count(n, "wedge"), "2 to 72; 8 are usual")
			return
		}
		c.Wedges = n
	default:
		c.Width = l.mm(m, "strips", 5, mostBlank)
	}
	switch {
	case w.Board != nil:
		l.fault(l.root, "covering layout", "a board takes its covering in one piece", "remove it")
	case w.Covering == 0 && w.Face.Rim > 0:
		l.fault(l.root, "covering layout", "there is no covering to lay out", "covering: 0.6 mm beside it")
	case c.Wedges > 0 || c.Width > 0:
		l.job.Layout = c
	}
}

// mate makes the caul of a pair: the same sphere less the plate, in a blank like the
// dish's.
func (l *loader) mate(w *cam.Work) {
	if w.Face.Rim <= 0 {
		return
	}
	m := l.job
	m.Form, m.Paired, m.Mate, m.Layout = "caul", true, nil, nil
	cut := w.Wanted - l.job.Plate.MM
	f, err := dish.NewFace(dish.Crown, cut, w.Face.Rim)
	if err != nil {
		l.fault(l.root, "plate", fmt.Sprintf("a caul for a plate of %s has no radius left", l.job.Plate), "the thickness of the plate, 2 to 4 mm")
		return
	}
	m.Work.Face, m.Work.Wanted, m.Work.Covering = f, cut, 0
	m.Work.Name = w.Name + " caul"
	if m.Work.Extras.Lines != nil {
		lines := *m.Work.Extras.Lines
		lines.Face = true
		m.Work.Extras.Lines = &lines
	}
	l.job.Mate, l.job.Form = &m, "pair"
}
