package job

import "dishwright/cam/work"

// CoveringLayout is how a flat covering is cut for a round face: in wedges, or in
// strips from a roll.
type CoveringLayout struct {
	Wedges int     // 0 for strips
	Width  float64 // of the strips, mm
	Gap    float64 // left at every seam, mm
}

// layout reads how the covering is cut.
func (l *Reader) layout(w *work.Work) {
	m, ok := l.Root.Section("covering layout")
	if !ok {
		return
	}
	c := &CoveringLayout{Gap: m.Amount("gap")}
	switch {
	case m.Has("wedges") == m.Has("strips"):
		l.Root.Fault("covering layout", "a covering is laid in wedges or in strips", l.like("wedges: 8, or strips: 100 mm"))
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
	case c.Wedges > 0 || c.Width > 0:
		l.Job.Layout = c
	}
}
