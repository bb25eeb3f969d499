package cam

import (
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

func cross(a, b r2.Vec) float64 { return float64(a.X*b.Y) - float64(a.Y*b.X) }

func dot(a, b r2.Vec) float64 { return float64(a.X*b.X) + float64(a.Y*b.Y) }

// along returns a + k b.
func along(a r2.Vec, k float64, b r2.Vec) r2.Vec {
	return r2.Vec{X: a.X + float64(k*b.X), Y: a.Y + float64(k*b.Y)}
}

// pose is a place with the direction, a unit vector, in which it is passed.
type pose struct{ at, dir r2.Vec }

// turnPlaces returns places from one pose to another on a way that leaves the
// first and meets the second without a corner: an arc of radius r, a straight
// piece, and an arc of the same sense. The chords leave the arcs by at most tol.
// Where the two are so close that such arcs would have to cross themselves, the
// radius becomes less, and in the end the way is straight.
func turnPlaces(a, b pose, r, tol float64) []r2.Vec {
	sense := 1.0
	if cross(a.dir, r2.Sub(b.at, a.at)) < 0 {
		sense = -1
	}
	left := func(d r2.Vec) r2.Vec { return r2.Vec{X: float64(-sense * d.Y), Y: float64(sense * d.X)} }
	for range 16 {
		ca, cb := along(a.at, r, left(a.dir)), along(b.at, r, left(b.dir))
		way := r2.Sub(cb, ca)
		n := dist(way.X, way.Y)
		mid := b.dir
		if n > tiny*r {
			mid = exact.Scale2(1/n, way)
		}
		if within(a.dir, mid, sense) && within(mid, b.dir, sense) {
			places := arcPlaces(nil, ca, r, sense, left(a.dir), left(mid), tol)
			places[0] = a.at
			if n > tiny*r {
				places = append(places, along(cb, -r, left(mid)))
			}
			places = append(places, arcPlaces(nil, cb, r, sense, left(mid), left(b.dir), tol)[1:]...)
			places[len(places)-1] = b.at
			return places
		}
		r = float64(r * 0.8)
	}
	return []r2.Vec{a.at, b.at}
}

// tiny is a share of a radius, or an angle, that no program can write.
const tiny = 1e-7

// within reports whether the turn from a to b in the given sense is at most a half circle.
func within(a, b r2.Vec, sense float64) bool { return sense*cross(a, b) >= -tiny }

// arcPlaces returns places on the circle about c from the unit radius −a to −b.
func arcPlaces(places []r2.Vec, c r2.Vec, r, sense float64, a, b r2.Vec, tol float64) []r2.Vec {
	if places == nil {
		places = []r2.Vec{along(c, -r, a)}
	}
	sum := r2.Add(a, b)
	n := dist(sum.X, sum.Y)
	flat := float64(r*(1-n/2)) <= tol
	near := dot(a, b) > -0.5 // under a third of a circle
	if near && flat {
		return append(places, along(c, -r, b))
	}
	m := r2.Vec{X: float64(-sense * a.Y), Y: float64(sense * a.X)} // a quarter on
	if near {
		m = exact.Scale2(1/n, sum)
	}
	return arcPlaces(arcPlaces(places, c, r, sense, a, m, tol), c, r, sense, m, b, tol)
}

// wayLength returns the length of a way through places.
func wayLength(places []r2.Vec) float64 {
	n := 0.0
	for i := 1; i < len(places); i++ {
		n += dist(places[i].X-places[i-1].X, places[i].Y-places[i-1].Y)
	}
	return max(0, n)
}
