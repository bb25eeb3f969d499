package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// leaning is a sphere whose flat from 330 mm on falls by an angle, in degrees.
func leaning(deg float64) rim.Dome {
	return rim.Dome{Kind: rim.Sphere, Radius: 7620, Apex: r2.Vec{X: 170}, FlatFrom: 330, Blend: 60, FlatLeans: true, FlatFall: math.Tan(deg * math.Pi / 180)}
}

// A plane meets a sphere in a circle (Euclid; Machinery's Handbook has its segment). By angles
// in the middle plane, where the flat begins at θ from the apex, sin θ = 160/7620, and falls by λ:
// its distance from the sphere's centre is R cos(λ − θ), the circle's radius R sin(λ − θ), its middle
// R cos(λ − θ) sin λ from the apex. From above it is an ellipse, cos λ as long as wide.
func TestAFlatCutsASphereInACircle(t *testing.T) {
	const R = 7620.0
	theta := math.Asin(160 / R)
	for _, deg := range []float64{1.5, 2, 3, 9} {
		d, lambda := leaning(deg), deg*math.Pi/180
		require.True(t, d.FlatCuts())
		centre, radius := d.FlatCircle()
		require.InDelta(t, R*math.Sin(lambda-theta), radius, 1e-8)
		require.InDelta(t, 170+R*math.Cos(lambda-theta)*math.Sin(lambda), centre.X, 1e-9)
		require.Zero(t, centre.Y)
		// The area in which it is flat, by its widths at places an even angle apart: Simpson's rule.
		const n = 200
		area := 0.0
		for i := range n + 1 {
			phi := math.Pi * (float64(i)/n - 0.5)
			y := radius * math.Sin(phi)
			long := 0.0
			for _, way := range []float64{-1, 1} {
				lo, hi := 0.0, 1.01*radius
				for range 60 {
					if mid := (lo + hi) / 2; d.Zone(r2.Vec{X: centre.X + way*mid, Y: y}) == rim.Flat {
						lo = mid
					} else {
						hi = mid
					}
				}
				long += lo
			}
			weight := []float64{2, 4}[i%2]
			if i == 0 || i == n {
				weight = 1
			}
			area += weight / 3 * math.Pi / n * radius * math.Cos(phi) * long
		}
		require.InEpsilon(t, math.Pi*radius*radius*math.Cos(lambda), area, 1e-6)
		for _, p := range []r2.Vec{{X: 331}, {X: centre.X, Y: 0.9 * radius}, {X: 300, Y: 50}, {X: centre.X, Y: 1.1 * radius}} {
			plane := d.Height(r2.Vec{X: 330}) - math.Tan(lambda)*(p.X-330)
			sphere := math.Sqrt(R*R-(p.X-170)*(p.X-170)-p.Y*p.Y) - R
			require.InDelta(t, math.Min(plane, sphere), d.Height(p), 1e-9)
			require.InDelta(t, math.Min(plane-sphere, 0), d.OverDome(p), 1e-9)
		}
	}
}

// Where a flat touches the sphere a dish would take off plane − sphere, in closed form; one that
// leans less stands higher still.
func TestWhatADishWouldTakeOffAFlat(t *testing.T) {
	const R = 7620.0
	tan := 160 / math.Sqrt(R*R-160*160)
	touch := leaning(0)
	touch.FlatLeans = false
	require.InDelta(t, tan, touch.Fall(), 1e-12)
	for _, deg := range []float64{0, 1, math.Atan(tan) * 180 / math.Pi} {
		d := leaning(deg)
		require.False(t, d.FlatCuts(), "%g", deg)
		for _, p := range []r2.Vec{{X: 330}, {X: 400, Y: 90}, {X: 470, Y: -130}} {
			sphere := math.Sqrt(R*R-(p.X-170)*(p.X-170)-p.Y*p.Y) - R
			want := math.Sqrt(R*R-160*160) - R - math.Tan(deg*math.Pi/180)*(p.X-330) - sphere
			require.InDelta(t, want, d.OverDome(p), 1e-9)
			require.GreaterOrEqual(t, d.OverDome(p), touch.OverDome(p)-1e-9)
			require.Equal(t, rim.Flat, d.Zone(p))
		}
		require.Equal(t, rim.Blend, d.Zone(r2.Vec{X: 300, Y: 90}))
		require.Equal(t, rim.Domed, d.Zone(r2.Vec{X: 269, Y: 90}))
	}
}

// A flat's edges on the rim: where it cuts, they lie at the circle's radius from its middle, the
// foot of the sphere's centre; where it touches, on lines across the body.
func TestEdgesOfAFlat(t *testing.T) {
	b := guitarBody(t)
	d := leaning(2.6)
	b.Top = d
	require.Nil(t, d.OutAgain(b.Outline))
	lap := b.Stretches()
	require.Len(t, lap, 3)
	require.Equal(t, []rim.Zone{rim.Domed, rim.Flat, rim.Domed}, []rim.Zone{lap[0].Zone, lap[1].Zone, lap[2].Zone})
	require.InDelta(t, b.Outline.Perimeter(), lap[2].To, 1e-9)
	centre, radius := d.FlatCircle()
	z := d.Height(r2.Vec{X: 330}) - d.FlatFall*(centre.X-330)
	for _, arc := range []float64{lap[1].From, lap[1].To} {
		s := b.Station(arc)
		require.InDelta(t, radius, math.Hypot(math.Hypot(s.At.X-centre.X, s.At.Y), s.Top-z), 1e-6)
	}
	lines := b.FlatLines()
	require.Len(t, lines, 1)
	for _, p := range lines[0] {
		require.InDelta(t, radius, math.Hypot(math.Hypot(p.X-centre.X, p.Y), d.Height(p)-z), 1e-6)
	}
	b.Top.FlatLeans = false
	lap = b.Stretches()
	require.Len(t, lap, 5)
	for i, x := range []float64{270, 330, 330, 270} {
		require.InDelta(t, x, b.Outline.At(lap[i+1].From).At.X, 1e-6)
	}
	require.Len(t, b.FlatLines(), 2)
	var names []string
	for _, s := range b.NamedStations() {
		names = append(names, s.Name)
	}
	require.Equal(t, []string{"tail", "right lower bout", "right blend begins", "right waist", "right flat begins", "right upper bout", "head",
		"left upper bout", "left flat begins", "left waist", "left blend begins", "left lower bout"}, names)
	for i, want := range []bool{false, true} {
		n := 0
		for _, p := range b.Unroll(want, 10).Points {
			if p.Name == []string{"right ", "left "}[i]+"flat begins" {
				n++
			}
		}
		require.Equal(t, 1, n)
	}
}

// The gentlest flat that stays in the dome: a little less and it comes out again.
func TestAFlatComesOutAgain(t *testing.T) {
	b := guitarBody(t)
	fall, ok := leaning(0).LeastCuttingFall(b.Outline)
	require.True(t, ok)
	d := leaning(0)
	d.FlatFall = fall + 2e-6
	require.Nil(t, d.OutAgain(b.Outline))
	d.FlatFall = fall - 2e-6
	require.NotNil(t, d.OutAgain(b.Outline))
	d.Radius = 345 // so round that no plane through that place holds the upper bout
	_, ok = d.LeastCuttingFall(b.Outline)
	require.False(t, ok)
	// A cylinder that is bent across falls nowhere along itself: it is never met again.
	d = leaning(0.2)
	d.Kind = rim.CylinderAcross
	require.True(t, d.FlatCuts())
	require.Nil(t, d.OutAgain(b.Outline))
}

// The parts' sandings add up to that of the whole: their lengths, their wood, and what each has
// touched. Where the flat cuts the dome the dish takes all the wood above the dome first.
func TestPartsOfASandingAddUp(t *testing.T) {
	for i := range 8 { // each takes a tenth of a second
		draw := rapid.Custom(func(t *rapid.T) rim.UnsandedRim { return drawFlat(t) })
		h := draw.Example(i)
		whole := h.Sanding(3)
		var length, wood, touched float64
		at := whole.LeastExcess + 0.4*(whole.MostExcess-whole.LeastExcess)
		for zone := range rim.Zones {
			s := h.Sanding(3, zone)
			length, wood = length+s.Length, wood+s.WoodVolume
			if s.Length > 0 {
				touched += s.TouchedFraction(at) * s.Length
				require.LessOrEqual(t, s.MostExcess, whole.MostExcess+1e-3) // pieces of a third of a millimetre, no corners
				require.GreaterOrEqual(t, s.LeastExcess, whole.LeastExcess-1e-3)
			}
		}
		require.InDelta(t, whole.Length, length, 1e-6)
		require.InEpsilon(t, whole.WoodVolume, wood, 1e-4) // a piece at an edge is as long as others, or shorter
		if whole.MostExcess-whole.LeastExcess > 0.01 {
			require.InDelta(t, 1, (touched+1)/(whole.TouchedFraction(at)*whole.Length+1), 0.01)
		}
		dish := h.InDish().Sanding(1, rim.Flat) // what the dish leaves to the flat board
		require.LessOrEqual(t, dish.WoodVolume, h.Sanding(1, rim.Flat).WoodVolume+1e-6)
	}
}

// drawFlat draws a rim before sanding whose top has a flat, in one of four ways.
func drawFlat(t *rapid.T) rim.UnsandedRim {
	b := drawBody(t)
	long := b.Outline.Length()
	b.Top.FlatFrom = long * rapid.Float64Range(0.8, 0.95).Draw(t, "from")
	b.Top.Blend = long * rapid.Float64Range(0.01, 0.2).Draw(t, "blend")
	if b.Top.Kind == rim.Plane {
		b.Top.FlatFrom = 0
	} else if b.Top.FlatLeans = rapid.Bool().Draw(t, "leans"); b.Top.FlatLeans {
		b.Top.FlatFall = b.Top.TouchingFall() + rapid.Float64Range(-0.02, 0.04).Draw(t, "fall")
	}
	switch rapid.IntRange(0, 2).Draw(t, "start") {
	case 0:
		return b.WithAllowance(1.5)
	case 1:
		return b.CutFlat(160)
	}
	return b.CutFlat(160).Sawn(rapid.Float64Range(0.1, 3).Draw(t, "saw to"))
}

// A dish of the top's own radius sands the top's own dome, whatever is kept flat beyond it.
func TestDishOfAFlatTopsOwnRadius(t *testing.T) {
	b := guitarBody(t)
	touch := leaning(0)
	touch.FlatLeans = false
	for _, top := range []rim.Dome{leaning(2.6), touch, leaning(0)} {
		b.Top = top
		d, err := b.TopInDish(top.Radius)
		require.NoError(t, err)
		for _, s := range b.Stations(20) {
			if b.Top.Zone(s.At) == rim.Domed {
				require.InDelta(t, s.Top, d.Height(s.At), 1e-6)
			}
		}
	}
}
