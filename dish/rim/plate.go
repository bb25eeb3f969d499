package rim

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// DryFit is how a plate lies on the rim before the glue: it rests on at most three
// places, and has a gap elsewhere.
type DryFit struct {
	Gaps       []float64 // at evenly spaced arcs from the tail, mm
	LargestAt  Station   // where the gap is largest
	LargestGap float64   // mm
	MeanGap    float64   // mm
	RestsOn    []Station
	Arcs       []float64
	Openings   []Opening // the separate places of the largest gaps, the largest first
}

// Opening is a place where the gap is larger than on either side of it.
type Opening struct {
	Station Station
	Gap     float64
}

// dryFitSamples is at how many places a lap is looked at.
const dryFitSamples = 720

// DryFit lays a plate whose underside is domed to a radius of its own (+Inf: flat) on
// the finished rim: of all ways to lie on it without going through it, the one in
// which its middle is lowest. Apex and kind are the top's own.
func (b Body) DryFit(radius float64) DryFit {
	under := b.Top
	under.Radius = radius
	if math.IsInf(radius, 1) {
		under = Dome{Kind: Plane, Level: b.Top.Level}
	}
	n, lap := dryFitSamples, b.Outline.Perimeter()
	d := DryFit{Gaps: make([]float64, n), Arcs: make([]float64, n)}
	places := make([]Station, n)
	points := make([]r2.Vec, n)
	for i := range places {
		d.Arcs[i] = float64(lap * (float64(i) / float64(n)))
		places[i] = b.Station(d.Arcs[i])
		points[i] = places[i].At
		d.Gaps[i] = under.Height(points[i]) - places[i].Top
	}
	on := settle(points, d.Gaps)
	for i, g := range d.Gaps {
		if g > d.LargestGap {
			d.LargestGap, d.LargestAt = g, places[i]
		}
		d.MeanGap += g / float64(n)
	}
	for _, i := range on {
		d.RestsOn = append(d.RestsOn, places[i])
	}
	d.openings(places)
	return d
}

// openings lists the local maxima that stand out from the mean.
func (d *DryFit) openings(places []Station) {
	n := len(places)
	for i, g := range d.Gaps {
		before, after := d.Gaps[(i+n-1)%n], d.Gaps[(i+1)%n]
		if g > d.MeanGap && g > before && g >= after {
			d.Openings = append(d.Openings, Opening{places[i], g})
		}
	}
	// Few, so the plain way is short enough; equal ones stay in the order of arcs.
	for i := range d.Openings {
		for k := i; k > 0 && d.Openings[k].Gap > d.Openings[k-1].Gap; k-- {
			d.Openings[k], d.Openings[k-1] = d.Openings[k-1], d.Openings[k]
		}
	}
}

// settle lowers the heights of a stiff plate over places by the plane on which it
// rests, and returns the places that it rests on. The plane is the highest at the
// middle of the places among those nowhere above the heights: a linear programme in
// three numbers, solved by exchanging one of three supports whose triangle holds
// the middle for the place that lies lowest under their plane.
func settle(points []r2.Vec, heights []float64) []int {
	middle := centroid(points)
	on, ok := containingTriangle(points, middle)
	if !ok { // no triangle holds the middle: lower it level
		lowest := 0
		for i, h := range heights {
			if h < heights[lowest] {
				lowest = i
			}
		}
		subtractPlane(points, heights, plane{z: heights[lowest]})
		return []int{lowest}
	}
	for range 10 * len(points) {
		p := planeThrough(points, heights, on, middle)
		worst, by := -1, -1e-12
		for i, q := range points {
			if gap := heights[i] - p.at(r2.Sub(q, middle)); gap < by {
				worst, by = i, gap
			}
		}
		if worst < 0 {
			break
		}
		for k := range on { // the one support that may go
			next := on
			next[k] = worst
			if triangleContains(points, next, middle) {
				on = next
				break
			}
		}
	}
	p := planeThrough(points, heights, on, middle)
	p.z -= float64(p.x*middle.X) + float64(p.y*middle.Y)
	subtractPlane(points, heights, p)
	return on[:]
}

// plane is z + x X + y Y.
type plane struct{ z, x, y float64 }

func (p plane) at(v r2.Vec) float64 { return p.z + float64(p.x*v.X) + float64(p.y*v.Y) }

// subtractPlane takes the plane from the heights; what is left below 0 is rounding.
func subtractPlane(points []r2.Vec, heights []float64, p plane) {
	for i, q := range points {
		heights[i] = max(0, heights[i]-p.at(q))
	}
}

// planeThrough returns the plane through three places' heights, about the middle.
func planeThrough(points []r2.Vec, heights []float64, on [3]int, middle r2.Vec) plane {
	a, b, c := r2.Sub(points[on[0]], middle), r2.Sub(points[on[1]], middle), r2.Sub(points[on[2]], middle)
	u, v := r2.Sub(b, a), r2.Sub(c, a)
	hu, hv := heights[on[1]]-heights[on[0]], heights[on[2]]-heights[on[0]]
	det := exact.Cross2(u, v)
	x, y := (float64(hu*v.Y)-float64(hv*u.Y))/det, (float64(hv*u.X)-float64(hu*v.X))/det
	return plane{heights[on[0]] - float64(x*a.X) - float64(y*a.Y), x, y}
}

// triangleContains reports whether the triangle of three places holds a point.
func triangleContains(points []r2.Vec, on [3]int, p r2.Vec) bool {
	a, b, c := points[on[0]], points[on[1]], points[on[2]]
	s1, s2, s3 := exact.Cross2(r2.Sub(b, a), r2.Sub(p, a)), exact.Cross2(r2.Sub(c, b), r2.Sub(p, b)), exact.Cross2(r2.Sub(a, c), r2.Sub(p, c))
	if exact.Cross2(r2.Sub(b, a), r2.Sub(c, a)) == 0 {
		return false
	}
	return (s1 >= 0 && s2 >= 0 && s3 >= 0) || (s1 <= 0 && s2 <= 0 && s3 <= 0)
}

// containingTriangle returns three of the places whose triangle holds a point.
func containingTriangle(points []r2.Vec, p r2.Vec) ([3]int, bool) {
	n := len(points)
	for shift := range n / 3 {
		if on := [3]int{shift, shift + n/3, shift + 2*n/3}; triangleContains(points, on, p) {
			return on, true
		}
	}
	return [3]int{}, false
}

// centroid returns the middle of a polygon's area.
func centroid(points []r2.Vec) r2.Vec {
	var sum r2.Vec
	n, whole := len(points), area(points)
	for i, p := range points {
		q := points[(i+1)%n]
		sum = exact.AddScaled2(sum, r2.Add(p, q), exact.Cross2(p, q)/(6*whole))
	}
	return sum
}
