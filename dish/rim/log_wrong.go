package rim

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// WrongWidth is a reading that does not fit.
type WrongWidth struct {
	Place  int     // of the log
	Read   int     // of the place's readings
	Expect float64 // what the place's other readings say, mm; 0 where they are too few
	Before int     // the round before, where the width grew from there to here; else −1
	Grew   float64 // by how much, mm
}

const (
	// wrongChance is the chance that a log without a wrong reading is told to have one: a
	// forecast is better with a good reading too few than the builder is who hunts for faults.
	wrongChance = 0.01
	// leastShare is how many readings a log has for each that may be wrong: where more are,
	// they are no slips.
	leastShare = 5
	// fewestDOF are the fewest degrees of freedom by which noise is told; with fewer a width
	// has to grow by so many tolerances to be wrong. A side of 100 mm swells by a fifth of a
	// millimetre where the air's moisture goes up by 5 % (common tables of woods, from
	// memory): that is no slip.
	fewestDOF, grownTolerances = 3, 3
)

// weed leaves out, one after another, the readings that do not fit.
func (l WidthLog) weed() (WidthLog, []WrongWidth) {
	total, at := 0, make([][]int, len(l.Places)) // where each kept reading stands in its place
	for i, p := range l.Places {
		total += len(p.Read)
		for j := range p.Read {
			at[i] = append(at[i], j)
		}
	}
	kept := l
	var found []WrongWidth
	for len(found) < max(1, total/leastShare) {
		w, ok := kept.outlier()
		if !ok {
			w, ok = kept.grown()
		}
		if !ok {
			break
		}
		j := w.Read
		kept = kept.without(w.Place, j)
		if p := kept.Places[w.Place]; len(p.Read) > 1 {
			w.Expect = p.Wanted + lineThrough(p).at(l.Places[w.Place].Read[at[w.Place][j]].Round)
		}
		w.Read = at[w.Place][j]
		at[w.Place] = append(append([]int(nil), at[w.Place][:j]...), at[w.Place][j+1:]...)
		found = append(found, w)
	}
	return kept, found
}

// outlier returns the reading whose deleted studentized residual is the largest, where so
// large a one comes by chance in less than wrongChance of logs (Bonferroni's bound) [CW], and
// the reading is off by more than the tolerance.
func (l WidthLog) outlier() (w WrongWidth, ok bool) {
	f, n := l.fit(), 0
	for _, g := range f.lines {
		if g.n > 2 {
			n += g.n
		}
	}
	if f.dof < 2 {
		return w, false
	}
	largest := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.dof - 1)}.Quantile(1 - wrongChance/float64(2*n))
	for i, g := range f.lines {
		if g.n < 3 {
			continue
		}
		for j, r := range l.Places[i].Read {
			h := 1 - g.leverage(r.Round)
			if !(h > 1e-9) { // without it the others would be of one round
				continue
			}
			by := g.residuals[j] / h
			rest := max(0, f.squares-float64(g.residuals[j]*by)) / float64(f.dof-1)
			// A micrometre is finer than any rule, and far more than what sums round.
			noise := max(math.Sqrt(rest), l.rounding(), 1e-3)
			if t := math.Abs(by) * math.Sqrt(h) / noise; t > largest && math.Abs(by) > l.tolerance() {
				w, ok, largest = WrongWidth{Place: i, Read: j, Before: -1}, true, t
			}
		}
	}
	if ok {
		w.Read = l.blame(f, w.Place)
	}
	return w, ok
}

// grown returns the reading by which a width grew the most, where that is more than two
// readings' noise makes it, in wrongChance of logs, and more than the tolerance.
func (l WidthLog) grown() (w WrongWidth, ok bool) {
	f, pairs := l.fit(), 0
	for _, g := range f.lines {
		pairs += max(0, g.n-1)
	}
	for i, p := range l.Places {
		limit := float64(grownTolerances * l.tolerance())
		// The noise of the other places: a slip is none.
		if dof := f.dof - max(0, f.lines[i].n-2); dof >= fewestDOF {
			noise := max(l.rounding(), math.Sqrt((f.squares-f.lines[i].squares)/float64(dof)))
			student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(dof)}
			limit = max(l.tolerance(), math.Sqrt2*noise*student.Quantile(1-wrongChance/float64(pairs)))
		}
		for j := 1; j < len(p.Read); j++ {
			grew := p.Read[j].Width - p.Read[j-1].Width
			if grew > limit && grew > w.Grew {
				w, ok = WrongWidth{Place: i, Read: j, Before: p.Read[j-1].Round, Grew: grew}, true
			}
		}
	}
	if !ok || len(l.Places[w.Place].Read) < 3 {
		return w, ok // of two readings nothing tells which is wrong: the later one is told
	}
	if j := l.blame(f, w.Place, w.Read-1, w.Read); j != w.Read {
		w.Read, w.Before, w.Grew = j, -1, 0
	}
	return w, ok
}

// blame returns which reading of a place, or which of some of them, is the wrong one: that
// without which the others lie best on a line. Of three any two do: then it is that without
// which the place goes most as the others go.
func (l WidthLog) blame(f fitted, place int, among ...int) int {
	p := l.Places[place]
	if among == nil {
		for j := range p.Read {
			among = append(among, j)
		}
	}
	slope, count := 0.0, 0.0
	for i, g := range f.lines {
		if i != place && g.n > 1 {
			slope, count = slope+g.slope, count+1
		}
	}
	best, least := among[len(among)-1], math.Inf(1)
	for _, j := range among {
		g := lineThrough(l.without(place, j).Places[place])
		cost := g.squares
		if len(p.Read) == 3 {
			cost = 0
			if count > 0 {
				cost = math.Abs(g.slope - slope/count)
			}
		}
		if cost < least || cost == least && j > best {
			best, least = j, cost
		}
	}
	return best
}
