package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// A plate of the rim's own radius lies on all of it; on a circle about the apex a
// plate of any radius does.
func TestPlatesThatFit(t *testing.T) {
	b := guitarBody(t)
	require.Less(t, b.DryFit(b.Top.Radius).LargestGap, 1e-9)
	b = round(t, 200, 7620, r2.Vec{})
	for _, R := range []float64{4000, 9000, math.Inf(1)} {
		require.Less(t, b.DryFit(R).LargestGap, 1e-3, "%g", R)
	}
}

// A flatter plate on an ellipse about the apex rests where the rim is highest, at
// the ends of the short axis, and gapes at the ends of the long one by the fall of its own
// dome from b to a less that of the plate's, about (a² − b²)/2 (1/R − 1/R').
func TestPlateOnAnEllipse(t *testing.T) {
	const a, c, R, other = 240.0, 170.0, 7620.0, 9144.0
	b := rim.Body{Outline: outline(t, ellipse(a, c, 720), rim.Smooth), Top: rim.Dome{Radius: R, Apex: r2.Vec{X: a}}}
	d := b.DryFit(other)
	want := math.Sqrt(R*R-c*c) - math.Sqrt(R*R-a*a) - math.Sqrt(other*other-c*c) + math.Sqrt(other*other-a*a)
	require.InDelta(t, (a*a-c*c)/2*(1/R-1/other), want, 2e-3*want) // (a² + b²)/4R² of it
	// The plate rests on places δ = 1.8 mm apart, beside the ends of the short axis: the gap
	// is about w (x/a)² at x from there, so that it may lean by w δ/a², at x = a by w δ/a.
	require.InDelta(t, want, d.LargestGap, want*1.81/a)
	for _, s := range d.RestsOn {
		require.InDelta(t, a, s.At.X, 1.81)
	}
	require.Len(t, d.Openings, 2)
	require.InDelta(t, 0, math.Min(d.Openings[0].Station.At.X, d.Openings[1].Station.At.X), 1e-6)
	require.InDelta(t, 2*a, math.Max(d.Openings[0].Station.At.X, d.Openings[1].Station.At.X), 1e-6)
}

// On any body the plate is let down by a plane until it rests on three places that have the middle
// between them, and is nowhere below the rim. No other plane brings its middle lower: one that is
// nowhere above what there is to come down is not above it at the three, nor then, in their mean
// that is the middle, there (own derivation).
func TestPlateRests(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, radius := drawBody(t), rapid.Float64Range(2000, 15000).Draw(t, "plate")
		d := b.DryFit(radius)
		under := b.Top
		under.Radius = radius
		require.Len(t, d.RestsOn, 3)
		p, q, r := d.RestsOn[0].At, d.RestsOn[1].At, d.RestsOn[2].At
		shares := func(at r2.Vec) [3]float64 { // of the three places in another
			area := r2.Cross(r2.Sub(q, p), r2.Sub(r, p))
			return [3]float64{r2.Cross(r2.Sub(q, at), r2.Sub(r, at)) / area, r2.Cross(r2.Sub(r, at), r2.Sub(p, at)) / area, r2.Cross(r2.Sub(p, at), r2.Sub(q, at)) / area}
		}
		var middle r2.Vec
		whole := 0.0
		for i, arc := range d.Arcs {
			s, next := b.Station(arc), b.Outline.At(d.Arcs[(i+1)%len(d.Arcs)]).At
			whole += r2.Cross(s.At, next) / 2
			middle = r2.Add(middle, r2.Scale(r2.Cross(s.At, next)/6, r2.Add(s.At, next)))
			gap := under.Height(s.At) - s.Top
			for k, share := range shares(s.At) {
				gap -= share * (under.Height(d.RestsOn[k].At) - d.RestsOn[k].Top)
			}
			require.GreaterOrEqual(t, gap, -1e-9)
			require.InDelta(t, gap, d.Gaps[i], 1e-9)
		}
		for _, share := range shares(r2.Scale(1/whole, middle)) {
			require.GreaterOrEqual(t, share, -1e-9)
		}
	})
}

// A sphere tilted by a tenth of a degree at 25 ft moves its apex by R sin φ = 13.2994 mm; a
// known plane of differences comes back from measured widths.
func TestAttitude(t *testing.T) {
	require.InDelta(t, 13.2994, rim.ApexShift(7620, math.Pi/1800), 5e-5)
	b := guitarBody(t)
	var list []rim.MeasuredWidth
	for _, s := range b.NamedStations() {
		list = append(list, rim.MeasuredWidth{Station: s, Width: s.Width + 0.8 + 0.002*s.At.X - 0.001*s.At.Y})
	}
	a := b.Attitude(list)
	require.InDelta(t, 0.002, math.Tan(a.Pitch), 1e-9)
	require.InDelta(t, -0.001, math.Tan(a.Roll), 1e-9)
	require.InDelta(t, b.Top.Radius*math.Sin(math.Atan(0.002)), a.Apex.X, 1e-9)
	require.InDelta(t, 0.8, a.Excess[0], 1e-9)

	two := b.Attitude([]rim.MeasuredWidth{list[0], list[4]})
	require.InDelta(t, 0.002, math.Tan(two.Pitch), 1e-9)
	require.Zero(t, two.Roll)
	one := b.Attitude(list[:1])
	require.Equal(t, [2]float64{}, [2]float64{one.Pitch, one.Roll})
	require.InDelta(t, 0.8, one.Mean, 1e-9)
	across := b.Attitude([]rim.MeasuredWidth{list[1], list[7]})
	require.Zero(t, across.Pitch)
	require.InDelta(t, -0.001, math.Tan(across.Roll), 1e-9)
}

// A dish of another radius holds both ends and is off between them by the
// difference of the two sagittas.
func TestAnotherDish(t *testing.T) {
	b := guitarBody(t)
	d, err := b.TopInDish(7620)
	require.NoError(t, err)
	for _, arc := range []float64{0, b.Outline.Head()} {
		s := b.Station(arc)
		require.InDelta(t, s.Top, d.Height(s.At), 1e-9)
	}
	mid := r2.Vec{X: 245}
	// Over a chord that leans by m an arc stands (1 + m²)^1.5 higher: m is 0.01, the
	// difference 0.42.
	sagitta := func(R float64) float64 { return R - math.Sqrt(R*R-245*245) }
	require.InDelta(t, sagitta(7620)-sagitta(8534.4), d.Height(mid)-b.Top.Height(mid), 7e-5)
	_, err = b.TopInDish(240)
	require.Error(t, err)
}

func BenchmarkStationsAndBraces(b *testing.B) {
	body := guitarBody(b)
	for b.Loop() {
		body.Stations(body.Outline.Perimeter() / 2000)
		for i := range 12 {
			x := 100 + 25*float64(i)
			if _, err := body.Notches(rim.Brace{From: r2.Vec{X: x, Y: -150}, To: r2.Vec{X: x + 20, Y: 150}, Width: 8}); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkWholeRim(b *testing.B) {
	body := guitarBody(b)
	for b.Loop() {
		body.Stations(body.Outline.Perimeter() / 2000)
		body.NamedStations()
		body.Extremes()
		body.CutFlat(105).Sanding(10)
		body.DryFit(7620)
	}
}
