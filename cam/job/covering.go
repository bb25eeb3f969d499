package job

import (
	"fmt"
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
		l.Job.Covered = append(l.Job.Covered, t.MM)
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
	case c.Disc > 0 && c.Disc+mayBeBare < across(w):
		m.Fault("disc", fmt.Sprintf("a disc of %s is too small: along the surface the face is %s across", l.writes(c.Disc), l.ruler().Up(across(w), 0)),
			fmt.Sprintf("a disc of %s or more, or wedges: 8; leave covering layout out where the rim is to stay bare", l.ruler().Up(across(w), 0)))
	case c.Wedges > 0 || c.Width > 0 || c.Disc > 0:
		l.Job.Layout = c
	}
}

// mayBeBare is by how much a disc may be smaller than its face, mm: no scissors cut closer, and
// no rim meets the last half of it (common practice).
const mayBeBare = 1

// across is how wide a round face is along its surface, mm.
func across(w *work.Work) float64 {
	return float64(2 * w.Face.Radius * math.Asin(w.Face.Rim/w.Face.Radius))
}
