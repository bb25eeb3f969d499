package cam

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/cam/path"
	"dishwright/dish"
)

// How near a move comes to a fence is that of the nearest of many places on both.
func TestAwayFromFence(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := func(name string) float64 { return rapid.Float64Range(-200, 200).Draw(t, name) }
		o := path.Obstacle{X: v("x"), Y: v("y"), DX: v("dx"), DY: v("dy"), Radius: 5}
		m := path.Move{Kind: path.Line, From: r3.Vec{X: v("ax"), Y: v("ay")}, To: r3.Vec{X: v("bx"), Y: v("by")}}
		if rapid.Bool().Draw(t, "arc") {
			r, from, turn := rapid.Float64Range(5, 150).Draw(t, "r"), rapid.Float64Range(0, 6).Draw(t, "from"), rapid.Float64Range(0.1, 3).Draw(t, "turn")
			m.Kind, m.Plane, m.Centre = path.Arc, path.XY, r3.Vec{X: v("cx"), Y: v("cy")}
			at := func(a float64) r3.Vec { return r3.Vec{X: m.Centre.X + r*math.Cos(a), Y: m.Centre.Y + r*math.Sin(a)} }
			m.From, m.To = at(from), at(from+turn)
		}
		best := math.Inf(1)
		const n = 300
		for i := range n + 1 {
			p := m.At(float64(i) / n)
			best = math.Min(best, o.Clear(p.X, p.Y)+o.Radius)
		}
		got := awayFrom(m, o)
		require.LessOrEqual(t, got, best+1e-9)
		require.GreaterOrEqual(t, got, best-m.Length()/n-0.05)
	})
}

// Which problems more travel would solve is told by what the plan says of them.
func TestForTravel(t *testing.T) {
	for _, tt := range []struct {
		key, message string
		want         bool
	}{
		{"machine", "the passes of a flat run over 700 mm by 300 mm; a bench travels 600 mm by 400 mm", true},
		{"machine", "a bench turns too slowly for a flat", false},
		{"rough", "the passes of a flat run over 700 mm; a bench travels 600 mm by 400 mm", false},
		{"blank/length", "a blank of 700 mm along X is beyond the travel of a bench (600 mm)", true},
		{"blank/width", "a blank of 1 mm holds no face", false},
		{"zero", "X0 is beyond the travel of a bench", false},
	} {
		require.Equal(t, tt.want, ForTravel(Problem{Key: tt.key, Message: tt.message}), "%+v", tt)
	}
	w := Usual(dish.Hollow, 7620, 200)
	w.Machine.Travel = r3.Vec{X: 150, Y: 150, Z: 10}
	ps := Feasible(w, w.Rough, w.Finish)
	travel := 0
	for _, p := range ps {
		if ForTravel(p) {
			travel++
		}
	}
	require.GreaterOrEqual(t, travel, 2, "%v", ps)
	for _, p := range ps {
		require.Equal(t, strings.Contains(p.Message, "travel of") && p.Key != "blank/thickness" || strings.Contains(p.Message, "run over"), ForTravel(p), "%v", p)
	}
}

// An obstacle stands on a mould where it comes over the band: inside it is free.
func TestObstaclesOfAMould(t *testing.T) {
	var line []r2.Vec
	for k := range 720 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 360)
		line = append(line, r2.Vec{X: 40 * cos, Y: 40 * sin})
	}
	band, err := dish.NewBand(line, 8)
	require.NoError(t, err)
	w := Usual(dish.Crown, 7620, band.Extent())
	w.Band = band
	for _, tt := range []struct {
		o    path.Obstacle
		away string // "" where it stands well
	}{
		{path.Obstacle{Radius: 39.9}, ""},
		{path.Obstacle{Radius: 40.9}, "1 mm"},
		{path.Obstacle{X: 60, Radius: 11.9}, ""},
		{path.Obstacle{X: 60, Radius: 14.5}, "3 mm"},
		{path.Obstacle{Y: -44, Radius: 1}, "5 mm"},
		{path.Obstacle{X: -30, DX: 25, Radius: 9}, ""},
		{path.Obstacle{X: -60, DX: 60, Radius: 5}, "9 mm"},
		{path.Obstacle{X: -60, DY: 70, Radius: 5}, ""},
	} {
		w.Obstacles = []path.Obstacle{tt.o}
		ps := obstacleProblems(w)
		if tt.away == "" {
			require.Empty(t, ps, "%+v", tt)
			continue
		}
		require.Len(t, ps, 1, "%+v", tt)
		require.Equal(t, "obstacles/0", ps[0].Key)
		require.Contains(t, ps[0].Hint, tt.away)
	}
}
