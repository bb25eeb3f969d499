package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// Setups is how a face is divided between setups; the zero value cuts it in one.
//
// Each setup by itself has to keep the scallop over its part of the face and as far
// beyond it as an index error may move it. Wherever in that range a setup really lies,
// the part is then covered by passes that keep it; turned about the apex a sphere is the
// same, shifted by δ it stands δ times its slope higher or lower at most, and a blank
// that lies higher or lower leaves so much more or less. So the sum bounds what is left,
// whatever errors meet at a seam. A shift brings to the rim of a hollow what lies beyond
// the face, no higher than the blank's top: over a place δ inside the rim that is δ times
// the slope, within the same sum. Beyond a crown lies the floor of its moat, below all of
// the face but for its own scallops, which are not certified.
type Setups struct {
	Parts            []SetupPart
	MachineObstacles []path.Obstacle // what stands on the machine, as the machine sees it
	ShiftAllowance   float64         // what shifts add to a scallop at most, mm
	HeightAllowance  float64         // what seating and touching off anew add, mm
}

// SetupPart is what one setup has to keep.
type SetupPart struct {
	Setup  path.Setup
	Region dish.Part // of the face, as the blank sees it, an index error's reach included
}

// IndexAllowance returns what an index error adds to a scallop at most, mm.
func (s Setups) IndexAllowance() float64 { return s.ShiftAllowance + s.HeightAllowance }

// inSetup returns the case as one setup sees it: what stands on the machine moves over the
// blank when that is turned.
func (c Case) inSetup(s path.Setup) Case {
	if len(c.Setups.Parts) == 0 {
		return c
	}
	var all []path.Obstacle
	for _, h := range c.Obstacles {
		if h.In == 0 || h.In == s.Number {
			all = append(all, h)
		}
	}
	for _, k := range c.Setups.MachineObstacles {
		if k.In == 0 || k.In == s.Number {
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

// checkSetup finds a program that lies as no setup of the job does.
func (j *checker) checkSetup() {
	if s := j.c.Setups; len(s.Parts) > 0 && s.partOf(j.p.Setup) < 0 {
		j.report(KindOrder, path.Source{Line: 1, Column: 1}, 0, 0, 0, "the program is for no setup of this job: turned by %d degrees, shifted by X%.3f Y%.3f mm", j.p.Setup.Turn, j.p.Setup.X, j.p.Setup.Y)
	}
}

// certifySetups certifies the scallop of each setup by itself, and adds what an index error
// may.
func (c Case) certifySetups(programs []Program, extras []*programExtras) (worst Scallop, err error) {
	worst = Scallop{Certified: math.Inf(-1), Found: math.Inf(-1)}
	for _, t := range c.Setups.Parts {
		one := c
		one.Region = t.Region
		// What is allowed to passes is what an index error leaves; it only steers the search.
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
			list = append(list, Finding{Kind: KindOrder, Message: fmt.Sprintf("no program cuts the part of setup %s", t.Setup.Name())})
		}
	}
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

// indexErrorText says what of a scallop is the index error's, and which one in height would keep
// the scallop, where one would.
func (c Case) indexErrorText(scallop Scallop) string {
	s := c.Setups
	if len(s.Parts) == 0 || s.IndexAllowance() == 0 {
		return ""
	}
	text := fmt.Sprintf(", %.4f mm of it by the index error", s.IndexAllowance())
	left := c.MaxScallop - (scallop.Certified - s.HeightAllowance)
	if left < minHeightError || s.HeightAllowance == 0 {
		return text
	}
	return text + fmt.Sprintf("; with one of %.3f mm in height these programs would keep it", math.Floor(left*1e3)/1e3)
}

// minHeightError is the smallest error in height that anybody can touch off to, mm.
const minHeightError = 0.002

// travelBox is what programs run over in X and Y on the machine.
type travelBox struct{ lo, hi r3.Vec }

func newTravelBox() *travelBox {
	inf := math.Inf(1)
	return &travelBox{r3.Vec{X: inf, Y: inf}, r3.Vec{X: -inf, Y: -inf}}
}

// excess takes in the box of a move and returns by how much that makes it larger than
// the travel; 0 where it was larger before. Unknown coordinates count for nothing.
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
