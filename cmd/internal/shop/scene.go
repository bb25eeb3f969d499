package shop

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// Scene is a piece of work and the stages of what was read back, to be looked at.
type Scene struct {
	Name   string // what its stages are of, where it is not the first
	w      *work.Work
	stages []stage // that cut
	left   float64 // what the stages before the finish may leave
	first  int     // stages of the pieces before it
	r      *Result // whose programs they are; nil of those that were read
}

// Scenes are what is to be looked at: of a pair the caul comes second.
type Scenes []Scene

// Scenes are what a result shows.
func (r *Result) Scenes() Scenes {
	s := newScene(&r.Plan.Work, r.stages(), r.Plan.Left)
	s.r = r
	if r.Mate == nil {
		return Scenes{s}
	}
	m := newScene(&r.Mate.Plan.Work, r.Mate.stages(), r.Mate.Plan.Left)
	m.Name, m.first, m.r = "of the caul ", len(s.stages), r.Mate
	return Scenes{s, m}
}

// SceneRead is what programs that were read show: each is taken for one stage.
func SceneRead(w *work.Work, programs []proof.Program) Scenes {
	return Scenes{newScene(w, stagesRead(programs), w.Allowance*2)}
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

// names are those of all stages, with their numbers.
func (list Scenes) names() string {
	var all []string
	for _, s := range list {
		var names []string
		for i, t := range s.stages {
			names = append(names, fmt.Sprintf("%d %s", s.first+i+1, t.does()))
		}
		all = append(all, s.Name+strings.Join(names, ", "))
	}
	return strings.Join(all, "; ")
}

// Stage returns the number of the stage that a word tells: its number, what it does, or the file
// of its program, of which the last is meant; 0 for no word.
func (list Scenes) Stage(word string) (number int, err error) {
	if word == "" {
		return 0, nil
	}
	var found []string
	for _, s := range list {
		for i, t := range s.stages {
			n := s.first + i + 1
			switch file := filepath.Base(t.file); {
			case word == fmt.Sprint(n) || word == t.does():
				number, found = n, append(found, fmt.Sprint(n))
			case filepath.Base(word) == file || word == strings.TrimSuffix(file, filepath.Ext(file)):
				number, found = n, []string{fmt.Sprint(n)}
			}
		}
	}
	switch hint := "the stages are " + list.names(); len(found) {
	case 0:
		return 0, tell.Errorf(hint, "there is no stage %s", measure.Quote(word))
	case 1:
		return number, nil
	default:
		return 0, tell.Errorf(hint+": write its number, or its program's file", "%s are the stages %s", measure.Quote(word), strings.Join(found, ", "))
	}
}

// of returns the scene that a stage belongs to, the first for stage 0.
func (list Scenes) of(stage int) (s Scene) {
	for i, one := range list {
		if i == 0 || stage > one.first {
			s = one
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

// all reports whether the work is looked at when all of it is cut.
func (a Ask) all() bool { return a.Stage == 0 && a.Share == 1 }

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
	if s.r != nil && s.r.left != nil && a.all() && !slices.ContainsFunc(s.stages, beside) {
		v.stock = s.r.left
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
