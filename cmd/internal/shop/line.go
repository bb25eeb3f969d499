package shop

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/path"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// Line is where a section runs: along X, or along Y, so far from the apex.
type Line struct {
	AlongY bool
	At     float64 // mm
	Text   string  // of At, as its builder wrote it
}

// ParseLine reads "along Y at 40 mm".
func ParseLine(text string) (*Line, error) {
	const hint = `write "along X", "along Y" or, beside the apex, "along Y at 40 mm"`
	words := strings.Fields(text)
	if len(words) < 2 || !strings.EqualFold(words[0], "along") || (len(words) > 2 && (!strings.EqualFold(words[2], "at") || len(words) == 3)) {
		return nil, tell.Errorf(hint, "--section %s is no line to cut along", measure.Quote(text))
	}
	l := &Line{}
	switch strings.ToUpper(words[1]) {
	case "X":
	case "Y":
		l.AlongY = true
	default:
		return nil, tell.Errorf(hint, "--section %s runs along neither X nor Y", measure.Quote(text))
	}
	if len(words) > 3 {
		at, err := measure.ParseLength(strings.Join(words[3:], " "))
		if err != nil {
			return nil, tell.Hint(fmt.Errorf("--section: %w", err), hint)
		}
		l.At, l.Text = at.MM, at.String()
	}
	return l, nil
}

// place returns the place so far along the line.
func (l Line) place(d float64) r2.Vec {
	if l.AlongY {
		return r2.Vec{X: l.At, Y: d}
	}
	return r2.Vec{X: d, Y: l.At}
}

// name says where the line runs.
func (l Line) name() string {
	switch {
	case l.At == 0 && !l.AlongY:
		return "along X through the apex"
	case l.At == 0:
		return "along Y through the apex"
	case l.AlongY:
		return "along Y at X " + l.Text
	}
	return "along X at Y " + l.Text
}

// section draws a section along a line.
func (s Scene) section(v seen, a Ask, size figure.Size) (*figure.Figure, error) {
	f := s.sectionView(v, *a.Section)
	if f.Ruler = a.Ruler; len(f.Wanted) < 2 {
		return nil, tell.Errorf("a place nearer the middle", "a section %s does not meet the blank", a.Section.name())
	}
	title := fmt.Sprintf("section %s, the upper %s of %s", a.Section.name(), a.Ruler.Length(-f.Lo.Y, 1), a.Ruler.Length(s.w.Blank.Thickness, 1))
	return figure.Section(f, title, size), nil
}

// sectionView cuts along a line. Below the face the blank is drawn only so far as its
// shape needs.
func (s Scene) sectionView(v seen, line Line) figure.SectionView {
	w := s.w
	half := w.Blank.Length / 2
	if line.AlongY {
		half = w.Blank.Width / 2
	}
	deep := min(w.Blank.Thickness, 1.6*w.Face.Sagitta())
	f := figure.SectionView{Lo: r2.Vec{X: -half, Y: -deep}, Hi: r2.Vec{X: half}, Title: line.name()}
	const n = 481
	for i := range n {
		d := half * float64(2*i-(n-1)) / (n - 1)
		p := line.place(d)
		if w.Blank.Inside(p.X, p.Y) < 0 {
			continue
		}
		z := min(0, v.stock.Height(p.X, p.Y))
		f.Left = append(f.Left, r2.Vec{X: d, Y: z})
		f.Wanted = append(f.Wanted, r2.Vec{X: d, Y: s.wanted(p, z, v.cutter)})
	}
	return f
}

// wanted is the height that is wanted at a place where z stands.
func (s Scene) wanted(p r2.Vec, z float64, c path.Cutter) float64 {
	w := s.w
	d := w.Face.Distance(p.X, p.Y)
	off, _ := w.Region.Off(p.X, p.Y)
	switch {
	case off <= 0:
		return w.Face.Height(d)
	case !w.Round():
		return z // beside a mould's edge or a board nothing is wanted
	case d <= w.Face.Rim+c.Diameter: // the floor of a crown's moat
		return w.Face.Height(w.Face.Rim)
	}
	return 0
}
