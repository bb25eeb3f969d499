package rim_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// The perimeter of an ellipse is 4a E(m), m = 1 − b²/a², by the complete elliptic
// integral of the second kind (gonum mathext). The curve through its points comes
// nearer with the cube of their distance or faster, but at the widest places, which
// are held, with its square.
func TestPerimeterOfEllipses(t *testing.T) {
	for _, tt := range []struct {
		a, b float64
		n    int
		miss float64
	}{{200, 200, 90, 0.02}, {200, 200, 720, 1e-4}, {240, 170, 180, 0.01}, {240, 170, 1440, 1e-5}, {150, 149, 720, 1e-4}} {
		want := 4 * tt.a * mathext.CompleteE(1-tt.b*tt.b/(tt.a*tt.a))
		o := outline(t, ellipse(tt.a, tt.b, tt.n), rim.Smooth)
		require.InDelta(t, want, o.Perimeter(), tt.miss, "%+v", tt)
		require.InDelta(t, 2*tt.a, o.Length(), 1e-9)
		require.InDelta(t, o.Perimeter()/2, o.Head(), 1e-6)
	}
}

// A polygon's sides add up, and its places lie on them.
func TestPerimeterOfPolygon(t *testing.T) {
	points := []r2.Vec{{}, {X: 0, Y: -100}, {X: 400, Y: -80}, {X: 400, Y: 80}, {X: 0, Y: 100}}
	o := outline(t, points, rim.Straight)
	side := math.Hypot(400, 20)
	require.InDelta(t, 200+160+2*side, o.Perimeter(), 1e-9)
	require.InDelta(t, 100+side+80, o.Head(), 1e-9)
	s := o.At(100 + side/4)
	require.InDelta(t, 100, s.At.X, 1e-9)
	require.InDelta(t, -95, s.At.Y, 1e-9)
	require.InDelta(t, -400/side, s.Normal.Y, 1e-12)
	require.InDelta(t, 20/side, s.Normal.X, 1e-12)
}

// Arcs are lengths: chords of short pieces add up to them; counter-clockwise from
// the tail, whichever way the points run.
func TestArcsAreLengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawBody(t).Outline
		from := rapid.Float64Range(0, o.Perimeter()).Draw(t, "from")
		long := rapid.Float64Range(0.1, o.Perimeter()/2).Draw(t, "long")
		sum, before := 0.0, o.At(from).At
		const n = 4000
		for i := 1; i <= n; i++ {
			next := o.At(from + long*float64(i)/n).At
			sum += r2.Norm(r2.Sub(next, before))
			before = next
		}
		// A chord is shorter than its arc by κ²l³/24; with l of a tenth of a
		// millimetre and a bend of 1 mm at the tightest that is 1e-4 of it.
		require.InDelta(t, long, sum, 1e-3*long)
		require.Zero(t, o.At(0).Arc)
		require.InDelta(t, 0, r2.Norm(o.At(0).At), 1e-9)
		require.InDelta(t, 0, o.At(o.Head()).At.Y, 1e-9)
		require.Less(t, o.At(o.Perimeter()/50).At.Y, 0.0, "counter-clockwise: the right side first")
		for _, arc := range [...]float64{from, from + long} {
			s := o.At(arc)
			require.InDelta(t, 1, r2.Norm(s.Normal), 1e-12)
			require.InDelta(t, 0, r2.Dot(s.Normal, s.Tangent), 1e-12)
		}
	})
}

func TestEitherWayRound(t *testing.T) {
	half, err := guitar.Half()
	require.NoError(t, err)
	a := outline(t, rim.Mirrored(half), rim.Smooth)
	other := rim.Mirrored(half)
	slices.Reverse(other[1:])
	b := outline(t, other, rim.Smooth)
	for arc := 0.0; arc < a.Perimeter(); arc += 13 {
		p, q, m := a.At(arc), b.At(arc), a.At(a.Perimeter()-arc)
		require.InDelta(t, 0, r2.Norm(r2.Sub(p.At, q.At)), 1e-7)
		require.InDelta(t, p.At.X, m.At.X, 1e-7, "symmetric")
		require.InDelta(t, p.At.Y, -m.At.Y, 1e-7)
	}
}

// Wherever the list of points begins, arcs run from the tail: on, round and over it; a brace
// meets the rim at the arcs that it is told to, its middle line at the inner edge as well.
func TestAnyFirstPoint(t *testing.T) {
	half, err := guitar.Half()
	require.NoError(t, err)
	points := rim.Mirrored(half)
	a := guitarBody(t)
	for _, k := range []int{1, 37, len(points) / 2, len(points) - 1} {
		b := a
		b.Outline = outline(t, append(slices.Clone(points[k:]), points[:k]...), rim.Smooth)
		lap := b.Outline.Perimeter()
		require.InDelta(t, a.Outline.Perimeter(), lap, 1e-9)
		require.InDelta(t, a.Outline.Head(), b.Outline.Head(), 1e-9)
		for arc := -0.4 * lap; arc < 1.4*lap; arc += 41 {
			require.InDelta(t, 0, r2.Norm(r2.Sub(a.Outline.At(arc).At, b.Outline.At(arc).At)), 1e-9)
			require.InDelta(t, math.Mod(arc+lap, lap), b.Outline.At(arc).Arc, 1e-9)
		}
		from, to := r2.Vec{X: 150, Y: -160}, r2.Vec{X: 390, Y: 100}
		n, err := b.Notches(rim.Brace{From: from, To: to, Width: 8})
		require.NoError(t, err)
		for i, end := range n {
			require.InDelta(t, 0, r2.Norm(r2.Sub(end.At, b.Outline.At(end.Arc).At)), 1e-9)
			for _, p := range []r2.Vec{end.At, b.Outline.At(end.InnerArc).Inward(b.EdgeWidth())} {
				require.InDelta(t, 0, r2.Cross(r2.Unit(r2.Sub(to, from)), r2.Sub(p, from)), 1e-6)
				require.Equal(t, i == 1, r2.Dot(r2.Sub(to, from), r2.Sub(p, r2.Vec{X: 270, Y: -30})) > 0)
			}
		}
	}
}

// Between two points neither coordinate goes beyond them, so that the widest place
// that was given stays the widest.
func TestNoOvershoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var half []r2.Vec
		x := 0.0
		for i := range rapid.IntRange(2, 12).Draw(t, "points") {
			half = append(half, r2.Vec{X: x, Y: rapid.Float64Range(40, 200).Draw(t, "y")})
			x += rapid.Float64Range(12, 90).Draw(t, "step") + float64(i)*0
		}
		half = append(append([]r2.Vec{{X: 0}}, half...), r2.Vec{X: x + 30})
		half[1].X = 0.5
		o, err := rim.NewOutline(rim.Mirrored(half), rim.Smooth)
		if err != nil {
			t.Skip(err)
		}
		points, flat := o.Polygon(1), o.Polygon(32)
		for i, p := range points {
			q := points[(i+1)%len(points)]
			for _, v := range flat[32*i : 32*i+32] {
				require.True(t, v.X >= math.Min(p.X, q.X)-1e-9 && v.X <= math.Max(p.X, q.X)+1e-9)
				require.True(t, v.Y >= math.Min(p.Y, q.Y)-1e-9 && v.Y <= math.Max(p.Y, q.Y)+1e-9)
			}
		}
	})
}

func TestWrongOutlines(t *testing.T) {
	good := ellipse(200, 150, 24)
	with := func(i int, v r2.Vec) []r2.Vec {
		p := slices.Clone(good)
		p[i] = v
		return p
	}
	scaled := func(k float64) []r2.Vec {
		p := slices.Clone(good)
		for i := range p {
			p[i] = r2.Scale(k, p[i])
		}
		return p
	}
	moved := slices.Clone(good)
	for i := range moved {
		moved[i].X += 5
	}
	swapped := slices.Clone(good)
	swapped[5], swapped[9] = swapped[9], swapped[5]
	for _, tt := range []struct {
		name    string
		points  []r2.Vec
		message string
	}{
		{"three points", good[:3], "3 points make no outline"},
		{"a point twice", with(4, good[3]), "twice in a row"},
		{"no number", with(4, r2.Vec{X: math.NaN()}), "no number"},
		{"endless", with(4, r2.Vec{Y: math.Inf(1)}), "no number"},
		{"15 mm", scaled(15.0 / 400), "right unit"},
		{"20 m", scaled(50), "right unit"},
		{"crossing", swapped, "crosses itself"},
		{"tail not at 0", moved, "the tail lies at x = 5 mm"},
		{"all on one side", ellipseShifted(300), "does not cross the centre line"},
		{"on one line", []r2.Vec{{}, {X: 100}, {X: 200}, {X: 300}}, "right unit"},
		{"too many", make([]r2.Vec, rim.MaxPoints+1), "too much"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := rim.NewOutline(tt.points, rim.Smooth)
			var w *rim.OutlineError
			require.ErrorAs(t, err, &w)
			require.Contains(t, w.Message, tt.message)
		})
	}
}

func ellipseShifted(y float64) []r2.Vec {
	p := ellipse(200, 150, 24)
	for i := range p {
		p[i].Y += y
	}
	return p
}

// No points, however wild, bring a panic or an endless run; a long side among
// many short ones is no trap.
func FuzzOutline(f *testing.F) {
	f.Add([]byte{0, 0, 10, 200, 100, 100, 200, 30, 250, 0}, true)
	f.Fuzz(func(t *testing.T, data []byte, smooth bool) {
		var points []r2.Vec
		for i := 1; i < len(data); i += 2 {
			points = append(points, r2.Vec{X: float64(data[i-1]) * 3, Y: float64(int8(data[i])) * 2})
		}
		curve := rim.Straight
		if smooth {
			curve = rim.Smooth
		}
		o, err := rim.NewOutline(points, curve)
		if err != nil {
			return
		}
		b := rim.Body{Outline: o, Sides: 2, Lining: 5, Top: rim.Dome{Radius: 8000, Apex: r2.Vec{X: 100}}, Back: rim.Dome{Kind: rim.Plane, Level: -80}}
		for _, s := range b.Stations(o.Perimeter() / 7) {
			require.False(t, math.IsNaN(s.Top+s.TopSlope+s.At.X))
		}
		b.NamedStations()
	})
}

func BenchmarkOutlineOfMostPoints(b *testing.B) {
	points := ellipse(240, 180, rim.MaxPoints)
	for b.Loop() {
		if _, err := rim.NewOutline(points, rim.Smooth); err != nil {
			b.Fatal(err)
		}
	}
}
