package play

import (
	"math"
	"sort"
	"time"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/figure"

	"gonum.org/v1/gonum/spatial/r3"
)

// The bounds of a pace, and the usual one: how many times as fast as the machine.
const (
	Slowest, Usual, Fastest = 1, 60, 3600
)

// Show is a run that is being looked at. Use NewShow.
type Show struct {
	programs []Program
	starts   []time.Duration // of each program
	total    time.Duration
	pace     int

	now  time.Duration
	held bool

	field *proof.Heights // what stands at the place of the run in field
	in    place
	kept  []kept // earlier fields, in the order of the run
	every time.Duration
}

// place is how far the run is: so many moves of a program are carried out.
type place struct{ program, done int }

func (p place) before(q place) bool {
	return p.program < q.program || p.program == q.program && p.done < q.done
}

// kept is the field at a place of the run.
type kept struct {
	at    place
	field *proof.Heights
}

// mostKept is how many bytes the fields that are kept may take together, and mostFields
// how many there may be: a step back then runs a small part of the work again.
const mostKept, mostFields = 64_000_000, 32

// NewShow begins to look at programs in running order; there is one at least.
func NewShow(programs []Program, pace int) *Show {
	s := &Show{programs: programs, pace: max(Slowest, min(pace, Fastest))}
	for i := range programs {
		s.starts = append(s.starts, s.total)
		s.total += duration(programs[i].whole)
	}
	s.renew(0)
	return s
}

// renew lays an uncut blank for the piece of a program.
func (s *Show) renew(program int) {
	p := s.programs[program].Piece
	for program > 0 && s.programs[program-1].Piece == p {
		program--
	}
	s.field, s.in = proof.NewHeights(p.Blank, p.Cell), place{program, 0}
	s.kept = []kept{{s.in, s.field.Clone()}}
	fields := max(2, min(mostFields, mostKept/(8*s.field.Len())))
	s.every = s.total/time.Duration(fields) + 1
}

// At returns the moment of the run, and how long all of it takes.
func (s *Show) At() (now, total time.Duration) { return s.now, s.total }

// Go goes to a moment of the run, or to its nearer end.
func (s *Show) Go(to time.Duration) { s.now = max(0, min(to, s.total)) }

// GoShare goes to where so much of the path that is cut is cut.
func (s *Show) GoShare(share float64) {
	all := 0.0
	for _, p := range s.programs {
		for _, m := range p.Moves {
			all += cut(m)
		}
	}
	left := share * all
	for i, p := range s.programs {
		for k, m := range p.Moves {
			if left -= cut(m); left <= 0 {
				s.Go(s.starts[i] + duration(p.ends[k]))
				return
			}
		}
	}
	s.Go(s.total)
}

// GoStage goes to where a stage that cuts begins, by its number.
func (s *Show) GoStage(number int) {
	for i, p := range s.programs {
		for _, t := range p.Stages {
			if t.Number == number && number > 0 {
				at := s.starts[i]
				if t.From > 0 {
					at += duration(p.ends[t.From-1])
				}
				s.Go(at)
				return
			}
		}
	}
}

// cut returns how far a move goes at a feed.
func cut(m path.Move) float64 {
	if n := m.Length(); m.Kind != path.Traverse && n > 0 {
		return n
	}
	return 0
}

// Pass lets time go by, unless the run is held. At its end it is.
func (s *Show) Pass(t time.Duration) {
	if s.held {
		return
	}
	s.Go(s.now + t*time.Duration(s.pace))
	s.held = s.now == s.total
}

// Press does what a key asks for.
func (s *Show) Press(k Key) {
	step := time.Duration(s.pace) * time.Second
	p := s.program()
	switch k {
	case Space:
		if s.held = !s.held; !s.held && s.now == s.total {
			s.now = 0
		}
	case Right:
		s.Go(s.now + step)
	case Left:
		s.Go(s.now - step)
	case Down:
		s.Go(s.total)
		if p+1 < len(s.programs) {
			s.Go(s.starts[p+1])
		}
	case Up:
		if p > 0 && s.now-s.starts[p] < step {
			p--
		}
		s.Go(s.starts[p])
	}
}

// program returns the one that runs.
func (s *Show) program() int {
	n := sort.Search(len(s.starts), func(i int) bool { return s.starts[i] > s.now })
	return max(0, n-1)
}

// where returns the program that runs, the moves of it that are carried out, and the
// share of the next.
func (s *Show) where() (at place, share float64) {
	n := s.program()
	p := &s.programs[n]
	if s.now == s.total {
		return place{n, len(p.Moves)}, 0
	}
	done, share := p.at((s.now - s.starts[n]).Seconds())
	return place{n, done}, share
}

// bring brings the field to a place of the run.
func (s *Show) bring(to place) {
	if s.programs[to.program].Piece != s.programs[s.in.program].Piece {
		s.renew(to.program)
	}
	n := len(s.kept) - 1
	for n > 0 && to.before(s.kept[n].at) {
		n--
	}
	if to.before(s.in) || s.in.before(s.kept[n].at) {
		s.field, s.in = s.kept[n].field.Clone(), s.kept[n].at
	}
	const batch = 64 // moves after which it is seen whether to keep the field
	for s.in.before(to) {
		p := &s.programs[s.in.program]
		end := len(p.Moves)
		if s.in.program == to.program {
			end = to.done
		}
		if next := min(end, s.in.done+batch); next > s.in.done {
			s.field.Run(p.Cutter, p.Moves, s.in.done, next)
			s.in.done = next
		}
		if s.in.done == len(p.Moves) && s.in.program < to.program {
			s.in = place{s.in.program + 1, 0}
		}
		if last := s.kept[len(s.kept)-1]; s.time(s.in)-s.time(last.at) >= s.every {
			s.kept = append(s.kept, kept{s.in, s.field.Clone()})
		}
	}
}

// time returns when the run comes to a place.
func (s *Show) time(at place) time.Duration {
	t := s.starts[at.program]
	if at.done > 0 {
		t += duration(s.programs[at.program].ends[at.done-1])
	}
	return t
}

// tip returns where the cutter's tip stands; ok is false where that is not known.
func (s *Show) tip(at place, share float64) (tip r3.Vec, ok bool) {
	moves := s.programs[at.program].Moves
	switch {
	case share > 0:
		tip = moves[at.done].At(share)
	case at.done > 0:
		tip = moves[at.done-1].To
	default:
		return tip, false
	}
	return tip, !math.IsNaN(tip.X + tip.Y + tip.Z)
}

// view returns the wood as it stands, and the stage.
func (s *Show) view(at place, share float64) (v figure.MapView, stage Stage) {
	s.bring(at)
	p := &s.programs[at.program]
	stage = p.stage(min(at.done, len(p.Moves)-1))
	if share > 0 {
		if m, ok := part(p.Moves[at.done], share); ok {
			s.field.Peek(p.Cutter, m, func() { v = stage.View(s.field) })
			return v, stage
		}
	}
	return stage.View(s.field), stage
}
