package fit

import "math"

// Repeat is readings to take again at the place of one that was taken.
type Repeat struct {
	Reading int
	Count   int
}

// maxRepeats is the most readings that are proposed: more are not worth the time.
const maxRepeats = 60

// RepeatsToHalve returns which readings to repeat, and how often, to halve the interval
// of the curvature. Each step adds the reading that narrows it most; nil where
// maxRepeats of them are not enough. A reading with the row j of the design changes the inverse of the normal
// matrix M by −M j jᵀM/(1 + jᵀM j) (Sherman and Morrison's formula, from memory): its first
// element by the square of the curvature's change with the reading over 1 + its leverage.
func (s Sphere) RepeatsToHalve() []Repeat {
	t := s.solution
	count := make([]float64, len(t.kept))
	for row := range count {
		count[row] = 1
	}
	for range maxRepeats {
		f := factor(t.shared, t.own, t.frame, len(t.origin), count)
		bestGain, bestRow := 0.0, -1
		lever := f.leverage(len(count))
		for row, c := range f.left(len(count)) {
			// Both are of all readings that were taken there.
			gain := c * c / count[row] / (1 + lever[row]/count[row])
			// Places that are as good but for rounding: the first.
			if gain > bestGain*(1+1e-9) {
				bestGain, bestRow = gain, row
			}
		}
		if bestRow < 0 {
			return nil
		}
		count[bestRow]++
		if factor(t.shared, t.own, t.frame, len(t.origin), count).square < 4*t.design.square*(1-1e-12) {
			continue
		}
		var list []Repeat
		for row, i := range t.kept {
			if count[row] > 1 {
				list = append(list, Repeat{i, int(count[row]) - 1})
			}
		}
		return list
	}
	return nil
}

// Plan is where to measure depths under a straightedge laid across the apex: the
// readings at the middle and at either end that tell the curvature best: a half of them
// in the middle and a quarter at either end, in the shares of their weights 1, −2, 1 (own
// derivation: Σ w²/n is least for a given Σ n where n goes with |w|).
type Plan struct {
	AtMiddle, AtEnd int     // readings at the middle, and at each end
	HalfInterval    float64 // of the radius's interval that they give, as a share of it
}

// PlanFor returns the fewest readings at the middle, and at halfSpan from it on either
// side, that tell a radius at 95 % within a tolerance, a share of the radius. noise is the
// standard deviation of one reading. At least two are in the middle and one at either
// end; at most a thousand at either end, and HalfInterval is what those give.
func PlanFor(radius, halfSpan, noise, tolerance float64) Plan {
	// κ = (z₋ − 2 z₀ + z₊)/a²; of m readings at either end and 2m in the middle its
	// variance is σ² (1/m + 1/m + 4/2m)/a⁴ = 4σ²/(m a⁴); of a normal deviate 1.96 hold
	// 95 of 100.
	const z = 1.959963984540054
	halfOfOne := z * radius * 2 * noise / (halfSpan * halfSpan)
	m := min(1000, max(1, math.Ceil(math.Pow(halfOfOne/tolerance, 2)-1e-9)))
	return Plan{AtMiddle: 2 * int(m), AtEnd: int(m), HalfInterval: halfOfOne / math.Sqrt(m)}
}
