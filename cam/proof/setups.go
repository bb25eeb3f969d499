package proof

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/extra"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

// Setups is how a face is divided between setups; the zero value cuts it in one.
//
// Each setup by itself must keep the scallop over its region of the face, and as far
// beyond it as an index error may move it. Wherever in that range a setup really lies,
// its region is then covered by passes that keep the scallop. Turned about the apex a
// sphere is the same; shifted by δ it stands at most δ times its slope higher or lower;
// and a blank that lies higher or lower leaves so much more or less. So the sum bounds
// what is left, whatever errors meet at a seam. A shift brings to the rim of a hollow
// what lies beyond the face, which is no higher than the blank's top: over a place δ
// inside the rim that is δ times the slope, within the same sum. Beyond a crown lies the
// floor of its moat, below all of the face except for the floor's own scallops, which
// are not certified.
type Setups struct {
	Parts            []SetupPart
	MachineObstacles []path.Obstacle // what stands on the machine, as the machine sees it
	ShiftAllowance   float64         // the most that shifts add to a scallop, mm
	HeightAllowance  float64         // the most that seating and touching off again add, mm
	Pin              *extra.Hole     // the hole that the blank is turned about; nil where it is not
}

// SetupPart is the region of the face in which one setup must keep the scallop.
type SetupPart struct {
	Setup  path.Setup
	Region dish.Region // as the blank sees it, extended by what an index error may move it
}

// IndexAllowance returns the most that an index error adds to a scallop, mm.
func (s Setups) IndexAllowance() float64 { return s.ShiftAllowance + s.HeightAllowance }

// inSetup returns the case as one setup sees it: what stands on the machine moves over the
// blank when that is turned.
func (c Case) inSetup(s path.Setup) Case {
	if len(c.Setups.Parts) == 0 {
		return c
	}
	var all []path.Obstacle
	for _, h := range c.Obstacles {
		if h.StandsIn(s) {
			all = append(all, h)
		}
	}
	for _, k := range c.Setups.MachineObstacles {
		if k.StandsIn(s) {
			all = append(all, s.Obstacle(k))
		}
	}
	c.Obstacles = all
	return c
}

// partOf returns the number of a setup's tile; -1 where it has none.
func (s Setups) partOf(setup path.Setup) int {
	for i, t := range s.Parts {
		if t.Setup == setup {
			return i
		}
	}
	return -1
}

// checkSetup finds a program whose setup is none of the job's.
func (j *checker) checkSetup() {
	if s := j.limits.Setups; len(s.Parts) > 0 && s.partOf(j.program.Setup) < 0 {
		j.report(KindOrder, path.Source{Line: 1, Column: 1}, 0, 0, 0, "the program is for no setup of this job: turned by %d degrees, shifted by %v", j.program.Setup.Turn, measure.At(j.program.Setup.X, j.program.Setup.Y))
	}
}

// certifySetups certifies the scallop of each setup by itself, and adds the index
// allowance.
func (c Case) certifySetups(programs []Program, extras []*programExtras) (worst Scallop, err error) {
	worst = Scallop{Certified: math.Inf(-1), Found: math.Inf(-1)}
	for _, t := range c.Setups.Parts {
		one := c
		one.Region = t.Region
		// The passes may use what the index allowance leaves.
		one.MaxScallop = max(c.MaxScallop/4, c.MaxScallop-c.Setups.IndexAllowance())
		r, err := one.certify(cutsInSetup(programs, extras, t.Setup))
		if err != nil {
			return worst, err
		}
		cells := worst.Cells + r.Cells
		if r.Certified > worst.Certified {
			worst = r
		}
		worst.Cells = cells
	}
	worst.Certified += c.Setups.IndexAllowance()
	return worst, nil
}

// emptySetups finds setups in which nothing is cut.
func (c Case) emptySetups(programs []Program, extras []*programExtras) (list []Finding) {
	for _, t := range c.Setups.Parts {
		if len(cutsInSetup(programs, extras, t.Setup)) == 0 {
			list = append(list, Finding{Kind: KindOrder, Message: measure.Say("no program cuts the part of setup %s", t.Setup.Name())})
		}
	}
	return list
}

// turnedTooSoon finds the first program for which the blank is turned about a pin whose hole
// is not cut by then.
func (c Case) turnedTooSoon(programs []Program) (list []Finding) {
	pin := c.Setups.Pin
	if pin == nil {
		return nil
	}
	turned := slices.IndexFunc(programs, func(p Program) bool { return p.Setup.Number > 1 })
	if turned < 0 {
		return nil
	}
	t := &tally{of: c.budget}
	defer t.flush()
	unfinishedHole(*pin, programs[:turned], func(p r3.Vec, amount float64, _ string, _ ...any) {
		list = append(list, Finding{Program: programs[turned].Name, Line: 1, Column: 1, Kind: KindOrder, X: p.X, Y: p.Y, Amount: amount,
			Message: measure.Say("in setup %s the blank lies over a pin in %s, which is not cut before", programs[turned].Setup.Name(), pin.Name)})
	}, t)
	return list
}

// cutsInSetup returns what the programs of one setup cut of the face.
func cutsInSetup(programs []Program, extras []*programExtras, s path.Setup) (cuts []Cut) {
	for i, p := range programs {
		if p.Setup == s && !extras[i].cutsOnlyExtras() && !p.cutsNothing() {
			cuts = append(cuts, Cut{p.Cutter, p.Path.Moves})
		}
	}
	return cuts
}

// indexErrorText says how much of a scallop the index error adds, and with which error in
// height the scallop would be kept, if with any.
func (c Case) indexErrorText(scallop Scallop) measure.Said {
	s := c.Setups
	if len(s.Parts) == 0 || s.IndexAllowance() == 0 {
		return measure.Say("")
	}
	text := measure.Say(", %v of it by the index error", measure.To(s.IndexAllowance(), 4))
	left := c.MaxScallop - (scallop.Certified - s.HeightAllowance)
	if left < minHeightError || s.HeightAllowance == 0 {
		return text
	}
	return measure.Say("%v; with one of %v in height these programs would keep it", text, measure.Most(left, 3))
}

// minHeightError is the least error in height, in mm, that touching off can keep.
const minHeightError = 0.002

// travelBox is the range of X and Y that programs run over on the machine.
type travelBox struct{ lo, hi r3.Vec }

func newTravelBox() *travelBox {
	inf := math.Inf(1)
	return &travelBox{r3.Vec{X: inf, Y: inf}, r3.Vec{X: -inf, Y: -inf}}
}

// excess adds the box of a move and returns by how much it then exceeds the travel; 0
// where the move does not enlarge it. Unknown coordinates do not count.
func (r *travelBox) excess(lo, hi r3.Vec, travel r3.Vec) float64 {
	grow := func(least, most *float64, a, b, travel float64) float64 {
		before := *most - *least
		if a < *least {
			*least = a
		}
		if b > *most {
			*most = b
		}
		if now := *most - *least; now > before {
			return now - travel
		}
		return 0
	}
	return max(0, max(grow(&r.lo.X, &r.hi.X, lo.X, hi.X, travel.X), grow(&r.lo.Y, &r.hi.Y, lo.Y, hi.Y, travel.Y)))
}
