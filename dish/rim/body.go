package rim

import (
	"cmp"
	"math"
	"slices"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Body is a rim between two domes.
type Body struct {
	Outline   *Outline
	Top, Back Dome
	Sides     float64 // thickness of the sides, mm
	Lining    float64 // width of the lining inside them, mm
}

// Station is what is known of one place of the rim.
type Station struct {
	OutlinePoint
	Name      string  // of a named place, else empty
	Top, Back float64 // heights of the finished edges at the outside, mm
	TopInner  float64 // at the lining's inner edge, mm
	BackInner float64
	Width     float64 // of the side, at its outside, mm
	TopSlope  float64 // across the edge, radians: positive where it falls outward
	BackSlope float64 // positive where it rises outward
	Steepest  float64 // of the top's face in any direction, radians
}

// Station returns the place at an arc.
func (b Body) Station(arc float64) Station {
	s := Station{OutlinePoint: b.Outline.At(arc)}
	var rise r2.Vec
	s.Top, rise = b.Top.Surface(s.At)
	s.TopSlope, s.Steepest = -math.Atan(exact.Dot2(rise, s.Normal)), math.Atan(exact.Norm2(rise))
	s.Back, rise = b.Back.Surface(s.At)
	s.BackSlope = math.Atan(exact.Dot2(rise, s.Normal))
	s.Width = s.Top - s.Back
	inner := s.Inward(b.EdgeWidth())
	s.TopInner, s.BackInner = b.Top.Height(inner), b.Back.Height(inner)
	return s
}

// EdgeWidth returns the width of the gluing edge, mm: side and lining.
func (b Body) EdgeWidth() float64 { return b.Sides + b.Lining }

// Stations returns the places at 0, step, 2 step, … of one lap.
func (b Body) Stations(step float64) []Station {
	n := int(math.Ceil(b.Outline.Perimeter()/step - 1e-9)) // the lap's end is its beginning
	list := make([]Station, max(n, 1))
	for i := range list {
		list[i] = b.Station(float64(float64(i) * step))
	}
	return list
}

// lapSamples is how many places of a lap are looked at for its widest and narrowest: a
// millimetre or less apart on a guitar.
const lapSamples = 2000

// waistTolerance is by how much, in mm, a width must go in and out again to be a waist: a
// pencil line's width, so that a hand-drawn outline has no waists of its own.
const waistTolerance = 1.0

// NamedStations returns the named places in the order of their arcs: the tail, the head,
// and on either side the bouts and the waist between them, where there is one; of
// a body without a waist the widest place; and where a top's flat and its blend begin.
func (b Body) NamedStations() []Station {
	list := []Station{b.namedStation(0, "tail")}
	list = append(list, b.sideStations(0, b.Outline.Head(), "right ")...)
	list = append(list, b.namedStation(b.Outline.Head(), "head"))
	left := b.sideStations(b.Outline.Perimeter(), b.Outline.Head(), "left ")
	for i := len(left) - 1; i >= 0; i-- {
		list = append(list, left[i])
	}
	return list
}

func (b Body) namedStation(arc float64, name string) Station {
	s := b.Station(arc)
	s.Name = name
	return s
}

// sideStations returns the named places from the tail to the head along one side: its bouts,
// and where a flat begins.
func (b Body) sideStations(from, to float64, side string) []Station {
	list := append(b.boutStations(from, to, side), b.zoneEdges(from, to, side)...)
	slices.SortStableFunc(list, func(s, t Station) int {
		if from > to {
			s, t = t, s
		}
		return cmp.Compare(s.Arc, t.Arc)
	})
	return list
}

// boutStations returns the widest places and the waist along one side.
func (b Body) boutStations(from, to float64, side string) []Station {
	width := make([]float64, lapSamples+1)
	arc := func(i float64) float64 { return from + float64((to-from)*(i/lapSamples)) }
	for i := range width {
		width[i] = math.Abs(b.Outline.At(arc(float64(i))).At.Y)
	}
	lower, waist, upper := bouts(width)
	if waist < 0 {
		widest := 0
		for i, w := range width {
			if w > width[widest] {
				widest = i
			}
		}
		return []Station{b.namedStation(arc(b.refined(widest, arc)), side+"widest")}
	}
	return []Station{
		b.namedStation(arc(b.refined(lower, arc)), side+"lower bout"),
		b.namedStation(arc(b.refined(waist, arc)), side+"waist"),
		b.namedStation(arc(b.refined(upper, arc)), side+"upper bout"),
	}
}

// bouts returns the numbers of the widest place before the deepest waist, of that
// waist, and of the widest place after it; −1 where nothing goes in by more than
// slack.
func bouts(width []float64) (lower, waist, upper int) {
	n := len(width)
	after := make([]int, n) // widest from here on
	after[n-1] = n - 1
	for i := n - 2; i >= 0; i-- {
		after[i] = after[i+1]
		if width[i] >= width[after[i]] {
			after[i] = i
		}
	}
	lower, waist, upper = -1, -1, -1
	before, deepest := 0, waistTolerance
	for i := range width {
		if width[i] > width[before] {
			before = i
		}
		if in := min(width[before], width[after[i]]) - width[i]; in > deepest {
			deepest, lower, waist, upper = in, before, i, after[i]
		}
	}
	return lower, waist, upper
}

// refined finds the place between i − 1 and i + 1 where the outline runs along
// the centre line.
func (b Body) refined(i int, arc func(float64) float64) float64 {
	lo, hi := max(0, float64(i-1)), min(lapSamples, float64(i+1))
	lean := func(at float64) bool { return b.Outline.At(arc(at)).Tangent.Y > 0 }
	from := lean(lo)
	if lean(hi) == from {
		return float64(i)
	}
	for range 40 {
		if mid := (lo + hi) / 2; lean(mid) == from {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Extremes returns the highest and the lowest place of the top's edge, and the
// narrowest and widest of the side, among places a two-thousandth of a lap apart.
func (b Body) Extremes() (highest, lowest, narrowest, widest Station) {
	for i := range lapSamples {
		s := b.Station(float64(b.Outline.Perimeter() * (float64(i) / lapSamples)))
		if i == 0 || s.Top > highest.Top {
			highest = s
		}
		if i == 0 || s.Top < lowest.Top {
			lowest = s
		}
		if i == 0 || s.Width < narrowest.Width {
			narrowest = s
		}
		if i == 0 || s.Width > widest.Width {
			widest = s
		}
	}
	return highest, lowest, narrowest, widest
}
