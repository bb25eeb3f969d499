package shop

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// Scene is a piece of work and the stages of what was read back, to be looked at.
type Scene struct {
	Name   string // of the piece, where there are two
	w      *work.Work
	stages []stage      // that cut
	left   float64      // what the stages before the finish may leave
	first  int          // stages of the pieces before it
	whole  *proof.Stock // what stands after all of them, where that is known
}

// Scenes are what a result shows: of a pair the caul comes second.
func (r *Result) Scenes() []Scene {
	s := newScene(&r.Plan.Work, r.stages(), r.Plan.Left)
	s.whole = r.left
	if r.Mate == nil {
		return []Scene{s}
	}
	s.Name = "the dish"
	m := newScene(&r.Mate.Plan.Work, r.Mate.stages(), r.Mate.Plan.Left)
	m.Name, m.first, m.whole = "the caul", len(s.stages), r.Mate.left
	return []Scene{s, m}
}

// SceneRead is what programs that were read show: each is taken for one stage.
func SceneRead(w *work.Work, programs []proof.Program) []Scene {
	return []Scene{newScene(w, stagesRead(programs), w.Allowance*2)}
}

func newScene(w *work.Work, all []stage, left float64) Scene {
	s := Scene{w: w, left: left}
	for _, t := range all {
		if !inAir(t.moves) {
			s.stages = append(s.stages, t)
		}
	}
	return s
}

// Ask is what is to be seen of a scene: by default the stage that the work has come to, as
// a plan with its passes over what they leave, and a section.
type Ask struct {
	Share             float64 // of the whole path that is cut: 1 is all of it
	Stage             int     // that one alone, counted from 1; 0 for the default
	Passes, Remaining bool    // that view alone
	Section           *Line   // likewise
	Ruler             measure.Ruler
}

// seen is a stage with what stands after it.
type seen struct {
	stage
	title string
	stock *proof.Stock
}

// errNothing is what a picture of an uncut blank is refused with.
var errNothing = errors.New("nothing is cut yet: there is nothing to draw")

// see runs the stages up to the one that is asked for; of several that are alike in their
// purpose, as in setups, the last ones are seen together.
func (s Scene) see(a Ask) (v seen, err error) {
	cut := upToShare(s.stages, a.Share)
	n := len(cut)
	if a.Stage > 0 {
		if n = a.Stage - s.first; n > len(cut) {
			return v, tell.Errorf("a larger share, such as --step 1/1", "nothing of stage %d is cut yet", a.Stage)
		}
	}
	if n == 0 {
		return v, errNothing
	}
	at := n - 1
	for a.Stage == 0 && at > 0 && cut[at].purpose == work.Extra {
		at--
	}
	if cut[at].purpose == work.Extra {
		at = n - 1 // there is nothing but extras
	}
	v.stage = cut[at]
	beside := func(t stage) bool { return t.purpose == work.Extra }
	if v.stock = s.whole; v.stock != nil && a.Stage == 0 && a.Share == 1 && !slices.ContainsFunc(s.stages, beside) {
		return s.together(v, cut[:n], a), nil
	}
	v.stock = stockFor(s.w.Blank, s.stages)
	for _, t := range cut[:n] {
		if !beside(t) || beside(v.stage) { // what is cut beside a face is not missing from it
			v.stock.Run(t.cutter, t.moves)
		}
	}
	return s.together(v, cut[:n], a), nil
}

// together titles what is seen, and joins the stages that are alike.
func (s Scene) together(v seen, cut []stage, a Ask) seen {
	v.title = v.name + ": " + v.pattern
	if a.Stage > 0 || v.purpose == "" {
		return v
	}
	var alike []stage
	for _, t := range cut {
		if t.purpose == v.purpose {
			alike = append(alike, t)
		}
	}
	if len(alike) > 1 {
		v.moves = nil
		for _, t := range alike {
			v.moves = append(v.moves, t.moves...)
		}
		v.title = fmt.Sprintf("%d stages together, the last: %s", len(alike), v.title)
	}
	return v
}

// Still draws a scene as characters, 40 rows of them at most where the look has 80
// columns.
func (s Scene) Still(name string, a Ask, look picture.Look) (string, error) {
	const rows = 40
	v, err := s.see(a)
	if errors.Is(err, errNothing) {
		return "nothing is cut yet\n", nil
	} else if err != nil {
		return "", err
	}
	head := picture.Sentence(name, look)
	rest := rows - strings.Count(head, "\n")
	foot := ""
	if s.first > 0 || len(s.stages) > 1 {
		foot = picture.Sentence(fmt.Sprintf("stages: %s; --stage N shows one", strings.Join(s.Stages(), ", ")), look)
		if n := strings.Count(foot, "\n"); n > 3 {
			foot = picture.Sentence(fmt.Sprintf("stages: %d to %d; --stage N shows one", s.first+1, s.first+len(s.stages)), look)
		}
		rest -= strings.Count(foot, "\n")
	}
	one, section, err := s.figures(v, a, look, rest)
	if err != nil {
		return "", err
	}
	text := head + one.Characters(look)
	if section != nil {
		text += section.Characters(look)
	}
	return text + foot, nil
}

// figures draws the view that is asked for, or a plan and a section, to so many rows.
func (s Scene) figures(v seen, a Ask, look picture.Look, rows int) (one, section *figure.Figure, err error) {
	if a.Passes || a.Remaining || a.Section != nil {
		lines := rows - strings.Count(picture.Sentence(v.title, look), "\n")
		if a.Section != nil {
			lines /= 2
		}
		one, err = s.view(v, a, figure.SizeOf(look, lines))
		return one, nil, err
	}
	if s.w.HasFace() {
		a.Section = &Line{}
		if section, err = s.section(v, a, figure.SizeOf(look, 10)); err != nil {
			return nil, nil, err
		}
		rows -= strings.Count(section.Characters(look), "\n")
	}
	rows -= strings.Count(picture.Sentence(v.title, look), "\n")
	return s.planned(v, a, s.w.HasFace(), figure.SizeOf(look, rows)), section, nil
}

// view draws the one view that is asked for.
func (s Scene) view(v seen, a Ask, size figure.Size) (*figure.Figure, error) {
	switch {
	case a.Passes:
		return s.planned(v, a, false, size), nil
	case !s.w.HasFace():
		return nil, tell.Errorf("--passes draws what is cut", "templates have no face: nothing is left over it")
	case a.Remaining:
		return figure.Map(s.leftOver(v, a), "left above the wanted face after "+v.name, size), nil
	}
	return s.section(v, a, size)
}

// Stages names the stages with their numbers.
func (s Scene) Stages() (list []string) {
	for i, t := range s.stages {
		name := string(t.purpose)
		if name == "" {
			name = t.cutter.Name
		}
		list = append(list, fmt.Sprintf("%d %s", s.first+i+1, tell.Plain(name, mostName)))
	}
	return list
}

// SceneOf returns the scene that a stage belongs to, the first for stage 0.
func SceneOf(list []Scene, stage int) (Scene, error) {
	var names []string
	for _, s := range list {
		if stage == 0 || stage > s.first && stage <= s.first+len(s.stages) {
			return s, nil
		}
		names = append(names, s.Stages()...)
	}
	return Scene{}, tell.Errorf("the stages are "+strings.Join(names, ", "), "there is no stage %d", stage)
}

// planned draws the passes, where it is asked for over what they leave.
func (s Scene) planned(v seen, a Ask, ground bool, size figure.Size) *figure.Figure {
	p := figure.PlanView{Blank: s.w.Blank, Rim: s.w.Face.Rim, HoldDowns: standing(s.w), Passes: passesOf(v.moves), Ruler: a.Ruler}
	if !s.w.Round() {
		p.Rim = 0
	}
	if ground {
		left, depth := s.leftOver(v, a), s.depth(v, a)
		if left.Bare, left.Levels = true, left.Levels[3:]; !v.last {
			left.Levels = nil // before the finish much is left everywhere
		}
		p.Left, p.Depth = &left, &depth
	}
	if v.purpose == work.Extra {
		size.Apart = min(size.Apart, 1) // letters and edges: only what lies on one another is left out
	}
	return figure.Plan(p, v.title, size)
}

// depth shows how far below the blank's top what stands is.
func (s Scene) depth(v seen, a Ask) figure.MapView {
	const cells = 160
	x, y := s.w.Blank.Length/2, s.w.Blank.Width/2
	m := figure.MapView{Lo: r2.Vec{X: -x, Y: -y}, Hi: r2.Vec{X: x, Y: y}, Digits: 1, Ruler: a.Ruler, Bare: true, Silent: true, What: "depth below the blank's top:"}
	deepest := 0.0
	for j := range cells {
		row := make([]float64, cells)
		for i := range row {
			row[i] = -v.stock.Height(2*x*(float64(i)+0.5)/cells-x, y-2*y*(float64(j)+0.5)/cells)
			if row[i] > s.w.Blank.Thickness {
				row[i] = math.NaN() // beside the blank, or cut through
			}
			if row[i] > deepest {
				deepest = row[i]
			}
		}
		m.Values = append(m.Values, row)
	}
	for k := range 3 {
		m.Levels = append(m.Levels, deepest*(float64(k)+0.02)/3)
	}
	return m
}

// standing are the hold-downs and what else stands about.
func standing(w *work.Work) (list []figure.Disc) {
	for _, h := range work.Whole(w).Standing() {
		list = append(list, figure.Disc{X: h.X, Y: h.Y, Radius: h.Radius, DX: h.DX, DY: h.DY})
	}
	return list
}

// leftOver shows what stands above the wanted face: after the finish in shares of the
// scallop, before it in shares of what is left for finishing.
func (s Scene) leftOver(v seen, a Ask) figure.MapView { return s.leftIn(v.stock, v.last, a) }

// heights are what stands in a blank: a proof.Stock, or proof.Heights.
type heights interface {
	HeightMap(face dish.Face, cols, rows int) [][]float64
}

// leftIn is leftOver of heights, after the last stage that cuts the face or before it.
func (s Scene) leftIn(h heights, last bool, a Ask) figure.MapView {
	unit, allowed := s.left, 0.0
	if last {
		unit, allowed = s.w.Scallop, s.w.Scallop
	}
	rim := s.w.Face.Rim
	m := figure.MapView{Allowed: allowed, Lo: r2.Vec{X: -rim, Y: -rim}, Hi: r2.Vec{X: rim, Y: rim}, Digits: 3, Ruler: a.Ruler,
		Levels: []float64{0.25 * unit, 0.5 * unit, 0.75 * unit, unit, 2 * unit, 4 * unit}}
	const cells = 160
	m.Values = h.HeightMap(s.w.Face, cells, cells)
	if s.w.Round() {
		return m
	}
	for r, row := range m.Values { // the part of the face that counts
		for c := range row {
			x, y := 2*rim*(float64(c)+0.5)/cells-rim, rim-2*rim*(float64(r)+0.5)/cells
			if off, _ := s.w.Region.Off(x, y); off > 0 {
				row[c] = math.NaN()
			}
		}
	}
	return m
}

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
