package dish

import (
	"fmt"
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// TemplateChordTolerance is how far, in mm, the chords of a template's arcs may leave them:
// both edges together stay far below what a feeler gauge feels.
const TemplateChordTolerance = 0.004

// TemplateLine returns the line round a flat gauge template, counter-clockwise: a
// convex edge of the given radius below, a concave one of the same radius at the
// given height above it, and straight ends. Its middle lies at X0, the
// ends' middle at Y0. Both edges sag by the same sagitta in the middle.
func TemplateLine(radius, length, height float64) ([]r2.Vec, error) {
	if !(radius >= length/2) || !(length > 0) || !(height > 0) || math.IsInf(radius, 0) {
		return nil, fmt.Errorf("a radius of %g mm, a length of %g mm and a height of %g mm make no template", radius, length, height)
	}
	n := int(max(2, math.Ceil(length/math.Sqrt(8*radius*TemplateChordTolerance))))
	n += n % 2
	sag := Drop(radius, length/2)
	at := func(k int) (x, y float64) {
		x = float64(length * (float64(k)/float64(n) - 0.5))
		return x, Drop(radius, x) - sag
	}
	var line []r2.Vec
	for k := 0; k <= n; k++ {
		x, y := at(k)
		line = append(line, r2.Vec{X: x, Y: y - height/2})
	}
	for k := n; k >= 0; k-- {
		x, y := at(k)
		line = append(line, r2.Vec{X: x, Y: y + height/2})
	}
	return line, nil
}

// TemplateTabs returns n places of tabs on a template's line: in the middle of its
// straight ends first, where a sawn tab harms nothing, then on its curved edges,
// evenly.
func TemplateTabs(line []r2.Vec, n int) (at []r2.Vec) {
	half := len(line) / 2
	mid := func(a, b r2.Vec) r2.Vec { return exact.Scale2(0.5, r2.Add(a, b)) }
	at = append(at, mid(line[half-1], line[half]), mid(line[len(line)-1], line[0]))
	for k := 0; len(at) < n; k++ {
		fraction := (float64(k/2) + 1) / (float64((n-2+1)/2) + 1)
		edge := line[:half]
		if k%2 == 1 {
			edge = line[half:]
		}
		p := float64(fraction * float64(len(edge)-1))
		i := min(int(p), len(edge)-2)
		at = append(at, exact.AddScaled2(edge[i], r2.Sub(edge[i+1], edge[i]), p-float64(i)))
	}
	return at[:n]
}
