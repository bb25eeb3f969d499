package sketch_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/cmd/internal/sketch"
)

// one reads a path of one line and divides it finely.
func one(t require.TestingT, d string) []r2.Vec {
	s, err := sketch.Path(d)
	require.NoError(t, err, d)
	require.Len(t, s, 1, d)
	points, err := s[0].Points(1e-6, 1e6)
	require.NoError(t, err)
	return points
}

func length(points []r2.Vec, closed bool) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += r2.Norm(r2.Sub(points[i], points[i-1]))
	}
	if closed {
		sum += r2.Norm(r2.Sub(points[0], points[len(points)-1]))
	}
	return sum
}

// Spellings of the same triangle by the grammar of SVG 2, chapter Paths: implied
// lines after a move, missing separators, relative letters, H and V.
func TestSpellings(t *testing.T) {
	want := []r2.Vec{{X: 100, Y: 100}, {X: 300, Y: 100}, {X: 200, Y: 300}}
	for _, d := range []string{
		"M 100 100 L 300 100 L 200 300 z",
		"M100,100L300,100L200,300Z",
		"M100 100 300 100 200 300z",
		"m100 100 200 0-100 200z",
		"M100 100h200L200 300z",
		"M1e2+100H300l-100,2E2z",
		"M100-0V100H300L200 300Z M 0 0",
		"\tM 100\n100 l200.0.0-100 200 z",
	} {
		s, err := sketch.Path(d)
		require.NoError(t, err, d)
		points, err := s[0].Points(0.01, 1e6)
		require.NoError(t, err)
		if strings.HasPrefix(d, "M100-0") {
			require.Equal(t, r2.Vec{X: 100, Y: 0}, points[0])
			points = points[1:]
		}
		require.Equal(t, want, points, d)
		require.True(t, s[0].Closed)
	}
	require.Equal(t, []r2.Vec{{}, {X: 1.5, Y: 0.5}, {X: 1, Y: -2}}, one(t, "M0 0L1.5.5 1-2"))
	s, err := sketch.Path("M0 0L10 0ZL0 5M20 20L30 30")
	require.NoError(t, err)
	require.Len(t, s, 3, "after a Z a line begins where it ended")
}

// Closed forms: circles of arcs with either flag, an ellipse turned by an angle
// (perimeter 4a E(m), gonum mathext), a quarter of a circle by its cubic (the usual
// 0.5523 handle: radius true to 3e-4), a parabola.
func TestLengths(t *testing.T) {
	for d, want := range map[string]float64{
		"M0 0a50 50 0 1 0 100 0a50 50 0 1 0-100 0Z":                        100 * math.Pi,
		"M0 0a50 50 0 01100 0a50 50 0 01-100 0z":                           100 * math.Pi,
		"M0 0A50 50 0 0 1 50 50":                                           25 * math.Pi,
		"M0 0A50 50 0 1 0 50 50":                                           75 * math.Pi,
		"M0 0A1 1 0 0 1 100 0":                                             50 * math.Pi, // enlarged until it reaches
		"M0 0A-50-50 0 0 1 100 0":                                          50 * math.Pi,
		"M0 0A0 50 0 0 1 30 40":                                            50,
		"M100 0A100 60 0 1 1-100 0A100 60 0 1 1 100 0":                     400 * mathext.CompleteE(1-0.36),
		"M60 80A100 60 53.13010235 1 1-60-80A100 60 53.13010235 1 1 60 80": 400 * mathext.CompleteE(1-0.36),
		"M0 0L30 40": 50,
	} {
		require.InDelta(t, want, length(one(t, d), strings.ContainsAny(d[len(d)-1:], "zZ")), 1e-3, d)
	}
	for _, p := range one(t, "M100 0C100 55.228475 55.228475 100 0 100") {
		require.InDelta(t, 100, r2.Norm(p), 0.03)
	}
	for _, p := range one(t, "M-10 10Q0-10 10 10") { // y = x²/10
		require.InDelta(t, p.X*p.X/10, p.Y, 1e-9)
	}
	// S and T take over the handle before; after another command there is none.
	require.InDelta(t, length(one(t, "M0 0C0 20 40 20 40 0C40-20 80-20 80 0"), false), length(one(t, "M0 0C0 20 40 20 40 0S80-20 80 0"), false), 1e-9)
	require.InDelta(t, length(one(t, "M0 0Q20 40 40 0Q60-40 80 0"), false), length(one(t, "M0 0Q20 40 40 0T80 0"), false), 1e-9)
	require.InDelta(t, 80, length(one(t, "M0 0T80 0"), false), 1e-9)
}

// Divided within the tolerance: every place of the fine line lies that near to
// the coarse one.
func TestTolerance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string) int { return rapid.IntRange(-200, 200).Draw(t, name) }
		d := fmt.Sprintf("M0 0C%d %d %d %d %d %dA%d %d %d %d %d %d %dQ%d %d %d %d", n("a"), n("b"), n("c"), n("d"), n("e"), n("f"),
			rapid.IntRange(1, 200).Draw(t, "rx"), rapid.IntRange(1, 200).Draw(t, "ry"), n("turn"), rapid.IntRange(0, 1).Draw(t, "large"), rapid.IntRange(0, 1).Draw(t, "sweep"), n("g"), n("h"), n("i"), n("j"), n("k"), n("l"))
		s, err := sketch.Path(d)
		require.NoError(t, err)
		const tolerance = 0.05
		coarse, err := s[0].Points(tolerance, 1e9)
		require.NoError(t, err)
		fine, err := s[0].Points(tolerance/30, 20)
		require.NoError(t, err)
		require.Equal(t, coarse[len(coarse)-1], fine[len(fine)-1])
		for i := 0; i < len(fine); i += 1 + len(fine)/50 {
			near := math.Inf(1)
			for k := 1; k < len(coarse); k++ {
				near = math.Min(near, apart(fine[i], coarse[k-1], coarse[k]))
			}
			require.LessOrEqual(t, near, tolerance*1.0001, d)
			if i > 0 {
				require.LessOrEqual(t, r2.Norm(r2.Sub(fine[i], fine[i-1])), 20+1e-9)
			}
		}
	})
}

// apart returns the distance of p from the line between a and b.
func apart(p, a, b r2.Vec) float64 {
	d := r2.Sub(b, a)
	t := 0.0
	if q := r2.Dot(d, d); q > 0 {
		t = math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), d)/q))
	}
	return r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(t, d))))
}

func TestWrongPaths(t *testing.T) {
	for _, tt := range []struct {
		d       string
		offset  int
		message string
	}{
		{"", 0, "draws nothing"},
		{"M 1 2", 0, "draws nothing"},
		{"L 1 2", 0, "begin with M"},
		{"M 0 0 K 1 2", 6, "no command"},
		{"M 0 0 L 1", 9, "a number is missing"},
		{"M 0 0 L 1 x", 10, "a number is missing"},
		{"M 0 0 A 1 1 0 2 0 5 5", 14, "neither 0 nor 1"},
		{"M 0 0 L 1e400 0", 8, "too large"},
		{"M 0 0 L NaN 0", 8, "a number is missing"},
		{"M 0 0,, 1 1", 6, "no command"},
	} {
		_, err := sketch.Path(tt.d)
		var p *sketch.PathError
		require.ErrorAs(t, err, &p, tt.d)
		require.Contains(t, p.Message, tt.message, tt.d)
		require.Equal(t, tt.offset, p.Offset, tt.d)
		require.NotEmpty(t, p.Hint)
	}
	_, err := sketch.Path("M0 0" + strings.Repeat("L1 1 0 0", sketch.MostRows))
	require.ErrorContains(t, err, "too long")
	s, err := sketch.Path("M0 0L1000 0")
	require.NoError(t, err)
	_, err = s[0].Points(0.001, 0.001)
	require.ErrorContains(t, err, "more than")
}

func FuzzPath(f *testing.F) {
	f.Add("M0 0C0-95 45-175 125-175A50 50 0 01100 0z")
	f.Add("m1e2.5t3-4q1,1 2 2s1 2 3 4")
	f.Fuzz(func(t *testing.T, d string) {
		s, err := sketch.Path(d)
		if err != nil {
			var wrong *sketch.PathError
			require.ErrorAs(t, err, &wrong)
			require.NotEmpty(t, wrong.Hint, wrong.Message)
			return
		}
		for _, one := range s {
			points, err := one.Points(0.1, 5)
			if err != nil {
				continue
			}
			for i, p := range points {
				require.False(t, math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0))
				require.False(t, i > 0 && p == points[i-1])
			}
		}
	})
}
