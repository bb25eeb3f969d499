package proof

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/extra"
)

// through joins places by straight moves at a depth.
func through(z float64, places ...r2.Vec) (moves []path.Move) {
	for i, p := range places {
		m := path.Move{Kind: path.Line, From: r3.Vec{X: p.X, Y: p.Y, Z: z}, To: r3.Vec{X: p.X, Y: p.Y, Z: z}}
		if i > 0 {
			m.From = moves[i-1].To
		}
		moves = append(moves, m)
	}
	return moves
}

// clearOf returns how far a place lies outside what flat cutters of radius r clear.
func clearOf(moves []path.Move, r float64, p r2.Vec) float64 {
	least := math.Inf(1)
	for _, m := range moves {
		d, _ := segmentDistance(m.From.X, m.From.Y, m.To.X, m.To.Y, p.X, p.Y)
		least = min(least, d-r)
	}
	return least
}

// left returns by looking closely how far off an edge is: the farthest that anything
// stands out along a normal, or is missing inside.
func left(line *dish.Band, moves []path.Move, r float64) (off float64) {
	points, normals := line.Line()
	for i, a := range points {
		d := r2.Sub(points[(i+1)%len(points)], a)
		n := int(r2.Norm(d) / 0.0125)
		for k := range n {
			p := r2.Add(a, r2.Scale(float64(k)/float64(n), d))
			inside := clearOf(moves, r, p)
			off = max(off, -inside)
			for h := 0.0; clearOf(moves, r, r2.Add(p, r2.Scale(h, normals[i]))) > 0; h += 1e-3 {
				off = max(off, h)
			}
		}
	}
	return off
}

// What is certified of a template's edge is never less than what close looks find: with
// bumps and dents anywhere, corners cut short or gone round, and an edge made of touches.
func TestEdgesAreBounded(t *testing.T) {
	points := []r2.Vec{{}, {X: 12}, {X: 12, Y: 7}, {X: 5, Y: 9}, {Y: 7}}
	band, err := dish.NewBand(points, 7)
	require.NoError(t, err)
	accepted := 0
	rapid.Check(t, chance.Few(6, func(t *rapid.T) {
		r := rapid.Float64Range(1, 3).Draw(t, "radius")
		touches := rapid.Bool().Draw(t, "touches")
		pitch := 1 / float64(rapid.IntRange(1, 5).Draw(t, "a mm"))
		bad := rapid.IntRange(0, 40).Draw(t, "where")
		by := rapid.Float64Range(-0.04, 0.12).Draw(t, "by")
		var places []r2.Vec
		var moves []path.Move
		line, normals := band.Line()
		for i, a := range line {
			d := r2.Sub(line[(i+1)%len(line)], a)
			n := math.Ceil(r2.Norm(d) / pitch)
			for k := range int(n) + 1 {
				out := r
				if len(places) == bad {
					out += by
				}
				p := r2.Add(r2.Add(a, r2.Scale(float64(k)/n, d)), r2.Scale(out, normals[i]))
				if touches { // in from outside, and out again
					away := r2.Add(p, r2.Scale(1.5, normals[i]))
					moves = append(moves, through(-4, away, p, away)...)
				}
				places = append(places, p)
			}
		}
		if places = append(places, places[0]); !touches {
			moves = through(-4, places...)
		} else { // a way round behind the touches parts what is left
			for _, m := range through(-4, places...) {
				m.From, m.To = outward(m.From, 1.5), outward(m.To, 1.5)
				moves = append(moves, m)
			}
		}
		o := extra.CutOut{Name: "the template", Slot: band, Bottom: -4, CutterRadius: r}
		c := Case{Extras: extra.Set{CutOuts: []extra.CutOut{o}}, TemplatesOnly: true}
		p := Program{Cutter: flatCutter(2 * r), Path: path.Path{Moves: moves}}
		found, edge := c.unfinishedExtras([]Program{p}, []*programExtras{{limits: c, program: p}})
		off := left(band, moves, r)
		if len(found) > 0 {
			require.Greater(t, off, edgeTolerance-0.002)
			require.Equal(t, band.Width, edge)
			return
		}
		accepted++
		require.GreaterOrEqual(t, edge, off-1.1e-3, "the steps of the looks along a normal")
	}))
	require.NotZero(t, accepted)
}

// outward moves a place away from the middle of the template.
func outward(v r3.Vec, by float64) r3.Vec {
	d := r2.Unit(r2.Vec{X: v.X - 6, Y: v.Y - 4})
	return r3.Add(v, r3.Vec{X: by * d.X, Y: by * d.Y})
}

// Gaps as small as may be are found wherever they lie: in a wall, in a floor, in
// a line, and under an arc that stands higher than its ends.
func TestSmallGapsAreFound(t *testing.T) {
	undone := func(c Case, cutter path.Cutter, moves []path.Move) []Finding {
		p := Program{Name: "p", Cutter: cutter, Path: path.Path{Moves: moves}}
		found, _ := c.unfinishedExtras([]Program{p}, []*programExtras{{limits: c, program: p}})
		return found
	}
	round := func(radius float64, n int) (places []r2.Vec) {
		for k := range n + 1 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			places = append(places, r2.Vec{X: radius * cos, Y: radius * sin})
		}
		return places
	}
	wide := Case{Extras: extra.Set{Holes: []extra.Hole{{Name: "hole", Radius: 30, Bottom: -5}}}}
	var floor []path.Move
	for radius := 2.5; radius < 27; radius += 4 {
		floor = append(floor, through(-5, round(radius, 200)...)...)
	}
	wall := func(n int) []path.Move { return append(floor[:len(floor):len(floor)], through(-5, round(27, n)...)...) }
	require.Empty(t, undone(wide, flatCutter(6), wall(200)))
	require.Len(t, undone(wide, flatCutter(6), wall(48)), 1, "27 (1 − cos 3.75°) = 0.058 mm stand between the corners")

	small := Case{Extras: extra.Set{Holes: []extra.Hole{{Name: "hole", Radius: 1.6, Bottom: -5}}}}
	require.Empty(t, undone(small, flatCutter(2), through(-5, round(0.6, 60)...)))
	require.Len(t, undone(small, flatCutter(2), through(-5, round(0.6, 8)...)[:7]), 1)

	side := []r2.Vec{{X: -2.1, Y: -0.9}, {X: 2.1, Y: -0.9}, {X: 2.1, Y: 0.9}, {X: 0.8, Y: 0.9}, {Y: 1.6}, {X: -0.8, Y: 0.9}, {X: -2.1, Y: 0.9}, {X: -2.1, Y: -0.9}}
	gap := Case{Extras: extra.Set{Holes: []extra.Hole{{Name: "hole", X: 0.25, Y: -0.05, Radius: 1.5, Bottom: -5}}}}
	require.Len(t, undone(gap, flatCutter(2), through(-5, side...)), 1, "0.2 mm of the floor")
	require.Empty(t, undone(gap, flatCutter(2), through(-5, append(side, r2.Vec{X: 2.1}, r2.Vec{X: -2.1})...)))

	line := Case{Extras: extra.Set{Grooves: []extra.Groove{{Name: "line", Path: []r3.Vec{{Z: -0.3}, {X: 20, Z: -0.3}}, Depth: 0.3, Width: 1}}}}
	whole := through(-0.3, r2.Vec{}, r2.Vec{X: 7}, r2.Vec{X: 20})
	require.Empty(t, undone(line, ballCutter(2), whole))
	parts := append(through(-0.3, r2.Vec{}, r2.Vec{X: 6.3}), through(-0.3, r2.Vec{X: 7.7}, r2.Vec{X: 20})...)
	require.Len(t, undone(line, ballCutter(2), parts), 1)
	high := path.Move{Kind: path.Arc, Plane: path.ZX, From: r3.Vec{X: -1.6, Z: -5}, To: r3.Vec{X: 1.6, Z: -5}, Centre: r3.Vec{Z: -5}}
	if m := high.At(0.5); m.Z < -5 {
		high.Clockwise = !high.Clockwise
	}
	tiny := Case{Extras: extra.Set{Holes: []extra.Hole{{Name: "hole", Radius: 1, Bottom: -5}}}}
	require.Len(t, undone(tiny, flatCutter(2), []path.Move{high}), 1)
	require.Empty(t, undone(tiny, flatCutter(2), through(-5, r2.Vec{})))
}
