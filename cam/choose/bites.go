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

	once  sync.Once
	stock *proof.Stock // nil where it is not kept
	bite  float64
	over  float64 // most that stands above the face, mm
	err   error
}

// steepInto returns why a plan's finishing passes go down into stock more steeply
// than their cutter may, or bite deeper.
func (b *bites) steepInto(p cam.Plan) error {
	if !divesUnseen(p) && !verySteep(p.Work.Face) {
		return nil
	}
	_, err := b.deepest(p)
	return err
}

// deepest runs a plan's programs over the blank. It returns the deepest bite, mm, and why a
// finishing pass goes down into stock more steeply than its cutter may, or on a very steep face
// any bites deeper. Finishing passes that can do neither, nor bite deeper than roughing, for no
// more stands above the face, are not run.
func (b *bites) deepest(p cam.Plan) (bite float64, err error) {
	narrowest := math.Inf(1)
	for _, pr := range p.Programs {
		narrowest = min(narrowest, pr.Cutter.Diameter)
	}
	cell := proof.CellSize(p.Work.Blank, narrowest)
	var r *roughed
	for _, pr := range p.Programs {
		for _, sec := range pr.Sections {
			if sec.Purpose == work.Roughing {
				r = b.rough(p.Work, pr.Cutter, cell, sec.Moves)
				if bite, err = r.bite, r.err; err != nil {
					return bite, err
				}
				continue
			}
			shallow := r != nil && r.over <= bite
			if shallow && !divesUnseen(p) && !verySteep(p.Work.Face) {
				continue
			}
			s := b.standing(p.Work, r, cell)
			s.SkipAllowedBites = b.onlyTooDeep || shallow
			done := s.RunOnMachine(p.Work.Machine, pr.Cutter, sec.Moves)
			bite, err = max(bite, done.Depth), tooMuch(p, pr.Cutter, done)
		}
	}
	return bite, err
}

// tooMuch returns why a finishing section goes down too steeply, or into what its core never
// leaves, or on a very steep face bites too deep.
func tooMuch(p cam.Plan, c path.Cutter, r proof.RunReport) error {
	err := tooDeep(p.Work.Face, c, r)
	var message measure.Said
	switch {
	case err != nil:
		return err
	case len(r.TooSteep) > 0:
		message = measure.Say("%s with %s goes down into stock at %.1f degrees; it may at %.1f", p.Pattern, c.Name, r.TooSteep[0].Angle*180/math.Pi, c.Ramp*180/math.Pi)
	case len(r.Posts) > 0:
		message = measure.Say("%s with %s goes down where its middle, which does not cut, leaves %v standing; it may press %v", p.Pattern, c.Name, measure.To(r.Posts[0].Depth, 2), measure.To(r.Posts[0].Allowed, 2))
	default:
		return nil
	}
	return work.Problems{{
		Kind:    work.KindRamp,
		Key:     work.KeyPattern,
		Message: message,
		Hint:    measure.Say("another pattern, such as a raster, which then only climbs; a smaller allowance; or a greater ramp, if the cutter can plunge"),
	}}
}

// tooDeep returns why a section bites too deep, on a very steep face.
func tooDeep(f dish.Face, c path.Cutter, r proof.RunReport) error {
	if len(r.TooDeep) == 0 || !verySteep(f) {
		return nil
	}
	return work.Problems{{
		Kind:    work.KindBite,
		Key:     work.KeyPattern,
		Message: measure.Say("on a face so steep %s bites %v in places; it may take %v", c.Name, measure.To(r.TooDeep[0].Depth, 2), measure.To(c.DepthOfCut, 2)),
		Hint:    measure.Say("another pattern, cutters that may bite deeper, a smaller diameter, or a larger radius"),
	}}
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
		r.bite, r.over, r.err = done.Depth, s.MostOver(w.Face), tooDeep(w.Face, c, done)
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
	return s, s.RunOnMachine(w.Machine, r.cutter, r.moves)
}

// standing returns what stands after roughing, or of the whole blank where there is none, for
// finishing to be run over.
func (b *bites) standing(w work.Work, r *roughed, cell float64) *proof.Stock {
	switch {
	case r == nil:
		r = &roughed{cell: cell}
	case r.stock != nil:
		return r.stock.Clone()
	}
	s, _ := b.run(w, r)
	return s
}
