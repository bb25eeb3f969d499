package dish_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish"
)

// A sheet that covers a cap has too much edge: a circle of radius s on the flat is
// 2π s long, on the sphere 2π R sin(s/R), and with sin x = x − x³/6 + … their difference
// is about π s³/3R² (own derivation). The next term is π s⁵/60R⁴, here 4e-5 mm.
func TestExcess(t *testing.T) {
	require.InDelta(t, math.Pi*300*300*300/(3*7620*7620), dish.EdgeExcess(7620, 300), 4e-5)
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(500, 20000).Draw(t, "R")
		s := R * rapid.Float64Range(0.05, 1.4).Draw(t, "angle")
		require.InEpsilon(t, 2*math.Pi*(s-R*math.Sin(s/R)), dish.EdgeExcess(R, s), 1e-8)
	})
}

// laid returns where a flat place of a wedge comes to lie on the sphere: as far from
// the apex, its arc as long as on the flat.
func laid(R float64, v r2.Vec, turn float64) (x, y, z float64) {
	t, a := math.Hypot(v.X, v.Y), math.Atan2(v.Y, v.X)
	az := turn + a*t/(R*math.Sin(t/R))
	return R * math.Sin(t/R) * math.Cos(az), R * math.Sin(t/R) * math.Sin(az), R * (1 - math.Cos(t/R))
}

// Wedges laid on the sphere never overlap: each stays the half gap within its own
// sector, and together they miss nothing but the gaps.
func TestWedges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(800, 10000).Draw(t, "R")
		s := rapid.Float64Range(60, 350).Draw(t, "s")
		n := rapid.IntRange(3, 24).Draw(t, "n")
		gap := rapid.Float64Range(0, 1).Draw(t, "gap")
		lean := rapid.SampledFrom([]float64{0, 0, 0.3, -0.7}).Draw(t, "lean")
		list, err := dish.CoveringWedges(R, s, n, gap, lean)
		require.NoError(t, err)
		require.Len(t, list, n)
		far := 0.0
		for _, v := range list[0].Outline {
			x, y, _ := laid(R, v, 0)
			middle := math.Tan(lean) * (math.Hypot(v.X, v.Y)/s - 0.5) // of its sector, whose edges lean with it
			beside := math.Hypot(x, y)*math.Pi/float64(n) - math.Hypot(x, y)*math.Abs(math.Atan2(y, x)-middle)
			require.GreaterOrEqual(t, beside, gap/2-1e-9, "along the circle, from its sector's edge")
			far = math.Max(far, math.Hypot(v.X, v.Y))
		}
		require.InDelta(t, s, far, 1e-9)
		_, err = dish.CoveringWedges(R, s, 1, gap, 0)
		require.Error(t, err)
	})
}

// Strips laid on the sphere never overlap: every place of a strip lies within
// the great circles between it and its neighbours.
func TestStrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(800, 10000).Draw(t, "R")
		s := rapid.Float64Range(60, 350).Draw(t, "s")
		width := rapid.Float64Range(20, 150).Draw(t, "width")
		gap := rapid.Float64Range(0, 1).Draw(t, "gap")
		list, err := dish.CoveringStrips(R, s, width, gap, 0)
		require.NoError(t, err)
		n := int(math.Ceil(2*s/width - 1e-9))
		require.LessOrEqual(t, len(list), n)
		for _, p := range list {
			k := 0
			_, _ = fmt.Sscan(p.Name, &k)
			alpha := (float64(k-1) - float64(n-1)/2) * width / R
			for _, v := range p.Outline {
				// The place on the sphere about its middle, turned to the strip's own line.
				x, y, z := math.Sin(v.X/R)*math.Cos(v.Y/R), math.Sin(v.Y/R), math.Cos(v.X/R)*math.Cos(v.Y/R)
				across := math.Atan2(y, z) // angle of its great circle through the poles of X
				require.LessOrEqual(t, math.Abs(across), width/2/R+1e-12)
				side := R*math.Asin(math.Sin(width/2/R)*math.Sqrt(1-x*x)) - math.Abs(math.Asin(y))*R
				require.GreaterOrEqual(t, side, -1e-6)
				down := z*math.Cos(alpha) - y*math.Sin(alpha)
				require.LessOrEqual(t, R*math.Acos(math.Min(1, down)), s+1e-6, "on the dish")
			}
		}
	})
}

// Seams that lean lie at that angle to the radius where they meet the rim: tan of it is how far a
// place goes round for how far it goes out.
func TestLeaningSeams(t *testing.T) {
	const R, s, lean = 4572.0, 300.0, 0.35
	list, err := dish.CoveringWedges(R, s, 8, 0, lean)
	require.NoError(t, err)
	last := list[0].Outline[63:65] // the lower edge's last chord, out to the rim
	require.InDelta(t, s, r2.Norm(last[1]), 1e-9)
	x0, y0, _ := laid(R, last[0], 0)
	x1, y1, _ := laid(R, last[1], 0)
	out, round := math.Hypot(x1, y1)-math.Hypot(x0, y0), math.Hypot(x1, y1)*(math.Atan2(y1, x1)-math.Atan2(y0, x0))
	require.InDelta(t, lean, math.Atan2(round, out), 0.01) // a chord of s/64 long
	back, err := dish.CoveringWedges(R, s, 8, 0, -lean)
	require.NoError(t, err)
	for i, v := range list[0].Outline[:65] { // the other way round: its mirror
		o := back[0].Outline[len(back[0].Outline)-1-i]
		require.InDelta(t, 0, math.Hypot(v.X-o.X, v.Y+o.Y), 1e-9)
	}
}

// A disc reaches as far as it should, and no more.
func TestDisc(t *testing.T) {
	list := dish.CoveringDisc(120)
	require.Len(t, list, 1)
	for _, v := range list[0].Outline {
		require.InDelta(t, 120, r2.Norm(v), 1e-9)
	}
}

// An edge's chords lie inside the circle by no more than they may; a flat has its
// length and lies across −Y.
func TestEdgeLine(t *testing.T) {
	line, err := dish.EdgeLine(dish.Round, 250, 60)
	require.NoError(t, err)
	flat := 0
	for i, p := range line {
		q := line[(i+1)%len(line)]
		mid := r2.Scale(0.5, r2.Add(p, q))
		if p.Y == q.Y && p.Y < -240 {
			flat++
			require.InDelta(t, 60, r2.Norm(r2.Sub(q, p)), 1e-9)
			require.InDelta(t, math.Sqrt(250*250-30*30), -p.Y, 1e-9)
			continue
		}
		require.InDelta(t, 250, r2.Norm(p), 1e-9)
		require.GreaterOrEqual(t, r2.Norm(mid), 250-0.004)
	}
	require.Equal(t, 1, flat)
	for o, want := range map[dish.BlankShape]int{dish.Square: 4, dish.Octagon: 8} {
		line, err := dish.EdgeLine(o, 100, 0)
		require.NoError(t, err)
		require.Len(t, line, want)
		for i, p := range line { // across the flats everywhere
			q := line[(i+1)%len(line)]
			n := r2.Unit(r2.Vec{X: q.Y - p.Y, Y: p.X - q.X})
			require.InDelta(t, 100, r2.Dot(n, p), 1e-9)
		}
	}
	for _, bad := range []struct {
		o          dish.BlankShape
		half, flat float64
	}{{dish.Square, 100, 20}, {dish.Round, 0, 0}, {dish.Round, 50, 95}, {dish.Rectangle, 50, 0}, {dish.Round, math.Inf(1), 0}} {
		_, err := dish.EdgeLine(bad.o, bad.half, bad.flat)
		require.Error(t, err)
	}
}

// Both arcs of a template have its radius: 300 mm of 15 ft sag by 2.461292 mm
// (R − √(R² − c²/4): Machinery's Handbook, 31st ed., pp. 79 and 83).
func TestTemplateLine(t *testing.T) {
	line, err := dish.TemplateLine(4572, 300, 40)
	require.NoError(t, err)
	half := len(line) / 2
	for k, edge := range [][]r2.Vec{line[:half], line[half:]} {
		centre, most := 4572-2.461292-20+40*float64(k), 0.0
		for i, p := range edge {
			require.InDelta(t, 4572, math.Hypot(p.X, p.Y-centre), 1e-6) // the sagitta's last digit
			if i > 0 {
				mid := r2.Scale(0.5, r2.Add(edge[i-1], p))
				most = math.Max(most, 4572-math.Hypot(mid.X, mid.Y-centre))
			}
		}
		require.LessOrEqual(t, most, 0.004, "chords leave it by no more than a feeler gauge feels")
		require.Greater(t, most, 0.004/4, "and are not half as long")
	}
	area := 0.0
	for i, p := range line {
		q := line[(i+1)%len(line)]
		area += p.X*q.Y - p.Y*q.X
	}
	require.InDelta(t, 2*300*40, area, 1e-6, "counter-clockwise")
	for _, n := range []int{2, 3, 4, 7} {
		require.Len(t, dish.TemplateTabs(line, n), n)
	}
	_, err = dish.TemplateLine(100, 300, 40)
	require.Error(t, err)
}

// The letters, drawn: a person can read them.
func TestLetters(t *testing.T) {
	const text = "15 FT 7.62 M"
	strokes, wide := dish.Letters(text, 6)
	rows := make([][]byte, 7)
	for i := range rows {
		rows[i] = []byte(strings.Repeat(" ", int(wide)+1))
	}
	for _, s := range strokes {
		for i := 1; i < len(s); i++ {
			n := 8 * int(math.Ceil(r2.Norm(r2.Sub(s[i], s[i-1]))))
			for k := range n + 1 {
				p := r2.Add(s[i-1], r2.Scale(float64(k)/float64(n), r2.Sub(s[i], s[i-1])))
				rows[6-int(math.Round(p.Y))][int(math.Round(p.X))] = '#'
			}
		}
	}
	got := ""
	for _, r := range rows {
		got += strings.TrimRight(string(r), " ") + "\n"
	}
	require.Equal(t, lettersDrawn, got)
	same, _ := dish.Letters("15 ft", 6)
	want, _ := dish.Letters("15 FT", 6)
	require.Equal(t, want, same, "small letters become capitals")
	odd, _ := dish.Letters("é", 6)
	want, _ = dish.Letters("?", 6)
	require.Equal(t, want, odd)
}

const lettersDrawn = `  #   #####    ##### #####    #####        ###   ####    #   #
 ##   #        #       #         ##       ##    #   #    ## ##
  #   #        #       #         #        #         #    #####
  #   #####    ####    #        ##        #####    #     # # #
  #       #    #       #        #         #   #   #      #   #
  #   ##  #    #       #       ##     ##  ##  #  #       #   #
  #    ###     #       #       #      ##   ###  #####    #   #
`
