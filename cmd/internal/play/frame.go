package play

import (
	"fmt"
	"strings"
	"time"

	"dishwright/cam/path"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/tell"
)

// Frame draws the moment in so many columns and rows at most: the wood from above with
// the cutter's circle, and words below it.
func (s *Show) Frame(width, height int, look picture.Look) []string {
	at, share := s.where()
	v, stage := s.view(at, share)
	if tip, ok := s.tip(at, share); ok && s.now < s.total {
		v.Cutter = &figure.Disc{X: tip.X, Y: tip.Y, Radius: s.programs[at.program].Cutter.Radius()}
	}
	words := fit(s.words(at, share, stage), width, height)
	return append(plan(v, stage.Title, width, height-len(words), look), words...)
}

// plan draws the wood in so many columns and rows; what has no room is cut off.
func plan(v figure.MapView, title string, width, height int, look picture.Look) []string {
	if height <= 0 || width <= 0 {
		return nil
	}
	look.Width = min(width, look.Width)
	// So high that what the tones mean stands beside a round face: below it, more or fewer
	// lines of it would change the drawing's size as the work goes on.
	const keys, narrow = 26, 64 // columns
	if height > (look.Width-keys)/2 && look.Width >= narrow {
		height = (look.Width - keys) / 2
	}
	text := figure.Map(v, title, figure.SizeOf(look, height-1)).Characters(look)
	return fit(strings.Split(strings.TrimSuffix(text, "\n"), "\n"), width, height)
}

// words says what is done, where, and how far the run is.
func (s *Show) words(at place, share float64, stage Stage) []string {
	p := &s.programs[at.program]
	list := []string{fmt.Sprintf("program %d of %d: %s", at.program+1, len(s.programs), stage.Name)}
	n, move := 0, min(at.done, len(p.Moves)-1)
	if move >= 0 {
		n = p.Moves[move].Source.Line
	}
	line := fmt.Sprintf("%s, line %d", p.File, n)
	if n >= 1 && n <= len(p.Text) {
		line += fmt.Sprintf(" of %d: %s", len(p.Text), tell.Clean(p.Text[n-1]))
	}
	list = append(list, line, s.stands(at, share))
	pace := fmt.Sprintf("%d times as fast", s.pace)
	switch {
	case s.now == s.total:
		pace = "the end"
	case s.held:
		pace = "held"
	}
	return append(list, fmt.Sprintf("%s gone, %s left, %s", clock(s.now), clock(s.total-s.now), pace),
		"q ends, space holds, left and right step, up and down change program")
}

// stands says where the cutter's tip stands and what it does.
func (s *Show) stands(at place, share float64) string {
	tip, ok := s.tip(at, share)
	if !ok {
		return "the cutter stands where it was left"
	}
	does := "at rest"
	if share > 0 {
		switch s.programs[at.program].Moves[at.done].Kind {
		case path.Traverse:
			does = "in a traverse"
		default:
			does = "at its feed"
		}
	}
	u := s.programs[at.program].Piece.Ruler
	return fmt.Sprintf("cutter (+) at X%s Y%s Z%s %s, %s", u.Fixed(tip.X, 2), u.Fixed(tip.Y, 2), u.Fixed(tip.Z, 2), u.Unit(), does)
}

// clock writes a time in minutes and seconds.
func clock(t time.Duration) string {
	t = t.Round(time.Second)
	if t < time.Hour {
		return fmt.Sprintf("%d:%02d min", t/time.Minute, t%time.Minute/time.Second)
	}
	return fmt.Sprintf("%d:%02d:%02d h", t/time.Hour, t%time.Hour/time.Minute, t%time.Minute/time.Second)
}

// fit cuts lines off so that they take so many columns and rows at most.
func fit(lines []string, width, height int) []string {
	lines = lines[:max(0, min(len(lines), height))]
	for i, l := range lines {
		lines[i] = clip(l, max(0, width))
	}
	return lines
}

// columns returns how many characters a line shows: sequences that set a colour show none.
func columns(l string) (n int) {
	escape := false
	for _, r := range l {
		switch {
		case r == 0x1b || escape:
			escape = r != 'm'
		default:
			n++
		}
	}
	return n
}

// clip cuts a line off after so many columns.
func clip(l string, width int) string {
	if len(l) <= width {
		return l
	}
	n, escape := 0, false
	return strings.Map(func(r rune) rune {
		switch {
		case r == 0x1b || escape:
			escape = r != 'm'
		case n >= width:
			return -1
		default:
			n++
		}
		return r
	}, l)
}
