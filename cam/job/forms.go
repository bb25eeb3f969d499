package job

import (
	"fmt"
	"math"

	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// form reads which tool is made, and finds keys that it does not have.
func (l *loader) form() {
	l.job.Form = l.root.Word("form")
	l.Form = l.job.Form
	if l.job.Form == key.Rim {
		l.root.Fault("form", "a rim is worked out, not cut as a dish is", "dishwright rim JOB")
		return
	}
	for _, name := range l.root.Keys() {
		if k, ok := key.Find(name); ok && k.Instead != "" && l.Form != "" && !k.For(l.Form) {
			l.root.FaultAtKey(name, fmt.Sprintf("a %s has no %s", l.Form, name), k.Instead)
		}
	}
}

// face reads radius, size and covering, and makes the face that the wood is cut to.
func (l *loader) face(w *work.Work) {
	board := l.job.Form == "board"
	radius, okR := l.root.Length("radius")
	var rim float64
	var size string
	okD := false
	if board {
		rim, size, okD = l.strip(w)
	} else {
		l.root.Like(map[string]string{"diameter": l.usualFace(w)})
		l.job.Diameter, okD = l.root.Length("diameter")
		rim, size = l.job.Diameter.MM/2, "a diameter of "+l.job.Diameter.String()
	}
	covering := l.root.Amount("covering")
	l.job.Plate, _ = l.root.Length("plate")
	if !okR || !okD {
		return
	}
	l.job.Radius = radius
	l.radii(radius)
	w.Wanted, w.Covering = radius.MM, covering
	kind, cut := dish.Hollow, radius.MM+covering
	if l.job.Form == "caul" {
		w.Wanted -= l.job.Plate.MM
		kind, cut = dish.Crown, w.Wanted-covering
	}
	if radius.MM <= rim || cut <= rim {
		l.root.Fault("radius", fmt.Sprintf("a sphere of radius %s is not wide enough for %s", radius, size),
			fmt.Sprintf("a radius well above %s; the domes of instruments have 4 m to 9 m", radius.WithMM(rim)))
		return
	}
	f, err := dish.NewFace(kind, cut, rim)
	if err != nil {
		l.root.Fault("radius", err.Error(), "a radius well above half the width of the face")
		return
	}
	f.Cylinder = w.Face.Cylinder
	if w.Face = f; board {
		l.hand(w)
	} else {
		w.CutAll(f)
	}
}

// strip reads the size and the curve of a board; rim is the distance of its corners
// from its middle.
func (l *loader) strip(w *work.Work) (rim float64, size string, ok bool) {
	long, okL := l.root.Length("length")
	wide, okW := l.root.Length("width")
	w.Face.Cylinder = l.root.Word("curve") == "cylindrical"
	if !okL || !okW {
		return 0, "", false
	}
	if wide.MM > long.MM {
		l.root.Fault("width", fmt.Sprintf("a board %s wide is longer across than along (%s)", wide, long), "length is along the curve that is felt across the sides; exchange the two")
		return 0, "", false
	}
	l.job.Length, l.job.Width = long, wide
	s := dish.Strip{Length: long.MM, Width: wide.MM}
	w.Region = s
	return s.OuterRadius(), "a length of " + long.String(), true
}

// hand works out what a board can be used for by hand: the widest sides that it
// spans with its swing, and how far it bends under the hand.
func (l *loader) hand(w *work.Work) {
	l.job.Swing = l.root.Amount("swing")
	span := l.job.Length.MM - l.job.Swing
	if l.root.Has("spans") {
		over, ok := l.root.Length("spans")
		if ok && over.MM > span {
			l.root.Fault("length", fmt.Sprintf("a board of %s swung by %s stays on both sides only up to %s apart; they are %s", l.job.Length, measure.Length{MM: l.job.Swing}, measure.Length{MM: max(0, span)}, over),
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
func (l *loader) stiff(w *work.Work) {
	if w.Blank.Thickness == 0 || l.job.Spans <= 0 {
		return
	}
	thin := w.Blank.Thickness - w.Face.Sagitta()
	if !(thin > 0) {
		return
	}
	wood := work.WoodOf(w.Material)
	bend := work.Hand * math.Pow(l.job.Spans, 3) / (48 * wood.Stiffness() * l.job.Width.MM * thin * thin * thin / 12)
	l.job.Bends = bend
	message := fmt.Sprintf("pressed with %.0f N in the middle between sides %.0f mm apart, %.1f mm of %s bend %.2f mm: a sphere of %.0f mm reads as about %.0f mm there", work.Hand, l.job.Spans, thin, wood.Name, bend,
		w.Wanted, 1/max(1e-9, 1/w.Wanted-8*bend/(l.job.Spans*l.job.Spans)))
	hint := "press over the sides and not in the middle, or glue a rib on edge along the board's back"
	if bend > w.Scallop {
		l.job.Warnings = append(l.job.Warnings, work.Warning{Kind: "board-bends", Message: message, Hint: hint + fmt.Sprintf("; a blank of %.0f mm would keep within the scallop", math.Ceil(float64(thin*math.Cbrt(bend/w.Scallop))+w.Face.Sagitta()))})
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
func (l *loader) layout(w *work.Work) {
	m, ok := l.root.Section("covering layout")
	if !ok {
		return
	}
	c := &CoveringLayout{Gap: m.Amount("gap")}
	switch {
	case m.Has("wedges") == m.Has("strips"):
		l.root.Fault("covering layout", "a covering is laid in wedges or in strips", "wedges: 8, or strips: 100 mm")
		return
	case m.Has("wedges"):
		c.Wedges, _ = m.Count("wedges")
	default:
		c.Width = m.Amount("strips")
	}
	switch {
	case !w.Round():
		l.root.Fault("covering layout", "a board takes its covering in one piece", "remove it")
	case w.Covering == 0 && w.Face.Rim > 0:
		l.root.Fault("covering layout", "there is no covering to lay out", "covering: 0.6 mm beside it")
	case c.Wedges > 0 || c.Width > 0:
		l.job.Layout = c
	}
}

// mate makes the caul of a pair: the same sphere less the plate, in a blank like the
// dish's.
func (l *loader) mate(w *work.Work) {
	if w.Face.Rim <= 0 {
		return
	}
	l.finish()
	m := l.job
	m.Form, m.Paired, m.Mate, m.Layout = "caul", true, nil, nil
	cut := w.Wanted - l.job.Plate.MM
	f, err := dish.NewFace(dish.Crown, cut, w.Face.Rim)
	if err != nil {
		l.root.Fault("plate", fmt.Sprintf("a caul for a plate of %s has no radius left", l.job.Plate), "the thickness of the plate, 2 to 4 mm")
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
