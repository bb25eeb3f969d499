package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// besideBlanks are blanks of half an inch or so, each with what may be cut of it.
func besideBlanks() []*beside {
	inf := math.Inf(-1)
	band, err := dish.NewBand([]r2.Vec{{X: -5, Y: -5}, {X: 6, Y: -4}, {X: 1, Y: 0}, {X: 5, Y: 6}, {X: -6, Y: 5}}, 2)
	if err != nil {
		panic(err)
	}
	return []*beside{
		{cleared: []dish.Region{dish.Disc{Radius: 9}}, blank: dish.Blank{Shape: dish.Square, Length: 24, Width: 24}, floor: inf},
		{cleared: []dish.Region{dish.Disc{Radius: 11}}, blank: dish.Blank{Shape: dish.Octagon, Length: 22, Width: 22}, floor: inf}, // corners alone stay
		{cleared: []dish.Region{dish.Grown{Region: dish.Strip{Length: 16, Width: 8}, By: 2}}, blank: dish.Blank{Shape: dish.Rectangle, Length: 26, Width: 10}, floor: inf},
		{cleared: []dish.Region{dish.Between{Band: band, In: -1, Out: 3}, dish.Disc{Radius: 2}}, blank: dish.Blank{Shape: dish.Round, Length: 26, Width: 26}, floor: inf},
	}
}

// By how much a move has to be raised to leave alone what stays is never understated, and
// hardly overstated: the wood is taken for places half a millimetre apart, of which one lies
// within 0.36 mm of any other.
func TestWoodBesideAgainstBruteForce(t *testing.T) {
	const step, near = 0.5, 0.36
	blanks := besideBlanks()
	var wood [4][2][]r2.Vec // of each: what surely stays, and what may
	for i, b := range blanks {
		for x := -15.0; x <= 15; x += step {
			for y := -15.0; y <= 15; y += step {
				for k, more := range [...]float64{0, near} {
					if b.off(x, y) > -more && b.blank.Inside(x, y) >= -more {
						wood[i][k] = append(wood[i][k], r2.Vec{X: x, Y: y})
					}
				}
			}
		}
	}
	const jobs, places = 160, 40
	d := rand.New(rand.NewPCG(24, 8))
	between := func(a, b float64) float64 { return a + (b-a)*d.Float64() }
	touched, clear := 0, 0
	for n := range jobs {
		b := blanks[n%4]
		c := path.Cutter{Shape: path.Shape(n / 4 % 3), Diameter: between(0.5, 9)}
		c.Corner = c.Diameter * between(0.05, 0.45)
		place := func() r3.Vec { return r3.Vec{X: between(-15, 15), Y: between(-15, 15), Z: between(-4, 0.5)} }
		m := path.Move{Kind: path.Line, From: place(), To: place()}
		switch n % 5 {
		case 0: // short, where the edges of what stays decide
			m.To = r3.Add(m.From, r3.Vec{X: between(-2, 2), Y: between(-2, 2), Z: between(-0.3, 0.3)})
		case 1:
			m.Kind, m.Plane, m.Clockwise = path.Arc, path.Plane(n/5%3), d.IntN(2) == 0
			m.Centre = r3.Scale(0.5, r3.Add(m.From, m.To))
		}
		depth, _, below := b.moveDepth(c, m)
		raise := func(wood []r2.Vec, near float64) (most float64) {
			for k := range places + 1 {
				v := m.At(float64(k) / places)
				for _, q := range wood {
					if u := math.Hypot(q.X-v.X, q.Y-v.Y) - near; -v.Z > most && u < c.Radius() {
						most = math.Max(most, -v.Z-c.Body().Profile(math.Max(0, u)))
					}
				}
			}
			return most
		}
		half := m.Length() / places / 2
		least, most := raise(wood[n%4][0], 0), raise(wood[n%4][1], near+half)
		require.GreaterOrEqual(t, math.Max(0, depth), least-GougeTolerance, "%d: %+v", n, m)
		require.LessOrEqual(t, depth, most+0.01+half, "%d: %+v", n, m)
		if least > 0.01 {
			touched++
			require.Contains(t, below, "beside the face")
		} else if most == 0 {
			clear++
		}
	}
	require.Greater(t, touched, 40)
	require.Greater(t, clear, 20)
}

// Over the edge of a blank, where nothing stays, a cutter may run as far as it likes.
func TestNothingBesideTheBlank(t *testing.T) {
	b := besideBlanks()[2]
	flat := flatCutter(6)
	run := func(x, y, x1, y1 float64) float64 {
		d, _, _ := b.moveDepth(flat, path.Move{Kind: path.Line, From: r3.Vec{X: x, Y: y, Z: -1}, To: r3.Vec{X: x1, Y: y1, Z: -1}})
		return d
	}
	require.Equal(t, math.Inf(-1), run(-6, -30, 6, 30), "across, over sides without land")
	require.Equal(t, math.Inf(-1), run(-18, -9, 18, -9), "along, beside the blank")
	require.InDelta(t, 1, run(-18, 0, 18, 0), 1e-9, "over the land at its ends")
	require.InDelta(t, 1, run(0, 0, 7.1, 0), 1e-9)
	require.Equal(t, math.Inf(-1), run(0, 0, 7, 0))
	// from one part of a band over a bay of its line to another
	d, at, _ := besideBlanks()[3].moveDepth(flatCutter(0.5), path.Move{Kind: path.Line, From: r3.Vec{X: 6.2, Y: -4.2, Z: -1}, To: r3.Vec{X: 5.3, Y: 6.2, Z: -1}})
	require.InDelta(t, 1, d, 1e-9)
	require.InDelta(t, 0, at.Y, 3)
}
