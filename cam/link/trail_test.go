package link

import (
	"math"
	"testing"

	"dishwright/cam/work"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// anyWay draws vertices of a way, from nearly straight ones to hairpins.
func anyWay(t *rapid.T) []Bend {
	var list []Bend
	at, turns := r2.Vec{}, 0.0
	for range rapid.IntRange(2, 12).Draw(t, "vertices") {
		b := Bend{At: at, Reach: math.Inf(1), Miss: math.Inf(1)}
		if rapid.Bool().Draw(t, "reach bound") {
			b.Reach = rapid.Float64Range(0.1, 10).Draw(t, "reach")
		}
		if rapid.Bool().Draw(t, "miss bound") {
			b.Miss = rapid.Float64Range(0.001, 1).Draw(t, "miss")
		}
		list = append(list, b)
		turns += rapid.Float64Range(-0.45, 0.45).Draw(t, "turn")
		x, y := work.Unit(turns)
		at = r2.Add(at, r2.Scale(rapid.Float64Range(0.5, 60).Draw(t, "leg"), r2.Vec{X: x, Y: y}))
	}
	return list
}

// offLine returns how far p lies beside the segment from a to b.
func offLine(p, a, b r2.Vec) float64 {
	d := r2.Sub(b, a)
	k := math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), d)/r2.Dot(d, d)))
	return r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(k, d))))
}

// Every arc touches both legs, is a circle's, and misses its vertex by no more
// than allowed; the pieces run on from one to the next from end to end.
func TestRounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		way := anyWay(t)
		pieces := Rounded(way)
		require.NotEmpty(t, pieces)
		require.Equal(t, way[0].At, pieces[0].From)
		require.InDelta(t, 0, r2.Norm(r2.Sub(way[len(way)-1].At, pieces[len(pieces)-1].To)), shortestLine)
		for i, p := range pieces {
			if i > 0 {
				require.Equal(t, pieces[i-1].To, p.From)
			}
			if p.cos == 1 {
				continue
			}
			k := 1
			for way[k].At != p.corner {
				k++
			}
			// The line before is left out where it is under shortestLine.
			require.Less(t, offLine(p.From, way[k-1].At, p.corner), shortestLine)
			require.Less(t, offLine(p.To, p.corner, way[k+1].At), 1e-9)
			take := r2.Norm(r2.Sub(p.To, p.corner))
			require.LessOrEqual(t, take, way[k].Reach+1e-9)
			require.LessOrEqual(t, take, r2.Norm(r2.Sub(way[k+1].At, p.corner))/2+1e-9)
			require.LessOrEqual(t, r2.Norm(r2.Sub(p.at(0.5), p.corner)), way[k].Miss+shortestLine)
			if take < 1e-3 || math.Abs(r2.Norm(r2.Sub(p.From, p.corner))-take) > 1e-9 {
				continue // too small to tell, or begun a little off
			}
			// Its centre lies square to both legs: all of the arc at one distance.
			in, out := r2.Scale(1/take, r2.Sub(p.From, p.corner)), r2.Scale(1/take, r2.Sub(p.To, p.corner))
			mid := r2.Add(in, out)
			centre := r2.Add(p.corner, r2.Scale(take*2/r2.Dot(mid, mid), mid))
			radius := r2.Norm(r2.Sub(p.From, centre))
			require.InDelta(t, 0, r2.Dot(r2.Sub(p.From, centre), in), 1e-6*(1+radius))
			for _, s := range []float64{0.1, 0.3, 0.5, 0.9, 1} {
				require.InDelta(t, radius, r2.Norm(r2.Sub(p.at(s), centre)), 1e-6*(1+radius))
			}
		}
	})
}

// Chords keep within wide of the way in plan and within tol in height, looked at
// far more closely than the search does.
func TestChain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces := Rounded(anyWay(t))
		radius := rapid.Float64Range(500, 9000).Draw(t, "radius")
		wide, tol := rapid.Float64Range(0.005, 0.1).Draw(t, "wide"), rapid.Float64Range(0.0005, 0.01).Draw(t, "tol")
		height := func(x, y float64) float64 { return (x*x + y*y) / (2 * radius) }
		var places []r2.Vec
		for i, s := range chain(pieces, height, wide, tol) {
			require.Equal(t, trail(pieces).at(s.on), s.at)
			if i > 0 {
				require.NotEqual(t, places[i-1], s.at)
			}
			places = append(places, s.at)
		}
		require.Equal(t, pieces[0].From, places[0])
		require.InDelta(t, 0, r2.Norm(r2.Sub(pieces[len(pieces)-1].To, places[len(places)-1])), 1e-9)
		worst := 0.0
		for i := 1; i < len(places); i++ {
			a, b := places[i-1], places[i]
			for k := 0.05; k < 1; k += 0.05 {
				p := r2.Add(a, r2.Scale(k, r2.Sub(b, a)))
				z := height(a.X, a.Y) + k*(height(b.X, b.Y)-height(a.X, a.Y))
				worst = math.Max(worst, math.Abs(height(p.X, p.Y)-z)/tol)
			}
		}
		require.LessOrEqual(t, worst, 1.1)
		far := 0.0
		for _, p := range pieces {
			for k := 0.0; k <= 1; k += 0.05 {
				near, q := math.Inf(1), p.at(k)
				for i := 1; i < len(places); i++ {
					if places[i] != places[i-1] {
						near = math.Min(near, offLine(q, places[i-1], places[i]))
					}
				}
				far = math.Max(far, near)
			}
		}
		require.LessOrEqual(t, far, 1.2*wide)
	})
}
