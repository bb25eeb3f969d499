package figure

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/picture"
)

// thinned returns which of the passes are drawn, so that those that are stand at least
// so far apart and read as lines. Passes are drawn whole, from end to end, or not at all,
// the longest first, and of those alike the earlier: neighbours that run beside one
// another stay so, at the same steps. A pass may come nearer to those that are drawn
// along half of it, as spokes do towards the middle.
func thinned(passes [][]Point, apart float64) []bool {
	order := make([]int, len(passes))
	long := make([]float64, len(passes))
	for i, p := range passes {
		order[i], long[i] = i, math.Round(picture.Length(p)/apart)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case long[a] > long[b]:
			return -1
		case long[a] < long[b]:
			return 1
		}
		return 0
	})
	taken := map[[2]int][]Point{} // places of those that are drawn, by squares as wide as they stand apart
	square := func(p Point) [2]int { return [2]int{int(math.Floor(p.X / apart)), int(math.Floor(p.Y / apart))} }
	drawn := make([]bool, len(passes))
	for _, i := range order {
		places := sampled(passes[i], apart/3)
		near := 0
		for _, p := range places {
			if beside(taken, square(p), p, 0.95*apart) {
				near++
			}
		}
		if 2*near > len(places) {
			continue
		}
		drawn[i] = true
		for _, p := range places {
			taken[square(p)] = append(taken[square(p)], p)
		}
	}
	return drawn
}

// beside reports whether a place lies nearer than that to one that is taken.
func beside(taken map[[2]int][]Point, at [2]int, p Point, apart float64) bool {
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, q := range taken[[2]int{at[0] + dx, at[1] + dy}] {
				if r2.Norm(r2.Sub(p, q)) < apart {
					return true
				}
			}
		}
	}
	return false
}

// sampled returns places along a line, a step apart at most.
func sampled(line []Point, step float64) (places []Point) {
	const most = 20_000 // on a straight piece: far more than any paper has room for
	for i, b := range line {
		if i == 0 {
			places = append(places, b)
			continue
		}
		d := r2.Sub(b, line[i-1])
		n := int(min(most, math.Ceil(r2.Norm(d)/step)))
		for k := 1; k <= n; k++ {
			places = append(places, r2.Add(line[i-1], r2.Scale(float64(k)/float64(n), d)))
		}
	}
	return places
}

// turns cuts a line after each full turn that it makes: of a spiral every turn is a pass.
func turns(line []Point) (list [][]Point) {
	from, turned := 0, 0.0
	for i := 1; i+1 < len(line); i++ {
		a, b := r2.Sub(line[i], line[i-1]), r2.Sub(line[i+1], line[i])
		turned += math.Atan2(r2.Cross(a, b), r2.Dot(a, b))
		if math.Abs(turned) >= 2*math.Pi {
			list = append(list, line[from:i+1])
			from, turned = i, 0
		}
	}
	return append(list, line[from:])
}
