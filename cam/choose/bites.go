package choose

import (
	"math"
	"slices"
	"sync"

	"dishwright/cam"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// bites finds how deep the plans of one work bite. Many of them rough in the same way, which
// is run once.
type bites struct {
	onlyTooDeep bool // bites that may be count as none

	own    sync.Mutex
	roughs []*roughed
	kept   int // cells of their fields
}

// mostKeptCells is how many cells the fields of all roughing may keep together, which takes
// about 200 MB; what is not kept is run again where it is wanted.
const mostKeptCells = 1_000_000

// roughed is what roughing leaves of a blank.
type roughed struct {
	cutter path.Cutter
	cell   float64
	moves  []path.Move

	once   sync.Once
	stock  *proof.Stock // nil where it is not kept
	report proof.RunReport
	err    error   // of a run that took too long
	over   float64 // most that stands above the face, mm
}

// mostHeld is how many looks one run over the blank may take. The proof takes as many again, so
// that less than half of what it may take is left to certifying.
const mostHeld = proof.MaxLooks / 5 * 2

// held is what running a plan's programs over the blank shows: the deepest bite, mm, and why
// roughing or finishing will not do.
type held struct {
	bite          float64
	rough, finish error
}

// hold runs a plan's programs over the blank. Finishing passes that can break nothing, nor bite
// deeper than roughing, for no more stands above the face, are not run; nor are any once
// roughing will not do.
func (b *bites) hold(p cam.Plan) (h held) {
	narrowest := math.Inf(1)
	for _, pr := range p.Programs {
		narrowest = min(narrowest, pr.Cutter.Diameter)
	}
	cell, surely := proof.CellSize(p.Work.Blank, narrowest), !unseen(p)
	var r *roughed
	for _, pr := range p.Programs {
		for _, sec := range pr.Sections {
			if sec.Purpose == work.Roughing {
				r = b.rough(p.Work, pr.Cutter, cell, sec.Moves)
				if h.bite, h.rough = r.report.Depth, refused(measure.Say("roughing"), pr.Cutter, r.report, r.err); h.rough != nil {
					return h
				}
				continue
			}
			shallow := r != nil && r.over <= h.bite
			if shallow && surely {
				continue
			}
			s := b.standing(p.Work, r, cell)
			s.SkipAllowedBites = b.onlyTooDeep || shallow
			done := s.RunOnMachine(p.Work.Machine, pr.Cutter, sec.Moves)
			h.bite, h.finish = max(h.bite, done.Depth), refused(measure.Say("%s", p.Pattern), pr.Cutter, done, s.Err())
		}
	}
	return h
}

// refused returns why passes with a cutter will not do: they bite too deep, go down too steeply,
// or into what its core never leaves; or to find that took too long.
func refused(passes measure.Said, c path.Cutter, r proof.RunReport, tooLong error) error {
	p := work.Problem{Kind: work.KindRamp, Key: work.KeyPattern,
		Hint: measure.Say("another pattern, such as a raster, which then only climbs; a smaller allowance; or a greater ramp, if the cutter can plunge")}
	switch {
	case tooLong != nil:
		return work.Problems{spent}
	case len(r.TooDeep) > 0:
		p.Kind = work.KindBite
		p.Message = measure.Say("%s with %s bites %v in places; it may take %v", passes, c.Name, measure.To(r.TooDeep[0].Depth, 2), measure.To(c.DepthOfCut, 2))
		p.Hint = measure.Say("another pattern, cutters that may bite deeper, a smaller diameter, or a larger radius")
	case len(r.TooSteep) > 0:
		p.Message = measure.Say("%s with %s goes down into stock at %.1f degrees; it may at %.1f", passes, c.Name, r.TooSteep[0].Angle*180/math.Pi, c.Ramp*180/math.Pi)
	case len(r.Posts) > 0:
		p.Message = measure.Say("%s with %s goes down where its middle, which does not cut, leaves %v standing; it may press %v", passes, c.Name, measure.To(r.Posts[0].Depth, 2), measure.To(r.Posts[0].Allowed, 2))
	default:
		return nil
	}
	if overhangs(c) {
		p.Key = work.CoreKey(c)
		p.Hint = measure.Say("another cutter, with a core no wider than its level end; or write core: %s, for one whose edges meet in the middle", measure.MM(0))
	}
	return work.Problems{p}
}

// rough returns what roughing leaves, run by whoever asks first.
func (b *bites) rough(w work.Work, c path.Cutter, cell float64, moves []path.Move) *roughed {
	b.own.Lock()
	i := slices.IndexFunc(b.roughs, func(r *roughed) bool {
		return r.cutter == c && r.cell == cell && slices.Equal(r.moves, moves)
	})
	if i < 0 {
		i = len(b.roughs)
		b.roughs = append(b.roughs, &roughed{cutter: c, cell: cell, moves: moves})
	}
	r := b.roughs[i]
	b.own.Unlock()
	r.once.Do(func() {
		s, done := b.run(w, r)
		r.report, r.err, r.over = done, s.Err(), s.MostOver(w.Face)
		cells := int(w.Blank.Length * w.Blank.Width / (s.CellSize() * s.CellSize()))
		b.own.Lock()
		if b.kept+cells <= mostKeptCells {
			b.kept, r.stock = b.kept+cells, s
		}
		b.own.Unlock()
	})
	return r
}

// run runs roughing over the blank.
func (b *bites) run(w work.Work, r *roughed) (*proof.Stock, proof.RunReport) {
	s := proof.NewStock(w.Blank, r.cell)
	s.Slope, s.SkipAllowedBites = dish.Slope(w.Face.Radius, w.Face.Rim), b.onlyTooDeep
	s.Allow(mostHeld)
	return s, s.RunOnMachine(w.Machine, r.cutter, r.moves)
}

// standing returns what stands after roughing, or of the whole blank where there is none, for
// finishing to be run over.
func (b *bites) standing(w work.Work, r *roughed, cell float64) *proof.Stock {
	if r == nil {
		r = &roughed{cell: cell}
	}
	s := r.stock
	if s == nil {
		s, _ = b.run(w, r)
	} else {
		s = s.Clone()
	}
	s.Allow(mostHeld)
	return s
}
