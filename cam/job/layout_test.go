package job

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"dishwright/cam/work"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// apart tells how far two polygons lie apart, by their corners and the other's sides; 0
// where a corner of one lies in the other.
func apart(a, b []r2.Vec) float64 {
	least := math.Inf(1)
	for _, two := range [][2][]r2.Vec{{a, b}, {b, a}} {
		for _, p := range two[0] {
			if within(two[1], p) {
				return 0
			}
			for i, q := range two[1] {
				d := r2.Sub(two[1][(i+1)%len(two[1])], q)
				t := math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, q), d)/r2.Norm2(d)))
				least = math.Min(least, r2.Norm(r2.Sub(p, r2.Add(q, r2.Scale(t, d)))))
			}
		}
	}
	return least
}

// within reports whether a place lies in a polygon, by how often a line to the right
// crosses it.
func within(line []r2.Vec, p r2.Vec) (in bool) {
	for i, a := range line {
		c := line[(i+1)%len(line)]
		if (a.Y > p.Y) != (c.Y > p.Y) && p.X < a.X+(c.X-a.X)*(p.Y-a.Y)/(c.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// Templates lie in rows and columns about the blank's middle: between two of them is room
// for both slots of the cutter and 4 mm, so is between them and the blank's edge, and each
// text lies in its own template.
func TestTemplatesOnTheSheet(t *testing.T) {
	const text = "form: gauge\nradii: [15 ft, 25 ft, 5 m, 28 ft, 3 m]\nlength: 200 mm\nblank: {size: 600 mm, thickness: 4 mm}\nmachine: bench-600\n" +
		"shelf:\n  small: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 15 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}\n"
	j, err := Load("job.yaml", []byte(text))
	require.NoError(t, err)
	const gap = 2*6 + 4.0
	outs, letters := j.Work.Extras.CutOuts, j.Work.Extras.Letters
	require.Len(t, outs, 5)
	require.Len(t, letters, 5)
	lo, hi := r2.Vec{X: 1e9, Y: 1e9}, r2.Vec{X: -1e9, Y: -1e9}
	nearest := math.Inf(1)
	for i, o := range outs {
		for k := range i {
			d := apart(o.Line, outs[k].Line)
			require.GreaterOrEqual(t, d, gap-0.2, "%d and %d", i, k) // points are held to tenths
			nearest = math.Min(nearest, d)
		}
		for _, p := range o.Line {
			require.GreaterOrEqual(t, 300-math.Max(math.Abs(p.X), math.Abs(p.Y)), gap-0.1)
			lo, hi = r2.Vec{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y)}, r2.Vec{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y)}
		}
		for _, s := range letters[i].Strokes {
			for _, p := range s {
				require.True(t, within(o.Line, p), "%s at %v", letters[i].Name, p)
			}
		}
		require.True(t, strings.HasSuffix(o.Name, strings.TrimPrefix(letters[i].Name, "the letters ")))
	}
	require.Less(t, nearest, gap+3, "and not much more: the deepest template sets the rows")
	// About the middle: evenly to left and right, and up and down but for the curves.
	require.InDelta(t, 0, lo.X+hi.X, 0.11)
	require.Less(t, math.Abs(lo.Y+hi.Y), 4.0)
}

// A hand that presses a board in its middle bends it by F L³/48EI, I = b t³/12 with t what
// is left under the hollow; over the span L the sagitta is so much less, and the radius that
// the sides are sanded to so much more: L²/8R' = L²/8R − bend (own derivation).
func TestApparentRadius(t *testing.T) {
	const L, R, wide, thick = 380.0, 6096.0, 90.0, 22.0
	j, err := Load("job.yaml", []byte("form: board\nradius: 20 ft\nlength: 540 mm\nwidth: 90 mm\nspans: 380 mm\nfloor: 8 mm\nblank: {shape: rectangle, length: 600 mm, width: 180 mm, thickness: 22 mm}\nmachine: bench-600\n"))
	require.NoError(t, err)
	left := thick - (R - math.Sqrt(R*R-(540*540+wide*wide)/4))
	bend := 20 * L * L * L / (48 * 2200 * wide * left * left * left / 12)
	require.InDelta(t, bend, j.Bends, 1e-9)
	radius := L * L / 8 / (L*L/(8*R) - bend)
	found := false
	for _, w := range j.Warnings {
		if strings.Contains(w.Message.String(), "pressed with 20 N") {
			found = true
			require.Contains(t, w.Message.String(), fmt.Sprintf("%.1f mm of MDF bend %.2f mm", left, bend))
			require.Contains(t, w.Message.String(), fmt.Sprintf("a sphere of %.0f mm reads as about %.0f mm there", R, radius))
			// A blank that bends by 0.1 mm, the scallop, is thicker by the cube root.
			require.Contains(t, w.Hint.String(), fmt.Sprintf("a blank of %.0f mm would", math.Ceil(left*math.Cbrt(bend/0.1)+thick-left)))
		}
	}
	require.True(t, found)
}

// A board that bends by no more than the scallop that is allowed is not spoken of.
func TestBendIsToldBeyondTheScallop(t *testing.T) {
	const text = "form: board\nradius: 20 ft\nlength: 540 mm\nwidth: 90 mm\nspans: 380 mm\nfloor: 8 mm\nblank: {shape: rectangle, length: 600 mm, width: 180 mm, thickness: 22 mm}\nmachine: bench-600\nscallop: %.6f mm\n"
	j, err := Load("job.yaml", fmt.Appendf(nil, text, 0.1))
	require.NoError(t, err)
	for share, told := range map[float64]bool{0.99: true, 1.01: false} {
		j, err := Load("job.yaml", fmt.Appendf(nil, text, share*j.Bends))
		require.NoError(t, err)
		require.Equal(t, told, slices.ContainsFunc(j.Warnings, func(w work.Warning) bool { return w.Kind == "board-bends" }), "%g", share)
	}
}
