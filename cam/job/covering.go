package job

import (
	"math"

	"dishwright/cam/work"
)

// CoveringLayout is how a flat covering is cut for a round face: in one disc, in wedges, or
// in strips from a roll.
type CoveringLayout struct {
	Disc   float64 // diameter, mm; 0 for none
	Cloth  bool    // is the disc's backing cloth?
	Wedges int     // 0 for none
	Width  float64 // of the strips, mm
	Gap    float64 // left at every seam, mm
	Lean   float64 // of the seams to the radius at the rim, or of the strips to X, radians
	Back   bool    // is the dish turned counter-clockwise under the rim?
}

// covering reads how thick the covering is: the mean of the places where it was measured, and by
// how much they differ.
func (l *Reader) covering(w *work.Work) float64 {
	if v, ok := l.Root.Value("covering"); !ok || !v.IsMap() {
		return l.Root.Amount("covering")
	}
	m, ok := l.Root.Section("covering")
	if !ok {
		return 0
	}
	list, ok := m.Entries("measured")
	if !ok {
		return 0
	}
	least, most, sum := math.Inf(1), 0.0, 0.0
	for _, v := range list {
		t, ok := m.Item(v, "measured")
		if !ok {
			return 0
		}
		least, most, sum = min(least, t.MM), max(most, t.MM), sum+t.MM
	}
	w.Uneven = most - least
	return sum / float64(len(list))
}

// layout reads how the covering is cut.
func (l *Reader) layout(w *work.Work) {
	m, ok := l.Root.Section("covering layout")
	if !ok {
		return
	}
	c := &CoveringLayout{Gap: m.Amount("gap"), Lean: m.Amount("seams"), Cloth: m.Word("backing") == "cloth", Back: m.Word("turned") == "counter-clockwise"}
	ways := 0
	for _, way := range [...]string{"disc", "wedges", "strips"} {
		if m.Has(way) {
			ways++
		}
	}
	switch {
	case ways != 1:
		l.Root.Fault("covering layout", "a covering is laid in a disc, in wedges or in strips", l.like("wedges: 8, or strips: 100 mm, or disc: 600 mm"))
		return
	case m.Has("disc"):
		c.Disc = m.Amount("disc")
		if m.Has("seams") || m.Has("turned") {
			l.Root.Fault("covering layout", "a disc has no seams", "wedges: 8 in its place; or leave seams and turned out")
			return
		}
	case m.Has("backing"):
		m.Fault("backing", "only of a disc counts what its backing gives", "leave backing out")
		return
	case m.Has("wedges"):
		c.Wedges, _ = m.Count("wedges")
	default:
		c.Width = m.Amount("strips")
	}
	switch {
	case !w.Round():
		l.Root.Fault("covering layout", "a board takes its covering in one piece", "remove it")
	case w.Covering == 0 && w.Face.Rim > 0:
		l.Root.Fault("covering layout", "there is no covering to lay out", l.like("covering: 0.6 mm beside it"))
	case c.Wedges > 0 || c.Width > 0 || c.Disc > 0:
		l.Job.Layout = c
	}
}
