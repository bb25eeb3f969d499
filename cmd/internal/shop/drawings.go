package shop

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/draw"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
)

// stage is one purpose's share of a program's moves, as read back.
type stage struct {
	name, pattern string
	cutter        path.Cutter
	moves         []path.Move
	purpose       work.Purpose
	last          bool // nothing of the face is cut after it
}

// stages splits what was read back where each section begins.
func (r *Result) stages() (list []stage) {
	for i := range r.Texts {
		for _, one := range r.stagesOf(i) {
			list = append(list, one.stage)
		}
	}
	return list
}

// placedStage is a stage and the move of its program that it begins with.
type placedStage struct {
	stage
	from int
}

// stagesOf splits what was read back of program i.
func (r *Result) stagesOf(i int) (list []placedStage) {
	t, from := r.Texts[i], 0
	for k, s := range t.Program.Sections {
		to := len(t.Path.Moves)
		if k+1 < len(t.begins) {
			to = t.moveAt(t.begins[k+1])
		}
		list = append(list, placedStage{from: from, stage: stage{name: fmt.Sprintf("program %d, %s with %s", i+1, s.Purpose, t.Program.Cutter.Name),
			pattern: s.Pattern.String(), cutter: t.Program.Cutter, moves: t.Path.Moves[from:to], purpose: s.Purpose,
			last: s.Purpose == work.Extra || s.Purpose == work.Finishing}})
		from = to
	}
	return list
}

// moveAt returns the index of the first move at a line or after it.
func (t Text) moveAt(line int) int {
	return sort.Search(len(t.Path.Moves), func(i int) bool { return t.Path.Moves[i].Source.Line >= line })
}

// Drawings draws the result as text, stage by stage, up to the given share of
// the whole path (1 is all of it).
func Drawings(r *Result, share float64, look draw.Options) string {
	s := drawStages(&r.Plan.Work, r.stages(), r.Plan.Left, share, look)
	if r.Mate != nil {
		s += "\nthe caul\n\n" + Drawings(r.Mate, share, look)
	}
	return s
}

// DrawRead draws what programs that were read leave, in the same way.
func DrawRead(w *work.Work, programs []proof.Program, share float64, look draw.Options) string {
	return drawStages(w, stagesRead(programs), w.Allowance*2, share, look)
}

// mostName is the most of a file's name that a drawing shows.
const mostName = 60

// stagesRead takes each program that was read for one stage.
func stagesRead(programs []proof.Program) (list []stage) {
	for i, p := range programs {
		list = append(list, stage{name: fmt.Sprintf("program %d, %s with %s", i+1, tell.Plain(p.Name, mostName), p.Cutter.Name), cutter: p.Cutter,
			pattern: fmt.Sprintf("%d moves", len(p.Path.Moves)), moves: p.Path.Moves, last: i == len(programs)-1})
	}
	return list
}

// drawStages draws stage after stage; left is what the stages before the last
// may leave, for the bands of their maps.
func drawStages(w *work.Work, stages []stage, left, share float64, look draw.Options) string {
	var b strings.Builder
	stock := stockFor(w.Blank, stages)
	for _, t := range upToShare(stages, share) {
		stock.Run(t.cutter, t.moves)
		b.WriteString(draw.Text(t.name, look) + draw.Text(t.pattern, look) + "\n")
		b.WriteString(draw.Plan(planView(w, t.moves), look))
		b.WriteByte('\n')
		if !w.HasFace() {
			continue // it has no face to be cut across
		}
		b.WriteString(draw.Section(sectionView(w, stock, t), look))
		b.WriteByte('\n')
		b.WriteString(draw.Map(mapView(w, stock, t, left), look))
		b.WriteByte('\n')
	}
	if b.Len() == 0 {
		return "nothing is cut yet\n"
	}
	return b.String()
}

// stockFor returns the uncut blank in cells that suit the cutters of all stages.
func stockFor(b dish.Blank, stages []stage) *proof.Stock {
	narrowest := math.Inf(1)
	for _, t := range stages {
		narrowest = min(narrowest, t.cutter.Diameter)
	}
	return proof.NewStock(b, proof.CellSize(b, narrowest))
}

// upToShare returns the stages that cut, up to the given share of the whole path; the
// last of them is cut off there, and its name says so.
func upToShare(stages []stage, share float64) (list []stage) {
	total, done := 0.0, 0.0
	for _, t := range stages {
		if !inAir(t.moves) {
			total += cutting(t.moves)
		}
	}
	for _, t := range stages {
		if inAir(t.moves) {
			continue
		}
		rest, all := share*total-done, cutting(t.moves)
		if rest <= 0 {
			break
		}
		if rest < all*(1-1e-9) { // sums of the same lengths may differ in their last digits
			t.moves = upTo(t.moves, rest)
			t.name += fmt.Sprintf(", the first %.0f %%", 100*rest/all)
		}
		done += all
		list = append(list, t)
	}
	return list
}

// inAir reports whether nothing is cut: an air lap.
func inAir(moves []path.Move) bool {
	for _, m := range moves {
		if m.Kind != path.Traverse && !(min(m.From.Z, m.To.Z) >= 0) {
			return false
		}
	}
	return true
}

// cutting returns the length of the feed moves.
func cutting(moves []path.Move) (n float64) {
	for _, m := range moves {
		if m.Kind != path.Traverse {
			n += m.Length()
		}
	}
	return n
}

// upTo returns the moves until so much has been cut.
func upTo(moves []path.Move, most float64) []path.Move {
	for i, m := range moves {
		if m.Kind == path.Traverse {
			continue
		}
		if most -= m.Length(); most < 0 {
			return moves[:i]
		}
	}
	return moves
}

// planView gathers the passes: runs of feed moves, and the traverses between.
func planView(w *work.Work, moves []path.Move) draw.PlanView {
	v := draw.PlanView{Blank: w.Blank, Rim: w.Face.Rim}
	if !w.Round() {
		v.Rim = 0
	}
	for _, h := range work.Whole(w).Standing() {
		v.HoldDowns = append(v.HoldDowns, draw.Disc{X: h.X, Y: h.Y, Radius: h.Radius, DX: h.DX, DY: h.DY})
	}
	var pass draw.Pass
	flush := func() {
		n := len(v.Passes)
		switch {
		case len(pass.Points) < 2:
		case n > 0 && !pass.Traverse && !v.Passes[n-1].Traverse && along(pass.Points) < turnBack:
			v.Passes[n-1].Points = append(v.Passes[n-1].Points, pass.Points[1:]...) // a turn from pass to pass
		default:
			v.Passes = append(v.Passes, pass)
		}
		pass = draw.Pass{}
	}
	for _, m := range moves {
		traverse := m.Kind == path.Traverse
		if math.IsNaN(m.From.X) || math.IsNaN(m.To.X) || math.IsNaN(m.From.Y) || math.IsNaN(m.To.Y) || (m.From.X == m.To.X && m.From.Y == m.To.Y) {
			continue
		}
		if n := len(pass.Points); n > 0 && (pass.Traverse != traverse || turns(pass.Points, m)) {
			last := pass.Points[n-1]
			flush()
			pass.Points = []draw.Point{last}
		}
		pass.Traverse = traverse
		if len(pass.Points) == 0 {
			pass.Points = append(pass.Points, draw.Point{X: m.From.X, Y: m.From.Y})
		}
		pass.Points = append(pass.Points, draw.Point{X: m.To.X, Y: m.To.Y})
	}
	flush()
	return v
}

// turnBack is how far back, in mm, a pass is looked at to see whether it turns:
// as far as a turn between neighbours runs.
const turnBack = 12.0

// turns reports whether the move leaves the way of the last points by more than
// 60 degrees: there one pass ends and the next begins.
func turns(points []draw.Point, m path.Move) bool {
	n := len(points)
	if n < 2 {
		return false
	}
	back := n - 2
	for back > 0 && math.Hypot(points[n-1].X-points[back].X, points[n-1].Y-points[back].Y) < turnBack {
		back--
	}
	ax, ay := points[n-1].X-points[back].X, points[n-1].Y-points[back].Y
	bx, by := m.To.X-m.From.X, m.To.Y-m.From.Y
	return ax*bx+ay*by < 0.5*math.Hypot(ax, ay)*math.Hypot(bx, by)
}

// along returns the length of a way.
func along(points []draw.Point) (n float64) {
	for i := 1; i < len(points); i++ {
		n += math.Hypot(points[i].X-points[i-1].X, points[i].Y-points[i-1].Y)
	}
	return n
}

// sectionView cuts along X through the apex. Below the face the blank is drawn
// only so far as its shape needs.
func sectionView(w *work.Work, s *proof.Stock, t stage) draw.SectionView {
	half, sag := w.Blank.Length/2, w.Face.Sagitta()
	deep := min(w.Blank.Thickness, 1.6*sag)
	v := draw.SectionView{Lo: draw.Point{X: -half, Y: -deep}, Hi: draw.Point{X: half, Y: 0}, LeftName: t.name,
		Title: fmt.Sprintf("along X through the apex, the upper %.1f of %.1f mm", deep, w.Blank.Thickness)}
	const n = 481
	d, z := s.Section(0, n)
	for i := range d {
		v.Left = append(v.Left, draw.Point{X: d[i], Y: min(0, z[i])})
		want, a := 0.0, math.Abs(d[i])
		off, _ := w.Region.Off(d[i], 0)
		switch {
		case off <= 0:
			want = w.Face.Height(a)
		case !w.Round():
			want = min(0, z[i]) // beside a mould's edge or a board nothing is wanted
		case a <= w.Face.Rim+t.cutter.Diameter: // the floor of a crown's moat
			want = w.Face.Height(w.Face.Rim)
		}
		v.Wanted = append(v.Wanted, draw.Point{X: d[i], Y: want})
	}
	if n := len(t.moves); n > 0 {
		at := t.moves[n-1].To
		if c := t.cutter; math.Abs(at.X)+c.Radius() < half && at.Z <= 0 {
			for k := -20; k <= 20; k++ {
				u := c.Radius() * float64(k) / 20
				v.Cutter = append(v.Cutter, draw.Point{X: at.X + u, Y: at.Z + c.Body().Profile(math.Abs(u))})
			}
		}
	}
	return v
}

// mapView shows what stands above the wanted face: after the last program in
// shares of the scallop, before it in shares of what is left for finishing.
func mapView(w *work.Work, s *proof.Stock, t stage, left float64) draw.MapView {
	unit := left
	allowed := 0.0
	if t.last {
		unit, allowed = w.Scallop, w.Scallop
	}
	v := draw.MapView{Allowed: allowed, Lo: draw.Point{X: -w.Face.Rim, Y: -w.Face.Rim}, Hi: draw.Point{X: w.Face.Rim, Y: w.Face.Rim}, Unit: "mm", Digits: 3,
		Title:  "left above the wanted face after " + t.name,
		Levels: []float64{0.25 * unit, 0.5 * unit, 0.75 * unit, unit, 2 * unit, 4 * unit}}
	const cells = 160
	values := s.HeightMap(w.Face, cells, cells)
	if !w.Round() {
		maskPart(w, values)
	}
	for i := len(values) - 1; i >= 0; i-- {
		v.Values = append(v.Values, values[i])
	}
	return v
}

// maskPart leaves only the blocks whose middles lie on the part of the face that
// counts; row 0 is the one of the greatest y.
func maskPart(w *work.Work, values [][]float64) {
	side := 2 * w.Face.Rim
	for r := range values {
		for c := range values[r] {
			x := side*(float64(c)+0.5)/float64(len(values[r])) - w.Face.Rim
			y := w.Face.Rim - side*(float64(r)+0.5)/float64(len(values))
			if off, _ := w.Region.Off(x, y); off > 0 {
				values[r][c] = math.NaN()
			}
		}
	}
}
