package cam

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// Purpose says what a program, or a part of it, is for.
type Purpose string

// The purposes.
const (
	Roughing  Purpose = "rough"
	Finishing Purpose = "finish"
	Extra     Purpose = "extras"
	AirLap    Purpose = "air lap"
	Skim      Purpose = "skim"
)

// Section is a run of moves of one purpose. It starts and ends at clearance.
type Section struct {
	Purpose Purpose
	Pattern Origin
	Passes  int // or layers
	Widest  float64
	Over    float64 // of a tile: how far beyond its bare sector the axis runs, mm
	Feeds   Feeds
	Moves   []path.Move
}

// Program is what one cutter does in one setup.
type Program struct {
	Cutter   path.Cutter
	Setup    path.Setup // how the blank lies; the moves are those of the machine
	Speed    float64    // of the spindle, rpm
	Dial     string     // mark on a hand router's dial, empty where S sets the speed
	Sections []Section
}

// In returns the program as it runs in a setup: moved by its shift, and back onto the
// lattice of coordinates. A turned setup brings the blank to where the moves are.
func (p Program) In(w *Work, s path.Setup) Program {
	p.Setup = s
	if s.X == 0 && s.Y == 0 {
		return p
	}
	g, sections := w.grid(), p.Sections
	shift := func(v r3.Vec) r3.Vec { return r3.Vec{X: g.near(v.X + s.X), Y: g.near(v.Y + s.Y), Z: v.Z} }
	p.Sections = nil
	for _, sec := range sections {
		moves := sec.Moves
		sec.Moves = make([]path.Move, len(moves))
		for i, m := range moves {
			m.From, m.To = shift(m.From), shift(m.To)
			sec.Moves[i] = m
		}
		p.Sections = append(p.Sections, sec)
	}
	return p
}

// OnMachine returns moves over the blank as the machine makes them in a setup, on the
// lattice of coordinates: straight ones, and arcs where the setup turns nothing.
func OnMachine(w *Work, s path.Setup, moves []path.Move) []path.Move {
	if s.Still() {
		return moves
	}
	g, out := w.grid(), make([]path.Move, len(moves))
	place := func(v r3.Vec) r3.Vec {
		p := s.Machine(v)
		return r3.Vec{X: g.near(p.X), Y: g.near(p.Y), Z: p.Z}
	}
	for i, m := range moves {
		m.From, m.To = place(m.From), place(m.To)
		out[i] = m
	}
	return out
}

// Purpose returns what the program ends with.
func (p Program) Purpose() Purpose { return p.Sections[len(p.Sections)-1].Purpose }

// Pattern returns the names of the program's patterns, in order.
func (p Program) Pattern() string {
	s := ""
	for i, sec := range p.Sections {
		if i > 0 {
			s += ", then "
		}
		s += sec.Pattern.String()
	}
	return s
}

// Extents returns the least and greatest coordinates of the program's moves.
func (p Program) Extents() r3.Box {
	b := r3.Box{Min: r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, Max: r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}}
	for _, s := range p.Sections {
		for _, m := range s.Moves {
			b = grow(b, m.To)
			if m.Kind == path.Arc { // the passes' arcs are lowest or highest at their middle
				b = grow(b, m.At(0.5))
			}
		}
	}
	return b
}

func grow(b r3.Box, v r3.Vec) r3.Box {
	b.Min = r3.Vec{X: min(b.Min.X, v.X), Y: min(b.Min.Y, v.Y), Z: min(b.Min.Z, v.Z)}
	b.Max = r3.Vec{X: max(b.Max.X, v.X), Y: max(b.Max.Y, v.Y), Z: max(b.Max.Z, v.Z)}
	return b
}

// Plan is a work's programs in running order.
type Plan struct {
	Work     Work
	Method           // how it is cut, nothing left open
	Layout   Layout  // how the face is divided between setups; empty where it is not
	Left     float64 // most that stands above the face before finishing, mm
	Programs []Program
	Warnings []Warning
}

// Piece returns what the plan cuts, whole.
func (p *Plan) Piece() Piece { return Piece{Work: &p.Work, Method: p.Method} }

// CanSkipRoughing reports whether finishing alone bites no deeper than the
// cutter may, anywhere.
func CanSkipRoughing(w *Work, finish path.Cutter) bool {
	return alone(w, finish) <= finish.DepthOfCut-biteMargin-w.ZeroError
}

// alone returns the deepest bite of finishing without roughing.
func alone(w *Work, finish path.Cutter) float64 { return w.ground().deepest(w, finish) }

// Make plans the piece by its method, which names both cutters. The errors are Problems.
func Make(w Piece) (Plan, error) {
	p := Plan{Work: *w.Work, Method: w.Method}
	problems := Feasible(w)
	if len(problems) > 0 {
		return p, problems
	}
	finish, _ := w.Cutter(p.Finish)
	if w.Tile != nil && w.Over == 0 {
		s, err := FinishingOf(w, finish, w.Allowance)
		if err != nil {
			return p, err
		}
		w.Over = s.Over
	}
	var sections []Section
	var cutters []path.Cutter
	p.Left = w.Face.Sagitta()
	if p.Rough != "" {
		c, _ := w.Cutter(p.Rough)
		s, left, err := RoughingOf(w, c, finish)
		if err != nil {
			return p, err
		}
		if len(s.Moves) > 0 {
			sections, cutters = append(sections, s), append(cutters, c)
			p.Left = left
		}
	}
	s, err := FinishingOf(w, finish, p.Left)
	if err != nil {
		return p, err
	}
	sections, cutters = append(sections, s), append(cutters, finish)
	p.assemble(sections, cutters)
	if held := nearHoldDowns(w, p.Programs); len(held) > 0 {
		return p, held
	}
	if out := beyondTravel(w.Work, p.Programs); len(out) > 0 {
		return p, out
	}
	return p, nil
}

// assemble makes one program a cutter: two sections of one cutter share one.
func (p *Plan) assemble(sections []Section, cutters []path.Cutter) {
	for i, s := range sections {
		if n := len(p.Programs); n > 0 && p.Programs[n-1].Cutter.Name == cutters[i].Name {
			p.Programs[n-1].Sections = append(p.Programs[n-1].Sections, s)
			continue
		}
		p.Programs = append(p.Programs, Program{Cutter: cutters[i], Speed: s.Feeds.Speed, Dial: s.Feeds.Dial, Sections: []Section{s}})
	}
}

// RoughingOf plans roughing with c ahead of finishing with finish. left is the
// most that then stands above the face. A section without moves means that
// nothing stands above the allowance, and that finish may bite all of it.
func RoughingOf(w Piece, c, finish path.Cutter) (s Section, left float64, err error) {
	enough := room(w.Work, finish) >= leastLeft-fuzz
	if !enough && (alone(w.Work, finish) > w.Allowance || !CanSkipRoughing(w.Work, finish)) {
		return s, 0, leavesTooMuch(w.Work, finish)
	}
	if enough {
		s, left, err = w.ground().layers(w, c, finish)
	}
	if err == nil && len(s.Moves) == 0 && !CanSkipRoughing(w.Work, finish) {
		return s, 0, Problems{{KindBite, KeyAllowance, fmt.Sprintf("nothing stands above an allowance of %s where %s reaches, and the whole is more than %s may bite (%s)", mm(w.Allowance), c.Name, finish.Name, mm(finish.DepthOfCut)),
			"a smaller allowance, or a smaller cutter for roughing"}}
	}
	return s, left, err
}

// roughLayers plans the layers of roughing of a face that is cut all round, or of a tile of it.
func roughLayers(w Piece, c, finish path.Cutter) (s Section, left float64, err error) {
	r, err := newRough(w, c, finish)
	if err != nil {
		return s, 0, err
	}
	f, ok := NewFeeds(w.Machine, c, 0, r.depth)
	if !ok {
		return s, 0, Problems{cannotRun(w.Work, c)}
	}
	s = Section{Purpose: Roughing, Pattern: r.origin(), Passes: r.layers, Widest: r.levelStep(), Feeds: f}
	b := newBuilder(w, f)
	if w.Tile != nil {
		s.Pattern = Origin{Way: WayRounds, Figures: "back and forth, " + s.Pattern.Figures}
		tileRough{r, w.Over, finish.Radius() - r.clears()}.lay(b)
	} else {
		r.lay(b)
	}
	s.Moves = b.moves
	return s, w.Allowance + r.stands, nil
}

// FinishingOf plans finishing with c, in the piece's pattern, where at most stands
// stands above the face.
func FinishingOf(w Piece, c path.Cutter, stands float64) (Section, error) {
	p, err := planPasses(w, c)
	if err != nil {
		return Section{}, err
	}
	depth := min(stands, c.DepthOfCut)
	f, ok := finishFeeds(w.Machine, c, p.widest(), depth)
	if !ok {
		return Section{}, Problems{cannotRun(w.Work, c)}
	}
	s := Section{Purpose: Finishing, Pattern: p.origin(), Passes: p.count(), Widest: p.widest(), Feeds: f}
	b := newBuilder(w, f)
	if err := p.lay(b, stands+w.ZeroError); err != nil {
		return Section{}, err
	}
	s.Moves = b.moves
	if w.Tile != nil {
		s.Over = w.runsOn(s.Widest)
		s.Moves = tiled(w, c, f, s.Over, stands+w.ZeroError, s.Moves)
	}
	if len(s.Moves) > mostMoves {
		return Section{}, Problems{{KindMoves, KeyScallop, fmt.Sprintf("a scallop of %s with %s takes over %d moves", mm(w.Scallop), c.Name, mostMoves), "a larger scallop or cutter"}}
	}
	return s, nil
}

// quickerAlongY reports whether long passes are quicker along Y than along X.
func quickerAlongY(m machines.Machine) bool {
	if m.Feed.Y != m.Feed.X {
		return m.Feed.Y > m.Feed.X
	}
	return m.Acceleration.Y > m.Acceleration.X
}

// Choice is one row of the table from which a builder picks a scallop.
type Choice struct {
	Scallop float64 // mm
	Step    float64 // widest step between passes, mm
	Passes  int
	Length  float64 // of the finishing passes and their links, mm
	Share   float64 // of the length at the job's own scallop
}

// Choices works out what other scallops would cost with the finishing cutter c:
// a quarter, a half, once, twice and four times the one asked for.
func Choices(w Piece, c path.Cutter) []Choice {
	var table []Choice
	own := 0.0
	for _, k := range [...]float64{1, 0.25, 0.5, 2, 4} {
		v := *w.Work
		v.Scallop = float64(w.Scallop * k)
		if v.Scallop < LeastScallop || len(squareProblems(&v, c)) > 0 {
			continue
		}
		r, err := planPasses(w.Of(v), c)
		if err != nil {
			continue
		}
		one := Choice{Scallop: v.Scallop, Step: r.widest(), Passes: r.count(), Length: r.length()}
		if k == 1 {
			own = one.Length
		}
		one.Share = one.Length / own
		table = append(table, one)
	}
	for i := 1; i < len(table); i++ { // the job's own was first, for its length
		for j := i; j > 0 && table[j].Scallop < table[j-1].Scallop; j-- {
			table[j], table[j-1] = table[j-1], table[j]
		}
	}
	return table
}

// LeastScallop is the smallest scallop that a job may ask for: below it the
// steps of the coordinates and the chords eat too much of it.
const LeastScallop = 0.005
