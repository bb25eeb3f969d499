package main

import (
	"math"

	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// gaugeRow is a height of a dome at a distance from its middle.
type gaugeRow struct {
	Distance float64 `json:"distance_mm"`
	Fall     float64 `json:"fall_mm"`   // under the middle
	Height   float64 `json:"height_mm"` // over the line between the ends: a brace's arc
}

// tradeRadius is a radius that is often named, and whether it lies in the interval.
type tradeRadius struct {
	Name   string  `json:"name"`
	Radius float64 `json:"radius_mm"`
	Depth  float64 `json:"depth_mm"` // over the chord at hand
	Within bool    `json:"within"`
}

// alike is a share of the chord that no step is short of, and more than a product of floats is
// off by.
const alike = 1e-9

// mostRows of a table: more is no table for a bench.
const mostRows = 1000

// table returns the heights at each step from the middle to the end, the end itself
// among them.
func (s arc) table(step float64) ([]gaugeRow, error) {
	if s.chord/2/step > mostRows {
		return nil, tell.Errorf("a longer step", "a step of %s makes more than %d rows", s.u.Length(step, 4), mostRows)
	}
	var rows []gaugeRow
	for k := 0; ; k++ {
		d := min(float64(k)*step, s.chord/2)
		if s.chord/2-d < alike*s.chord {
			d = s.chord / 2
		}
		fall := dish.Drop(s.radius, min(d, s.radius))
		rows = append(rows, gaugeRow{digits(d), digits(fall), digits(max(0, s.depth-fall))})
		if d >= s.chord/2 {
			return rows, nil
		}
	}
}

// tradeFeet are the radii, in feet, that builders name most: common practice.
var tradeFeet = []float64{10, 12, 15, 16, 18, 20, 25, 28, 30, 40}

// radiusRange returns between which radii the dome lies, its depth being known within so
// much either way (mm), and the trade's radii in there or, where there is none, the
// nearest on either side. The upper limit is +Inf where the depth may be zero.
func (s arc) radiusRange(within float64) (low, high float64, near []tradeRadius, err error) {
	if within >= s.chord/2-s.depth {
		return 0, 0, nil, tell.Errorf("how well the depth is known, such as 0.1 mm", "a tolerance of %s leaves nothing of a depth of %s", s.u.Length(within, 4), s.u.Length(s.depth, 4))
	}
	if low, err = dish.Radius(s.chord, s.depth+within); err != nil {
		return 0, 0, nil, err
	}
	high = math.Inf(1)
	if s.depth > within {
		if high, err = dish.Radius(s.chord, s.depth-within); err != nil {
			return 0, 0, nil, err
		}
	}
	below, above := -1, -1
	for i, feet := range tradeFeet {
		R := measure.Foot.MM() * feet
		switch {
		case R < low:
			below = i
		case R <= high:
			near = append(near, s.trade(feet, true))
		case above < 0:
			above = i
		}
	}
	if len(near) == 0 {
		for _, i := range [...]int{below, above} {
			if i >= 0 {
				near = append(near, s.trade(tradeFeet[i], false))
			}
		}
	}
	return low, high, near, nil
}

func (s arc) trade(feet float64, within bool) tradeRadius {
	R := measure.Foot.MM() * feet
	depth := 0.0
	if s.chord <= 2*R {
		depth = dish.Drop(R, s.chord/2)
	}
	return tradeRadius{num(feet, 1) + " ft", R, digits(depth), within}
}

// withArc turns an arc's length and one more into a radius and a chord.
func withArc(given map[string]measure.Length) (radius, chord float64, err error) {
	if len(given) != 2 {
		return 0, 0, tell.Errorf(`such as --arc "601 mm" --radius "25 ft"`, "an arc's length takes one of --radius, --chord and --depth with it")
	}
	long := given["arc"].MM
	if l, ok := given["radius"]; ok {
		radius = l.MM
		chord, err = dish.ChordOfArc(radius, long)
	} else if l, ok := given["chord"]; ok {
		chord = l.MM
		radius, err = dish.RadiusOfArc(long, chord)
	} else {
		if radius, err = dish.RadiusOfArcDepth(long, given["depth"].MM); err == nil {
			chord, err = dish.ChordOfArc(radius, min(long, math.Pi*radius))
		}
	}
	if err != nil {
		return 0, 0, tell.Hint(err, "the arc is measured along the curve, over the chord")
	}
	return radius, chord, nil
}
