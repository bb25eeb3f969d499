package dish

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// TurnStep is the step of the directions that UnitVector knows, in degrees.
const TurnStep = 15

// UnitVector returns the unit vector at an angle in degrees, counter-clockwise from
// +X; the angle must be a whole multiple of TurnStep, and may be negative. The values
// are roots of whole numbers, the same on every machine: cos 15° = (√6 + √2)/4.
func UnitVector(degrees int) (x, y float64) {
	sixth := (math.Sqrt(6) + math.Sqrt2) / 4
	cos := [7]float64{1, sixth, math.Sqrt(3) / 2, math.Sqrt2 / 2, 0.5, (math.Sqrt(6) - math.Sqrt2) / 4, 0}
	k := ((degrees/TurnStep)%24 + 24) % 24
	quarter, i := k/6, k%6
	x, y = cos[i], cos[6-i]
	switch quarter {
	case 1:
		return -y, x
	case 2:
		return -x, -y
	case 3:
		return y, -x
	}
	return x, y
}

// Sector is the piece of a face within an angle to either side of a direction from
// the apex, and whatever lies no farther than Margin outside it.
type Sector struct {
	Middle int     // direction of its middle, degrees, a multiple of TurnStep
	Half   int     // angle to either side of it, degrees, a multiple of TurnStep: at most 90, or 180 for everything
	Margin float64 // mm; at least 0
}

// Everything is the sector of all directions, which has no border.
var Everything = Sector{Half: 180}

// Off is exact outside the sector and at least the distance to the nearest border
// within it.
func (s Sector) Off(x, y float64) (by float64, away r2.Vec) {
	if s == Everything {
		return math.Inf(-1), r2.Vec{}
	}
	u, v, side := s.inFrame(x, y)
	c, n := UnitVector(s.Half)
	mx, my := UnitVector(s.Middle)
	distanceAcross := float64(v*c) - float64(u*n) // outside the border beside which the place lies
	if distanceAlong := float64(u*c) + float64(v*n); distanceAcross <= 0 || distanceAlong >= 0 {
		// The border's normal, −sin and cos of Half in (u, v), turned back.
		nu, nv := -n, float64(side*c)
		return distanceAcross - s.Margin, r2.Vec{X: float64(nu*mx) - float64(nv*my), Y: float64(nu*my) + float64(nv*mx)}
	}
	d := exact.Dist(x, y)
	return d - s.Margin, r2.Vec{X: x / d, Y: y / d}
}

// inFrame returns a place's coordinate along the middle, how far it lies aside, and on
// which side, 1 counter-clockwise.
func (s Sector) inFrame(x, y float64) (u, v, side float64) {
	c, n := UnitVector(s.Middle)
	u, v = float64(x*c)+float64(y*n), float64(y*c)-float64(x*n)
	if v < 0 {
		return u, -v, -1
	}
	return u, v, 1
}

// Box returns the least and the greatest coordinates of the sector out to a distance from
// the apex, and of a square about that, by to all sides.
func (s Sector) Box(reach, by float64) (least, most r2.Vec) {
	least, most = r2.Vec{X: -by, Y: -by}, r2.Vec{X: by, Y: by}
	for a := -s.Half; a <= s.Half; a += TurnStep {
		c, n := UnitVector(s.Middle + a)
		x, y := float64(reach*c), float64(reach*n)
		least, most = r2.Vec{X: min(least.X, x), Y: min(least.Y, y)}, r2.Vec{X: max(most.X, x), Y: max(most.Y, y)}
	}
	return least, most
}

// Span is a stretch of a straight line, as shares of the whole: 0 at its beginning, 1 at
// its end.
type Span struct{ From, To float64 }

// Clip returns the stretch of the line from a to b that lies in the sector; none where there
// is none. Round the apex it takes for the sector what the tangents of its corner bound, one
// every TurnStep.
func (s Sector) Clip(a, b r2.Vec) []Span {
	in := Span{0, 1}
	for turn := s.Half + 90; turn <= 270-s.Half; turn += TurnStep {
		x, y := UnitVector(s.Middle + turn)
		n := r2.Vec{X: x, Y: y}
		from, to := exact.Dot2(n, a)-s.Margin, exact.Dot2(n, b)-s.Margin
		switch {
		case from <= 0 && to <= 0:
		case from > 0 && to > 0:
			return nil
		case from > 0:
			in.From = max(in.From, from/(from-to))
		default:
			in.To = min(in.To, from/(from-to))
		}
	}
	if in.To <= in.From {
		return nil
	}
	return []Span{in}
}
