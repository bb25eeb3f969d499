package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
)

// maxStockCells is the most cells a field may have: 4 million take about 80 MB
// before any cut, and some 180 MB more where each remembers four runs, beside the runs.
const maxStockCells = 4_000_000

// biteTolerance is how loose the bound of a bite may be, in mm, without its cell being
// split further: a hundredth of a usual roughing depth, and less than the repeatability
// of a hobby machine.
const biteTolerance = 0.02

// maxSplits is how often a cell may be halved in the search for a bite.
const maxSplits = 3

// Stock is what still stands of a blank while cutters run over it: a field of
// square cells, each with an upper bound of the height anywhere in it, and the
// last few runs that shaped it.
//
// Heights are never too low. Over a cell that some cut covered wholly the bound
// is too high by at most the rise of that cut's surface across the cell, its
// slope times the cell's diagonal. A cell that cuts cover only in part keeps its
// earlier height: beside a wall the bound is the wall's. Height and Cut also use
// the runs that the cell remembers: their swept surfaces are known exactly, which
// removes most of the excess, but a cell remembers only a few and the guarantee is
// the one above.
//
// The zero value is invalid: use NewStock. A Stock is not for use from several
// goroutines at once.
type Stock struct {
	// Slope is the steepest slope of the wanted face, radians, from which Run derives
	// (by Slack) what counts as meeting stock. NewStock sets 5 degrees: a 15 ft dish
	// of 600 mm has 3.8 at its rim.
	Slope float64

	// SkipAllowedBites saves the measuring of bites that a cutter may take, which is most
	// of the time of a run: the report's Depth is then 0, or that of a deeper bite.
	SkipAllowedBites bool

	blank        dish.Blank
	cellSize     float64
	x0, y0       float64 // of the field's corner
	nx, ny       int
	upper        []float64 // upper bound per cell, -Inf where there is no blank
	middleHeight []float64 // height at the cell's middle, -Inf where there is no blank
	top          float64   // an upper bound of all heights
	raised       float64   // how high the uncut blank stands above its top, mm
	far          *Stock    // the rest of the blank in larger cells, which nothing cuts any more; nil where this is all
	runs         runList
	line         straightOn // that the last of the runs make
	memory       runMemory
	edge         edgeCells
	posts        map[int]float64 // cells that the core has not left since it came down on them, and how long its ways down were since, mm in plan
	scratch      scratch
	tally        tally
}

// NewStock lays a field of square cells of the given size (mm) over the blank,
// centred at the apex: everything at the blank's top, z = 0, inside its outline,
// nothing outside it. A cell that the outline crosses counts as standing.
//
// Where the size is not a positive number it is 1 mm; where it would make more
// than 4 million cells it is enlarged until it does not. CellSize returns the size
// in use.
func NewStock(blank dish.Blank, cell float64) *Stock {
	if !(cell > 0) || math.IsInf(cell, 0) {
		cell = 1
	}
	long, wide := usableSide(blank.Length), usableSide(blank.Width)
	if blank.Shape != dish.Rectangle {
		wide = long
	}
	for cell < max(long, wide) && math.Ceil(long/cell)*math.Ceil(wide/cell) > maxStockCells {
		cell = max(cell*1.001, math.Sqrt(long)*math.Sqrt(wide)/math.Sqrt(maxStockCells))
	}
	s := &Stock{Slope: 5 * math.Pi / 180, blank: blank, cellSize: cell}
	s.blank.Length, s.blank.Width = long, wide
	s.nx, s.ny = int(math.Ceil(long/cell)), int(math.Ceil(wide/cell))
	s.x0, s.y0 = -float64(s.nx)*cell/2, -float64(s.ny)*cell/2
	s.upper = make([]float64, s.nx*s.ny)
	s.middleHeight = make([]float64, s.nx*s.ny)
	s.memory.index = make([]int32, s.nx*s.ny)
	for j := range s.ny {
		for i := range s.nx {
			x, y := s.middle(i, j)
			// The point of the cell nearest to both axes lies farthest inside.
			if s.blank.Inside(towardsZero(x, cell/2), towardsZero(y, cell/2)) < 0 {
				s.upper[j*s.nx+i] = math.Inf(-1)
			}
			if s.blank.Inside(x, y) < 0 {
				s.middleHeight[j*s.nx+i] = math.Inf(-1)
			}
		}
	}
	return s
}

// Raise raises a blank that nothing has cut yet, by the given mm.
func (s *Stock) Raise(by float64) {
	for n := range s.upper {
		s.upper[n] += by
		s.middleHeight[n] += by
	}
	s.top, s.raised = s.top+by, s.raised+by
}

// usableSide makes a usable side of a blank: finite, not below 1 µm and not above 1 km.
func usableSide(v float64) float64 {
	if !(v > 0.001) {
		return 0.001
	}
	return min(v, 1e6)
}

// towardsZero moves v towards 0 by d, not beyond it.
func towardsZero(v, d float64) float64 { return max(0, math.Abs(v)-d) }

// CellSize returns the size of a cell, mm.
func (s *Stock) CellSize() float64 { return s.cellSize }

// EdgeMargin returns the width in mm of the margin inside the cutter's edge that does not
// count in a bite's depth: a quarter of a cell. Within it a wall that the cutter cut
// before cannot be distinguished from wood in its way.
func (s *Stock) EdgeMargin() float64 { return s.cellSize / 4 }

// maxSlack is the most that Slack may be, in mm: on faces of 400 drawn cutters and cells
// the field overstated by up to 0.152 mm, on all but two by up to 0.09 (measured). What a
// cell remembers is exact, and the search goes to an eighth of a cell.
const maxSlack = 0.15

// Slack returns by how much a bite may be overstated, mm, on a face whose slope is
// at most maxSlope (radians, 0 ≤ maxSlope < π/2): the rise across a cell's diagonal, and
// twice biteTolerance, at which the search for a bite stops, for the two surfaces that are
// compared. It is at most maxSlack: a traverse or a core that goes deeper into what stands
// is found.
func (s *Stock) Slack(maxSlope float64) float64 {
	return min(maxSlack, float64(s.cellSize*math.Sqrt2*math.Tan(maxSlope))+2*biteTolerance)
}

// middle returns the middle of cell (i, j).
func (s *Stock) middle(i, j int) (x, y float64) {
	return s.x0 + float64((float64(i)+0.5)*s.cellSize), s.y0 + float64((float64(j)+0.5)*s.cellSize)
}

// cellIndex returns the cell that holds v in a row of n cells from v0, -1 outside.
func cellIndex(v, v0, cell float64, n int) int {
	k := math.Floor((v - v0) / cell)
	if !(k >= 0 && k < float64(n)) {
		if v == v0+float64(float64(n)*cell) {
			return n - 1
		}
		return -1
	}
	return int(k)
}

// Height returns an upper bound of what stands at the place (x, y), mm; -Inf
// outside the blank and where a coordinate is not a number.
func (s *Stock) Height(x, y float64) float64 {
	if !(s.blank.Inside(x, y) >= 0) {
		return math.Inf(-1)
	}
	i, j := cellIndex(x, s.x0, s.cellSize, s.nx), cellIndex(y, s.y0, s.cellSize, s.ny)
	if i < 0 || j < 0 {
		return math.Inf(-1)
	}
	n := j*s.nx + i
	z := s.upper[n]
	if s.far != nil && math.IsInf(z, -1) {
		return s.far.Height(x, y)
	}
	for _, id := range s.memory.of(n) {
		z = min(z, s.runs.at(id).height(x, y))
	}
	return z
}

// HighestInDisc returns an upper bound of the highest that stands within the disc
// of the given radius about (x, y), mm; -Inf where nothing of the blank lies in
// it. Where an argument is not a number it is the highest that stands anywhere.
// Whole cells count, so a wall up to a cell's diagonal outside may count too.
func (s *Stock) HighestInDisc(x, y, radius float64) float64 {
	if math.IsNaN(x) || math.IsNaN(y) || math.IsNaN(radius) {
		top, _, _ := s.highestCell()
		return top
	}
	best := math.Inf(-1)
	if s.far != nil {
		best = s.far.HighestInDisc(x, y, radius)
	}
	j0, j1 := cellSpan(y-radius, y+radius, s.y0, s.cellSize, s.ny)
	i0, i1 := cellSpan(x-radius, x+radius, s.x0, s.cellSize, s.nx)
	for j := j0; j <= j1; j++ {
		for i := i0; i <= i1; i++ {
			h := s.upper[j*s.nx+i]
			if h <= best {
				continue
			}
			cx, cy := s.middle(i, j)
			dx, dy := towardsZero(cx-x, s.cellSize/2), towardsZero(cy-y, s.cellSize/2)
			if math.Hypot(dx, dy) <= radius {
				best = h
			}
		}
	}
	return best
}

// cellSpan returns the first and last cell of a row that touch [a, b]; the
// last is below the first where none does.
func cellSpan(a, b, v0, cell float64, n int) (first, last int) {
	lo := max(0, math.Floor((a-v0)/cell))
	hi := min(float64(n-1), math.Floor((b-v0)/cell))
	if !(lo <= hi) {
		return 0, -1
	}
	return int(lo), int(hi)
}

// highestCell returns the highest bound of all cells, and the middle of that cell.
func (s *Stock) highestCell() (top, x, y float64) {
	top = math.Inf(-1)
	if s.far != nil {
		top, x, y = s.far.highestCell()
	}
	for n, h := range s.upper {
		if h > top {
			top = h
			x, y = s.middle(n%s.nx, n/s.nx)
		}
	}
	return top, x, y
}

// Allow lets the stock take no more than so many looks from now on: see MaxLooks.
func (s *Stock) Allow(looks int64) { s.tally = tally{of: &budget{limit: looks}} }

// Err returns a TooMuchWorkError where it needed more than Allow allows: then what ran says
// nothing.
func (s *Stock) Err() error {
	s.tally.flush()
	return s.tally.of.err()
}

// Clone returns a copy that shares nothing with s that a cut changes.
func (s *Stock) Clone() *Stock {
	c := *s
	c.upper = append([]float64(nil), s.upper...)
	c.middleHeight = append([]float64(nil), s.middleHeight...)
	c.runs = s.runs.clone()
	c.memory = s.memory.clone()
	c.scratch, c.tally = scratch{}, tally{}
	c.edge, c.posts = edgeCells{}, nil
	return &c
}

// Bite is what one move cuts.
type Bite struct {
	// Depth is the deepest bite, mm: the greatest difference between the height
	// before and what the move leaves there; 0 where it cuts nothing. It is
	// an upper bound for every place more than EdgeMargin inside the edge of what the
	// move clears, and overstated by at most Slack where the cells concerned were
	// covered wholly by the cuts before.
	Depth     float64
	X, Y      float64 // where, mm
	Volume    float64 // mm³ taken, an estimate from the cells' middles
	UnderCore bool    // stock may have stood under the cutter's core; never false where it did
	CoreDepth float64 // how much stood above the tip there, mm, an upper bound
}

// Cut carries out one move with the cutter and returns what it cut. A traverse cuts like
// any other move; whether it may is for the caller to check. All of the move is compared
// with what stood before it.
//
// An arc is divided into chords that stay within 0.005 mm of it; heights are
// raised, and bites deepened, by as much. Where a coordinate of From is not
// finite, only the end counts; where one of To is not, nothing is cut.
func (s *Stock) Cut(c path.Cutter, m path.Move) Bite {
	s.edge.clear()
	b := s.cut(c, m, 0)
	if b.Depth > 0 {
		b.CoreDepth = s.coreDepth(c, m)
	}
	b.UnderCore = b.CoreDepth > 0
	s.apply(&b, cutting{known: math.Inf(1)}, nil)
	return b
}
