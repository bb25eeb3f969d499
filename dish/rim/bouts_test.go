package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// What the four widths refuse: a waist no narrower than both bouts, and a body wider than
// twice its length.
func TestBoutsRefused(t *testing.T) {
	good := rim.Bouts{Upper: 280, Waist: 240, Lower: 380, Length: 191}
	for _, tt := range []struct {
		change func(*rim.Bouts)
		ok     bool
	}{
		{func(*rim.Bouts) {}, true},
		{func(b *rim.Bouts) { b.Waist = 280 }, false},
		{func(b *rim.Bouts) { b.Waist, b.Upper = 385, 390 }, false},
		{func(b *rim.Bouts) { b.Length = 189 }, false},
		{func(b *rim.Bouts) { b.Upper, b.Lower, b.Length = 380, 280, 189 }, false},
		{func(b *rim.Bouts) { b.Waist = 0 }, false},
		{func(b *rim.Bouts) { b.Upper, b.Lower, b.Length = 380, 280, 191 }, true},
		{func(b *rim.Bouts) { b.Length = 190 }, false},
		{func(b *rim.Bouts) { b.Waist = 0.5 }, true},
	} {
		b := good
		tt.change(&b)
		_, err := b.Half()
		require.Equal(t, tt.ok, err == nil, "%+v: %v", b, err)
	}
}

// The half of a body of four widths: quarters of ellipses about its ends, and halves of a wave
// from bout to waist and on to the other bout, at 0.27, 0.62 and 0.8 of its length.
func TestHalfOfBouts(t *testing.T) {
	k := rim.Bouts{Upper: 280, Waist: 240, Lower: 380, Length: 490}
	half, err := k.Half()
	require.NoError(t, err)
	require.Equal(t, []r2.Vec{{}, {X: 490}}, []r2.Vec{half[0], half[len(half)-1]})
	widest := [3]float64{}
	for i, p := range half {
		xl, xw, xu := 0.27*490, 0.62*490, 0.8*490
		var want float64
		switch {
		case p.X <= xl:
			want = 190 * math.Sqrt(1-(xl-p.X)*(xl-p.X)/(xl*xl))
		case p.X <= xw:
			want = 155 + 35*math.Cos(math.Pi*(p.X-xl)/(xw-xl))
		case p.X <= xu:
			want = 130 - 10*math.Cos(math.Pi*(p.X-xw)/(xu-xw))
		default:
			want = 140 * math.Sqrt(math.Max(0, 1-(p.X-xu)*(p.X-xu)/((490-xu)*(490-xu))))
		}
		require.InDelta(t, want, p.Y, 1e-5, "at %g", p.X)
		if i > 0 {
			require.Less(t, r2.Norm(r2.Sub(p, half[i-1])), 7.0, "a few millimetres apart")
			require.Greater(t, p.X, half[i-1].X)
		}
		for j, x := range [...]float64{xl, xw, xu} {
			if math.Abs(p.X-x) < 1e-9 {
				widest[j] = p.Y
			}
		}
	}
	require.InDeltaSlice(t, []float64{190, 120, 140}, widest[:], 1e-9)
}

// Pins: the half goes through each of them, its four numbers stay, and it is the guess itself
// where a pin lies on that.
func TestPinnedBouts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := guitar
		plain, err := k.Half()
		require.NoError(t, err)
		// Places of the guess, each shifted along the body by less than half of what parts it from the next.
		n := rapid.IntRange(1, 4).Draw(t, "pins")
		for i := range n {
			at := plain[rapid.IntRange(20+50*i, 50+50*i).Draw(t, "place")]
			at.X += rapid.Float64Range(-8, 8).Draw(t, "shift")
			k.Pins = append(k.Pins, at)
		}
		half, err := k.Half()
		if err != nil { // crossed
			var w *rim.OutlineError
			require.ErrorAs(t, err, &w)
			require.Less(t, w.Point, n)
			return
		}
		widest, length := 0.0, 0.0
		for i, p := range half {
			widest, length = max(widest, p.Y), max(length, p.X)
			require.True(t, i == 0 || p.X > half[i-1].X, "it never turns back")
		}
		require.InDelta(t, k.Lower/2, widest, 1e-9)
		require.Equal(t, k.Length, length)
		outline(t, rim.Mirrored(half), rim.Smooth)
		for _, p := range k.Pins {
			near := math.Inf(1)
			for _, q := range half {
				near = min(near, r2.Norm(r2.Sub(q, p)))
			}
			require.Less(t, near, 0.05, "it goes through its points, and one of them is the pin, or as near as can be drawn")
		}
	})
	k := guitar
	k.Pins = []r2.Vec{{X: 0.27 * k.Length, Y: k.Lower / 2}, {X: 0.62 * k.Length, Y: k.Waist / 2}}
	half, err := k.Half()
	require.NoError(t, err)
	plain, err := guitar.Half()
	require.NoError(t, err)
	require.Len(t, half, len(plain))
	for i := range half {
		require.InDelta(t, 0, r2.Norm(r2.Sub(half[i], plain[i])), 1e-9)
	}
	lower, waist, upper, err := k.Places()
	require.NoError(t, err)
	require.InDeltaSlice(t, []float64{0.27 * 490, 0.62 * 490, 0.8 * 490}, []float64{lower, waist, upper}, 1e-9)
}

// What pins refuse, with the number of the pin: beyond the body, wider than it, crossing.
func TestPinsRefused(t *testing.T) {
	for _, tt := range []struct {
		pins  []r2.Vec
		point int
		says  string
	}{
		{[]r2.Vec{{X: 100, Y: 180}, {X: 490, Y: 20}}, 1, "beyond the tail or the head"},
		{[]r2.Vec{{X: -5, Y: 20}}, 0, "beyond the tail or the head"},
		{[]r2.Vec{{X: 132, Y: 191}}, 0, "wider than both bouts"},
		{[]r2.Vec{{X: 300, Y: -120}}, 0, "of no width"},
		{[]r2.Vec{{X: 300, Y: 138}, {X: 290, Y: 121}}, 1, "cross"},
		{[]r2.Vec{{X: 320, Y: 120}, {X: 310, Y: 140}}, 1, "do not follow each other"},
		{[]r2.Vec{{X: -8, Y: 190}}, 0, "beyond the tail or the head"},
		{[]r2.Vec{{X: 132, Y: 190}, {X: 132, Y: 189}}, 1, "cross"},
	} {
		k := guitar
		k.Pins = tt.pins
		_, err := k.Half()
		var w *rim.OutlineError
		require.ErrorAs(t, err, &w, "%v", tt.pins)
		require.Contains(t, w.Message, tt.says)
		require.Equal(t, tt.point, w.Point, "%v", tt.pins)
		require.NotEmpty(t, w.Hint)
	}
}
