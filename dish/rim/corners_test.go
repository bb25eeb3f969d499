package rim_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// box is a body with sharp corners, 400 by 200, a plane on either side.
func box(t require.TestingT) rim.Body {
	points := []r2.Vec{{}, {Y: -100}, {X: 400, Y: -100}, {X: 400, Y: 100}, {Y: 100}}
	return rim.Body{Outline: outline(t, points, rim.Straight), Sides: 2.2, Lining: 6,
		Top: rim.Dome{Kind: rim.Plane}, Back: rim.Dome{Kind: rim.Plane, Level: -80, Back: true}}
}

// Between two measured heights what has to come off runs straight up and straight
// down again. Own derivation, its least and greatest l and m: the share at which more
// than v is left is (m − v)/(m − l), what is gone by then the triangle
// (m − v)²/2(m − l) of the whole (m² − l²)/2(m − l), l counted as 0 where wood is
// missing, which it is along −l/(m − l).
func TestSandingOfARamp(t *testing.T) {
	b := box(t)
	lap := b.Outline.Perimeter()
	for _, l := range []float64{1, -0.5} {
		const m = 3.0
		low := math.Max(0, l)
		s := b.AsMeasured([]rim.MeasuredHeight{{Arc: 0.2 * lap, Top: 80 + l}, {Arc: 0.7 * lap, Top: 80 + m}}).Sanding(7)
		require.InDelta(t, m, s.MostExcess, 1e-9)
		require.InDelta(t, l, s.LeastExcess, 1e-9)
		require.InDelta(t, 0.7*lap, s.FirstTouch.Arc, 1e-6)
		require.InDelta(t, 0.2*lap, s.LastTouch.Arc, 1e-6)
		require.InDelta(t, lap*math.Max(0, -l)/(m-l), s.MissingLength, 1e-6)
		// The wood is that of the edge E wide, less E² at every right corner: under no place
		// where wood is missing is any of it.
		at := func(arc float64) float64 {
			return math.Max(0, l+(m-l)*math.Abs(math.Remainder(arc-0.2*lap, lap))/(lap/2))
		}
		e := b.EdgeWidth()
		wood := e * lap * (m*m - low*low) / 2 / (m - l)
		for _, corner := range []float64{100, 500, 700, 1100} {
			wood -= e * e * at(corner)
		}
		require.InEpsilon(t, wood, s.WoodVolume, 1e-5) // heights are taken in the middle of pieces of 0.3 mm
		if l > 0 {
			require.Len(t, s.Steps, 9)
			require.Equal(t, [2]float64{1, 1}, [2]float64{s.Steps[8].TouchedFraction, s.Steps[8].RemovedFraction})
			require.InDelta(t, m, s.Steps[8].Lowered, 1e-9)
		} else {
			require.Len(t, s.Steps, 8)
		}
		for i, step := range s.Steps[:8] {
			v := m - (m-low)*float64(i)/7
			require.InDelta(t, m-v, step.Lowered, 1e-9)
			require.InDelta(t, (m-v)/(m-l), step.TouchedFraction, 1e-9, "step %d", i)
			gone := (m - v) * (m - v)
			if v < l {
				gone = m*m - l*l - 2*(m-l)*v
			}
			require.InDelta(t, gone/(m*m-low*low), step.RemovedFraction, 1e-9, "step %d", i)
		}
	}
}

// A rim with nothing to come off is sanded, one with as much everywhere too.
func TestSandingOfALevelRim(t *testing.T) {
	s := box(t).CutFlat(80).Sanding(3)
	require.InDelta(t, 0, s.MostExcess, 1e-12)
	for _, step := range s.Steps {
		require.Equal(t, [3]float64{0, 1, 1}, [3]float64{step.Lowered, step.TouchedFraction, step.RemovedFraction})
	}
	require.Zero(t, s.MissingLength)
	require.InDelta(t, 0, s.WoodVolume, 1e-6)
}

// Of a body with sharp corners the edge is a frame: its area is 2E(a + b) − 4E².
func TestWoodOfABox(t *testing.T) {
	b := box(t)
	e := b.EdgeWidth()
	require.InEpsilon(t, 3*(2*e*600-4*e*e), b.CutFlat(83).Sanding(1).WoodVolume, 1e-6)
}

// A strip w inside a corner that turns by β is 2w tan(β/2) shorter, which over an edge E wide
// takes E² tan(β/2) off its area; where a body comes to a point of less than 65 degrees,
// π − 2 radians, it counts as one of those.
func TestWoodOfAPoint(t *testing.T) {
	for _, turn := range []float64{1.2, 1.98, 2.02, 2.6} {
		half := (math.Pi - turn) / 2 // of the point
		points := []r2.Vec{{}, {Y: -100}, {X: 300, Y: -100}, {X: 300 + 100/math.Tan(half)}, {X: 300, Y: 100}, {Y: 100}}
		b := box(t)
		b.Outline = outline(t, points, rim.Straight)
		e := b.EdgeWidth()
		corners := 2*math.Tan(math.Pi/4) + 2*math.Tan(half/2) + math.Tan(math.Min(2, turn)/2)
		require.InEpsilon(t, 3*(e*b.Outline.Perimeter()-e*e*corners), b.CutFlat(83).Sanding(1).WoodVolume, 1e-9, "%g", turn)
	}
}

// Round a sharp corner the middle of a bent side goes no way until its outside has gone
// a quarter of a circle of half its thickness: never back, and in all π t/2 less than the
// outside, for the half of the box turns by half a turn.
func TestMiddleOfASideRoundCorners(t *testing.T) {
	b := box(t)
	for _, left := range []bool{false, true} {
		s := b.Unroll(left, 0.5)
		require.InDelta(t, 600, s.OuterLength, 1e-9)
		require.InDelta(t, 600-math.Pi*2.2/2, s.MidLength, 1e-9)
		for i, l := range s.Points[1:] {
			require.GreaterOrEqual(t, l.MidArc, s.Points[i].MidArc)
			want := l.OuterArc
			for _, corner := range []float64{100, 500} {
				if l.OuterArc > corner {
					want -= math.Pi / 2 * 1.1
				}
			}
			if l.OuterArc > 102 && l.OuterArc < 500 || l.OuterArc > 502 || l.OuterArc < 100 {
				require.InDelta(t, want, l.MidArc, 1e-9, "at %g", l.OuterArc)
			}
		}
	}
}

// A side that leans by m in its length, d wide along its own height, lies in a board
// d/√(1 + m²) wide turned by as much: between two parallel lines d apart upright.
func TestBoardOfALeaningSide(t *testing.T) {
	for _, m := range []float64{0, 0.05, 0.19, -0.19} {
		var s rim.UnrolledSide
		for u := 0.0; u <= 600; u += 10 {
			s.Points = append(s.Points, rim.UnrolledPoint{OuterArc: u, Top: 7 + m*u, Back: m*u - 83})
		}
		narrow := s
		narrow.Points = s.Points[20:40]
		width, lean := rim.NarrowestBoard([]rim.UnrolledSide{s, narrow}, 1.5)
		require.InDelta(t, 90/math.Hypot(1, m)+3, width, 1e-5)
		require.InDelta(t, m, lean, 1e-7)
	}
}

// A lap divided evenly has as many stations as parts, and a step beyond it one.
func TestStationsOfALap(t *testing.T) {
	b := box(t)
	for step, want := range map[float64]int{150: 8, 149.9: 9, 1200: 1, 5000: 1} {
		require.Len(t, b.Stations(step), want, "%g", step)
	}
}

// A waist counts that goes in by more than a millimetre.
func TestShallowWaist(t *testing.T) {
	for in, want := range map[float64]int{0.99: 4, 1.01: 8} {
		half := []r2.Vec{{}, {X: 1, Y: 50}, {X: 100, Y: 100}, {X: 200, Y: 100 - in}, {X: 300, Y: 100}, {X: 399, Y: 50}, {X: 400}}
		b := box(t)
		b.Outline = outline(t, rim.Mirrored(half), rim.Straight)
		require.Len(t, b.NamedStations(), want, "%g", in)
	}
}

// A brace crosses a straight side at 0.2 radians or more, and is a millimetre long.
func TestLeastOfBraces(t *testing.T) {
	b := box(t)
	for angle, ok := range map[float64]bool{0.199: false, 0.201: true} {
		sin, cos := math.Sincos(angle)
		way := r2.Vec{X: 100 * cos, Y: 100 * sin}
		middle := r2.Vec{X: 200}
		b.Outline = outline(t, []r2.Vec{{}, {Y: -20}, {X: 400, Y: -20}, {X: 400, Y: 20}, {Y: 20}}, rim.Straight)
		_, err := b.Notches(rim.Brace{From: r2.Sub(middle, way), To: r2.Add(middle, way), Width: 5})
		require.Equal(t, ok, err == nil, "%g %v", angle, err)
	}
	for long, ok := range map[float64]bool{0.99: false, 1.01: true} {
		_, err := b.Notches(rim.Brace{From: r2.Vec{X: 200}, To: r2.Vec{X: 200, Y: long}, Width: 5})
		require.Equal(t, ok, err == nil, "%g", long)
	}
}

// A plate on a body with a cutaway: what it is let down by is a plane, and its openings
// are told from the largest down, each over the mean.
func TestPlateOnACutaway(t *testing.T) {
	b := cutawayBody(t)
	b.Top.Apex.Y = 15 // so that it leans aside too
	d := b.DryFit(7000)
	under := b.Top
	under.Radius = 7000
	down := func(i int) float64 { // by how much the plate came down there
		s := b.Station(d.Arcs[i])
		return under.Height(s.At) - s.Top - d.Gaps[i]
	}
	// A plane through three places far apart is the one at all others.
	at := func(i int) r2.Vec { return b.Outline.At(d.Arcs[i]).At }
	p, u, v := at(0), r2.Sub(at(240), at(0)), r2.Sub(at(480), at(0))
	hu, hv := down(240)-down(0), down(480)-down(0)
	for i := range d.Gaps {
		w := r2.Sub(at(i), p)
		want := down(0) + hu*r2.Cross(w, v)/r2.Cross(u, v) + hv*r2.Cross(u, w)/r2.Cross(u, v)
		require.InDelta(t, want, down(i), 1e-9, "place %d", i)
	}
	require.Len(t, d.RestsOn, 3)
	require.InDelta(t, 0, slices.Min(d.Gaps), 1e-9)
	for _, s := range d.RestsOn {
		i := int(math.Round(s.Arc / b.Outline.Perimeter() * float64(len(d.Gaps))))
		require.InDelta(t, 0, d.Gaps[i], 1e-9)
	}
	require.Greater(t, len(d.Openings), 2)
	for i, o := range d.Openings {
		require.Greater(t, o.Gap, d.MeanGap)
		if i > 0 {
			require.LessOrEqual(t, o.Gap, d.Openings[i-1].Gap)
		}
	}
	require.Equal(t, d.LargestGap, d.Openings[0].Gap)
}

// Whether a polygon crosses or touches itself, against every two of its sides in whole
// numbers. Sides that follow one another touch at their common point alone.
func TestCrossingsAgainstEveryPair(t *testing.T) {
	side := func(a, b, p [2]int) int {
		return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0])
	}
	sign := func(v int) int { return max(-1, min(1, v)) }
	on := func(a, b, p [2]int) bool { // p lies on the side from a to b
		return side(a, b, p) == 0 && (p[0]-a[0])*(p[0]-b[0]) <= 0 && (p[1]-a[1])*(p[1]-b[1]) <= 0
	}
	meet := func(a, b, c, d [2]int) bool {
		return on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b) ||
			sign(side(a, b, c))*sign(side(a, b, d)) < 0 && sign(side(c, d, a))*sign(side(c, d, b)) < 0
	}
	crosses := func(p [][2]int) bool {
		n := len(p)
		for i := range n {
			for j := i + 1; j < n; j++ {
				a, b, c, d := p[i], p[(i+1)%n], p[j], p[(j+1)%n]
				switch {
				case j == i+1: // b is c: folded back where either end lies on the other
					if on(a, b, d) || on(c, d, a) {
						return true
					}
				case (j+1)%n == i: // d is a
					if on(a, b, c) || on(c, d, b) {
						return true
					}
				case meet(a, b, c, d):
					return true
				}
			}
		}
		return false
	}
	found := map[bool]int{}
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.IntRange(2, 6).Draw(t, "most")
		var p [][2]int
		var points []r2.Vec
		for range rapid.IntRange(4, 8).Draw(t, "points") {
			q := [2]int{rapid.IntRange(0, most).Draw(t, "x"), rapid.IntRange(-most, most).Draw(t, "y")}
			p, points = append(p, q), append(points, r2.Vec{X: 64 * float64(q[0]), Y: 64 * float64(q[1])})
		}
		_, err := rim.NewOutline(points, rim.Straight)
		if err != nil && !contains(err, "crosses itself") && !contains(err, "centre line") && !contains(err, "the tail lies") {
			t.Skip(err)
		}
		found[crosses(p)]++
		require.Equal(t, crosses(p), contains(err, "crosses itself"), "%v", p)
	})
	require.Positive(t, min(found[true], found[false]))
}

// contains reports whether an error says something.
func contains(err error, text string) bool { return err != nil && strings.Contains(err.Error(), text) }

// How far a body reaches from the apex, at its farthest corner; a board bent along or
// across is reached in its own direction alone.
func TestExtentOfABox(t *testing.T) {
	o := box(t).Outline
	apex := r2.Vec{X: 150, Y: 20}
	for kind, want := range map[rim.DomeKind]float64{
		rim.Sphere: math.Hypot(250, 120), rim.CylinderAcross: 120, rim.CylinderAlong: 250,
	} {
		require.InDelta(t, want, rim.Dome{Kind: kind, Radius: 5000, Apex: apex}.Extent(o), 1e-9, "%v", kind)
	}
}

// A tail that lies off x = 0 by a hundredth of a millimetre is taken as there.
func TestTailNearZero(t *testing.T) {
	for off, ok := range map[float64]bool{0.0099: true, -0.0099: true, 0.0101: false, -0.0101: false} {
		points := []r2.Vec{{X: off}, {Y: -100}, {X: 400, Y: -100}, {X: 400, Y: 100}, {Y: 100}}
		_, err := rim.NewOutline(points, rim.Straight)
		require.Equal(t, ok, err == nil, "%g: %v", off, err)
	}
}

// A body is 100 mm to 2 m long, along or across, with four points or more and none twice in a row.
func TestSizesOfOutlines(t *testing.T) {
	for _, tt := range []struct {
		long, wide float64
		ok         bool
	}{{100, 20, true}, {99.9, 99.9, false}, {99.9, 20, false}, {60, 100, true}, {2000, 300, true}, {2001, 300, false}, {300, 2001, false}, {1900, 2000, true}} {
		points := []r2.Vec{{}, {Y: -tt.wide / 2}, {X: tt.long, Y: -tt.wide / 2}, {X: tt.long, Y: tt.wide / 2}, {Y: tt.wide / 2}}
		_, err := rim.NewOutline(points, rim.Straight)
		require.Equal(t, tt.ok, err == nil, "%+v: %v", tt, err)
	}
	four := []r2.Vec{{}, {X: 200, Y: -100}, {X: 400}, {X: 200, Y: 100}}
	_, err := rim.NewOutline(four, rim.Straight)
	require.NoError(t, err)
	_, err = rim.NewOutline(four[:3], rim.Straight)
	require.Error(t, err)
	for i := range four {
		_, err = rim.NewOutline(slices.Insert(slices.Clone(four), i, four[i]), rim.Straight)
		var at *rim.OutlineError
		require.ErrorAs(t, err, &at)
		require.Equal(t, i+1, at.Point, "the second of the two")
	}
	_, err = rim.NewOutline(append(slices.Clone(four), four[0]), rim.Straight)
	var at *rim.OutlineError
	require.ErrorAs(t, err, &at)
	require.Zero(t, at.Point, "the last is the first again")
}

// A brace that runs along the centre line, off the apex: its edge stands over the chord
// between its two ends as the section of the sphere does, whose radius it has.
func TestBraceArcWithUnevenEnds(t *testing.T) {
	const R = 4572.0
	b := box(t)
	b.Top = rim.Dome{Kind: rim.Sphere, Radius: R, Apex: r2.Vec{X: 120}}
	n, err := b.Notches(rim.Brace{From: r2.Vec{X: 100, Y: 30}, To: r2.Vec{X: 300, Y: 30}, Width: 8})
	require.NoError(t, err)
	radius, length, heights := b.BraceArc(n, 8)
	require.InDelta(t, 400, length, 1e-9)
	at := func(x float64) float64 { return math.Sqrt(R*R-(x-120)*(x-120)-30*30) - R }
	for i, h := range heights {
		x := 400 * float64(i) / 8
		require.InDelta(t, at(x)-at(0)-x/400*(at(400)-at(0)), h, 1e-9, "at %g", x)
	}
	// The section of the sphere has √(R² − 30²). The height h = 4.4 over the middle, square to
	// the chord that leans by 0.0175, stands s = 0.08 beside the arc's own: s²/2R less, 2e-7
	// of it.
	require.InDelta(t, math.Sqrt(R*R-900), radius, 1e-3)
}
