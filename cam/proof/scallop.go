package proof

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"dishwright/cam/path"
	"dishwright/dish"
)

// Cut is what one cutter does: its moves in running order.
type Cut struct {
	Cutter path.Cutter
	Moves  []path.Move
}

// Scallop is the highest scallop on a face, in mm along the face's normal; negative
// where the whole face lies too low.
type Scallop struct {
	Certified float64 // nothing on the closed face stands higher
	Found     float64 // what stands at X, Y, evaluated from below
	X, Y      float64 // mm
	Cells     int     // how many cells were bounded
	CellCost  int     // how many of CertifyOptions.MaxCells they took
	Looks     int64   // that it took, without those of what was known

	cellsRanOut bool // of one tile: the bound is what was reached when its cells ran out
}

// CertifyOptions states what the scallop is certified for, and steers the search; the
// zero value is a spindle square to the bed and cutters of their named size.
type CertifyOptions struct {
	Tilt      float64     // of the spindle, at most and in its worst direction: rise over length, 0 to maxTilt
	Undersize float64     // of every cutter's diameter, at most, mm
	Slack     float64     // Certified − Found to be reached, mm; 0 means 0.001, the gouge tolerance, or a twentieth of Expected where that is less
	Expected  float64     // a scallop that is probably not exceeded, mm: moves far above it are first left out, and whether it is kept is known more closely than by the slack; 0 where none is known
	StopAbove float64     // mm: finding a higher scallop ends the search, with Certified +Inf; 0 for never
	MaxLooks  int64       // more looks than this are a TooMuchWorkError; 0 means MaxLooks
	MaxCells  int         // after this number of cells the bound is returned as it is, cells of bulls counted twice; 0 means DefaultMaxCells
	Sample    bool        // only some of the face counts, here and there, and CellCost is what all of it would take, about
	Region    dish.Region // only this part of the face counts; nil, or its disc, for all of it

	Known *Known // what was certified before, and what this adds to it; nil for nothing

	budget *budget // what the search may spend together with others; nil for one of its own
}

// DefaultMaxCells is the default of CertifyOptions.MaxCells. A face of 600 mm with 300
// passes takes a tenth of a million cells; forty times as many still take less than half
// a minute (2 to 8 µs a cell on two cores, 15 with a bull).
const DefaultMaxCells = 4_000_000

// Limits of the search.
const (
	defaultSlack = 0.001
	// The slack is a small share of a scallop of a few micrometres, too.
	slackPerScallop = 1.0 / 20
	// Cells of this size, in mm, are not halved further: where the scallop depends on
	// less (two cuts that only just touch) the bound is returned as it is.
	minCell = 1e-6
	// Rounding of heights at radii of up to 1e5 mm: 1e5 × 2⁻⁵² × a few steps.
	heightRounding = 1e-9
	// Tiles across the face: enough that the passes over one are few and run one way,
	// not so many that each takes only a few cells.
	maxTilesAcross, minTilesAcross = 72, 12
	// tilePerRadius is the least tile as a share of the cutter's radius: the passes over
	// smaller ones are the same.
	tilePerRadius = 0.25
)

// tilesAcross returns how many tiles lie across the face.
func tilesAcross(face dish.Face, runs []*run) int {
	narrowest := math.Inf(1)
	for _, r := range runs {
		narrowest = min(narrowest, r.end.Radius())
	}
	return int(clamp(math.Ceil(2*face.Rim/(tilePerRadius*narrowest)), minTilesAcross, maxTilesAcross))
}

// Certify returns the highest scallop that the cuts leave on the closed face
// d ≤ face.Rim, where top is the height of what was there before (the blank's
// top: 0): the greatest over the face of the least of top and every cutting
// move's swept surface, above the face along its normal. An uncut place counts
// with top. Traverses never count as cutting.
//
// Certified is never less than the truth and Found never more; Certified −
// Found is at most the slack unless MaxCells ran out or two footprints only
// just touch, and then Certified is larger. The same input gives the same
// result on any number of processors.
//
// It is an error where the face is invalid, top is no height, a cutter has no size (or
// none left), the tilt is out of its range, or a coordinate is beyond 1 km; and a
// TooMuchWorkError where the search needs more than MaxLooks.
func Certify(face dish.Face, top float64, cuts []Cut, opt CertifyOptions) (Scallop, error) {
	if _, err := dish.NewFace(face.Kind, face.Radius, face.Rim); err != nil {
		return Scallop{}, err
	}
	if !(math.Abs(top) <= maxCoordinate) || face.Rim > maxCoordinate {
		return Scallop{}, errors.New("the blank's top or the rim is no usable size")
	}
	if face.Kind == dish.Hollow && !(top < face.Radius-face.Sagitta()) {
		return Scallop{}, fmt.Errorf("the blank's top at %g mm lies above the middle of the sphere", top)
	}
	if !(opt.Tilt >= 0 && opt.Tilt <= maxTilt) || !(opt.Undersize >= 0) {
		return Scallop{}, fmt.Errorf("a tilt of %g or an undersize of %g mm is out of range", opt.Tilt, opt.Undersize)
	}
	if !(opt.Slack > 0) {
		opt.Slack = defaultSlack
		if opt.Expected > 0 {
			opt.Slack = min(opt.Slack, slackPerScallop*opt.Expected)
		}
	}
	if all, ok := opt.Region.(dish.Disc); ok && all.Radius == face.Rim {
		opt.Region = nil // the rim bounds the search by itself
	}
	if opt.MaxCells <= 0 {
		opt.MaxCells = DefaultMaxCells
	}
	if opt.budget == nil {
		opt.budget = newBudget()
		if opt.MaxLooks > 0 {
			opt.budget.limit = min(opt.MaxLooks, MaxLooks)
		}
	}
	before := opt.budget.done()
	r, err := certifyTwice(face, top, cuts, opt)
	r.Looks = opt.budget.done() - before
	return r, err
}

// certifyTwice is Certify for a valid face and complete options: without the moves that lie far
// above the scallop expected, and with them where they count.
func certifyTwice(face dish.Face, top float64, cuts []Cut, opt CertifyOptions) (Scallop, error) {
	if opt.Expected > 0 {
		high := 2 * opt.Expected
		r, all, err := certify(face, top, cuts, opt, high)
		// What was left out stands at least this high: lower scallops do not depend on it.
		left := float64(high * normalFactor(face, high))
		if err != nil || all || opt.Sample || r.Certified < left {
			return r, err
		}
		if r.Found = min(r.Found, left); opt.StopAbove > 0 && r.Found > opt.StopAbove {
			r.Certified = math.Inf(1)
			return r, nil
		}
		opt.MaxCells = max(1, opt.MaxCells-r.CellCost)
	}
	r, _, err := certify(face, top, cuts, opt, math.Inf(1))
	return r, err
}

// certify is Certify for a valid face and complete options, without the moves that stay
// at least high mm above what is allowed; all reports whether there are none.
func certify(face dish.Face, top float64, cuts []Cut, opt CertifyOptions, high float64) (r Scallop, all bool, err error) {
	var runs []*run
	work := &tally{of: opt.budget}
	all = true
	for _, c := range cuts {
		k := newRelevant(face, c.Cutter, top, high, work)
		c.Cutter = c.Cutter.Undersized(opt.Undersize)
		r, err := makeRuns(c, opt.Tilt, k.counts, work)
		if err != nil {
			return Scallop{}, false, err
		}
		runs, all = append(runs, r...), all && !k.some
	}
	s := search{budget: opt.budget, face: face, region: opt.Region, top: top, slack: opt.Slack, limit: math.Inf(-1), stopAbove: opt.StopAbove, cellsLeft: opt.MaxCells,
		best: Scallop{Certified: math.Inf(-1), Found: math.Inf(-1)}}
	if opt.Expected > 0 {
		s.limit = opt.Expected - 2*heightRounding // one is added below, one is for what others add
	}
	s.tiles = layTiles(face, opt.Region, runs, work)
	s.tilesLeft = len(s.tiles)
	work.flush()
	if opt.Sample {
		s.sample()
		r = s.best
	} else {
		r = opt.Known.run(&s, runs)
	}
	r.Certified = max(r.Certified, r.Found) + heightRounding
	r.Found -= heightRounding
	return r, all, opt.budget.err()
}

// search is the work over all tiles.
type search struct {
	budget     *budget
	face       dish.Face
	region     dish.Region
	top, slack float64
	limit      float64 // a bound no higher than this is enough; -Inf where none is asked for
	stopAbove  float64 // a scallop that ends the search; 0 for none
	tiles      []tile
	cellsLeft  int   // cells that may still be used
	tilesLeft  int   // tiles that none were used for
	unsettled  []int // tiles whose share of the cells was too small
	best       Scallop
}

// run certifies the tiles in four rounds: every 64th, every 16th of the rest,
// every 4th, all, in batches. The tiles of a batch start from what the batches before
// have found, not from each other, so the result does not depend on their order in
// time; and after the first batch few tiles must find a high scallop by themselves.
func (s *search) run() {
	const first = 64
	for stride := first; stride >= 1; stride /= 4 {
		var round []int
		for i := 0; i < len(s.tiles); i += stride {
			if stride == first || i%(4*stride) != 0 {
				round = append(round, i)
			}
		}
		for len(round) > 0 {
			n := min(first, len(round))
			s.batch(round[:n])
			round = round[n:]
			if s.stopAbove > 0 && s.best.Found > s.stopAbove {
				s.best.Certified = math.Inf(1)
				return
			}
		}
	}
	// Tiles that need more than their share get the cells that all others left, and come no
	// closer than to the limit.
	if len(s.unsettled) > 0 {
		s.best.Certified = max(s.best.Certified, s.limit)
	}
	for again := s.unsettled; len(again) > 0; again = again[min(retriedAtOnce, len(again)):] {
		if s.cellsLeft > 0 {
			s.batch(again[:min(retriedAtOnce, len(again))])
			continue
		}
		for _, i := range again {
			s.best.Certified = max(s.best.Certified, s.tiles[i].bound)
		}
		return
	}
}

// sampledTiles is how many tiles a sample has.
const sampledTiles = 32

// sample certifies some of the tiles, where it suffices to keep the limit as it mostly does
// where others have come close to it, and takes their cells for those of all.
func (s *search) sample() {
	var round []int
	for i := 0; i < len(s.tiles); i += (len(s.tiles) + sampledTiles - 1) / sampledTiles {
		round = append(round, i)
	}
	s.best.Certified = s.limit
	if len(round) > 0 {
		s.batch(round)
		s.best.CellCost = s.best.CellCost / len(round) * len(s.tiles)
	}
}

// manyCells is how many times its share of the cells a tile may take at first.
const manyCells = 4

// retriedAtOnce is how many tiles are certified again in one batch.
const retriedAtOnce = 8

// batch certifies a few tiles in parallel and takes their results in their order. Each
// may use some times its share of the cells that are left, and at least 64.
func (s *search) batch(round []int) {
	share := max(64, min(s.cellsLeft/len(round), s.cellsLeft/max(1, s.tilesLeft)*manyCells))
	s.tilesLeft -= len(round)
	results := make([]Scallop, len(round))
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(round)) {
		group.Go(func() {
			w := worker{search: s, tally: tally{of: s.budget}}
			defer w.tally.flush()
			for i := next.Add(1) - 1; i < int64(len(round)); i = next.Add(1) - 1 {
				results[i] = w.certify(&s.tiles[round[i]], share)
			}
		})
	}
	group.Wait()
	for i, r := range results {
		s.best.Cells += r.Cells
		s.best.CellCost += r.CellCost
		s.cellsLeft -= r.CellCost
		if r.cellsRanOut && !s.tiles[round[i]].retried {
			s.tiles[round[i]].retried, s.tiles[round[i]].bound = true, r.Certified
			s.unsettled = append(s.unsettled, round[i])
		} else {
			s.best.Certified = max(s.best.Certified, r.Certified)
		}
		if r.Found > s.best.Found {
			s.best.Found, s.best.X, s.best.Y = r.Found, r.X, r.Y
		}
	}
	s.cellsLeft = max(s.cellsLeft, 0)
}

// tile is a square of the face with the runs that reach it.
type tile struct {
	x, y, half float64
	runs       []*run
	retried    bool    // its cells have run out once
	bound      float64 // what was certified of it then
}

// tileLooks is what a run counts in a budget, about, for each tile that it may reach, and
// keptInTile how many bytes it takes in the list of one that it reaches.
const tileLooks, keptInTile = 2, 12

// layTiles covers the face with tiles and gives each the runs whose footprint comes
// within twice its half side of its middle: that reaches every place of a square of the
// same size laid over it at any angle. Tiles outside the region are left out.
func layTiles(face dish.Face, region dish.Region, runs []*run, work *tally) []tile {
	perSide := tilesAcross(face, runs)
	half := face.Rim / float64(perSide)
	var tiles []tile
	index := make([]int, perSide*perSide)
	for j := range perSide {
		for i := range perSide {
			x, y := float64(half*float64(2*i+1))-face.Rim, float64(half*float64(2*j+1))-face.Rim
			index[j*perSide+i] = -1
			off := 0.0
			if region != nil {
				off, _ = region.Off(x, y)
			}
			if off <= 2*half && math.Hypot(max(0, math.Abs(x)-half), max(0, math.Abs(y)-half)) <= face.Rim {
				index[j*perSide+i] = len(tiles)
				tiles = append(tiles, tile{x: x, y: y, half: half})
			}
		}
	}
	column := func(v float64) int { return int(clamp((v+face.Rim)/(2*half), 0, float64(perSide-1))) }
	for _, r := range runs {
		reach := r.reach() + 2*half
		x0, y0, x1, y1 := r.box()
		x0, y0, x1, y1 = x0-reach, y0-reach, x1+reach, y1+reach
		if x1 < -face.Rim || x0 > face.Rim || y1 < -face.Rim || y0 > face.Rim {
			continue
		}
		for j := column(y0); j <= column(y1); j++ {
			for i := column(x0); i <= column(x1); i++ {
				if n := index[j*perSide+i]; n >= 0 && r.planDistance(tiles[n].x, tiles[n].y) <= reach {
					tiles[n].runs = append(tiles[n].runs, r)
					work.keep(keptInTile)
				}
			}
			if work.add(tileLooks * (column(x1) - column(x0) + 1)) {
				return tiles
			}
		}
	}
	return tiles
}
