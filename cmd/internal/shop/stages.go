package shop

import (
	"fmt"
	"math"
	"sort"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
)

// stage is one purpose's share of a program's moves, as read back.
type stage struct {
	name, pattern string
	file          string // of its program
	cutter        path.Cutter
	moves         []path.Move
	purpose       work.Purpose
	last          bool // nothing of the face is cut after it
}

// does says what a stage is called for short: what it does, or of one that was read its cutter.
func (t stage) does() string {
	if t.purpose == "" {
		return tell.Plain(t.cutter.Name, mostName)
	}
	return string(t.purpose)
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
		list = append(list, placedStage{from: from, stage: stage{name: fmt.Sprintf("program %d, %s with %s", r.first+i+1, s.Purpose, t.Program.Cutter.Name), file: t.Name,
			pattern: s.Pattern.Said().In(r.ruler()), cutter: t.Program.Cutter, moves: t.Path.Moves[from:to], purpose: s.Purpose,
			last: s.Purpose == work.Extra || s.Purpose == work.Finishing}})
		from = to
	}
	return list
}

// moveAt returns the index of the first move at a line or after it.
func (t Text) moveAt(line int) int {
	return sort.Search(len(t.Path.Moves), func(i int) bool { return t.Path.Moves[i].Source.Line >= line })
}

// mostName is the most of a file's name that a drawing shows.
const mostName = 60

// stagesRead takes each program that was read for one stage.
func stagesRead(programs []proof.Program) (list []stage) {
	for i, p := range programs {
		list = append(list, stage{name: fmt.Sprintf("program %d, %s with %s", i+1, tell.Plain(p.Name, mostName), p.Cutter.Name), file: p.Name, cutter: p.Cutter,
			pattern: fmt.Sprintf("%d moves", len(p.Path.Moves)), moves: p.Path.Moves, last: i == len(programs)-1})
	}
	return list
}

// stockFor returns the uncut blank in cells that suit the cutters of all stages.
func stockFor(b dish.Blank, stages []stage) *proof.Stock {
	return proof.NewStock(b, proof.CellSize(b, narrowest(stages)))
}

// narrowest returns the diameter of the narrowest cutter of some stages.
func narrowest(stages []stage) float64 {
	least := math.Inf(1)
	for _, t := range stages {
		least = min(least, t.cutter.Diameter)
	}
	return least
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
