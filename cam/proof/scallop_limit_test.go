package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// TestLimitIsDecided: passes of a ball s apart over a level face leave r − √(r² − s²/4), by the
// circle's chord. A limit a tenth of the slack above that is certified to be kept, and one as
// far below it to be broken.
func TestLimitIsDecided(t *testing.T) {
	face, err := dish.NewFace(dish.Flat, 0, 40)
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(1.5, 12).Draw(t, "radius")
		h := rapid.Float64Range(0.03, 0.2).Draw(t, "scallop")
		s := 2 * math.Sqrt(h*(2*r-h))
		var moves []path.Move
		for y := -40 - s*rapid.Float64Range(0, 1).Draw(t, "off"); y < 40+s; y += s {
			moves = append(moves, path.Move{Kind: path.Line, From: r3.Vec{X: -60, Y: y}, To: r3.Vec{X: 60, Y: y}})
		}
		cuts := []Cut{{path.Cutter{Shape: path.Ball, Diameter: 2 * r}, moves}}
		above, err := Certify(face, 1, cuts, CertifyOptions{Expected: h + defaultSlack/10})
		require.NoError(t, err)
		require.LessOrEqual(t, above.Certified, h+defaultSlack/10)
		below, err := Certify(face, 1, cuts, CertifyOptions{Expected: h - defaultSlack/10})
		require.NoError(t, err)
		require.Greater(t, below.Certified, h-defaultSlack/10)
		require.GreaterOrEqual(t, below.Certified, h-1e-9)
		require.LessOrEqual(t, below.Found, h+1e-9)
	})
}

// A hole is cut in more short moves than a cell looks at, and each ends at the hole's wall: the
// pass over the face beside it still counts.
func TestScallopBesideAHole(t *testing.T) {
	face, err := dish.NewFace(dish.Flat, 0, 40)
	require.NoError(t, err)
	c := path.Cutter{Shape: path.Flat, Diameter: 12, Core: 3.6}
	var moves []path.Move
	for y := -48.0; y < 49; y += 10 {
		moves = append(moves, path.Move{Kind: path.Line, From: r3.Vec{X: -60, Y: y}, To: r3.Vec{X: 60, Y: y}})
	}
	moves = append(moves, helix(3, 5, 4, 0.004, -6, 60)...)
	r, err := Certify(face, 1, []Cut{{c, moves}}, CertifyOptions{Expected: 0.01})
	require.NoError(t, err)
	require.LessOrEqual(t, r.Certified, 0.01)
}

// A sample tells about how many cells a certificate takes, in fewer; and with few of them to
// spend, that they do not suffice.
func TestSampleTellsTheCells(t *testing.T) {
	face := dish.Face{Kind: dish.Hollow, Radius: 4000, Rim: 150}
	c := ballCutter(6)
	for _, step := range []float64{0.75, 1, 1.5} {
		cut := Cut{c, rasterMoves(face, c, evenPasses(-150, 150, int(300/step)), func(float64) float64 { return 151 }, 4)}
		expected := step*step/8/3*1.02 + 0.0015 // a ball's, and a chord's
		whole, err := Certify(face, 0, []Cut{cut}, CertifyOptions{Expected: expected})
		require.NoError(t, err)
		require.LessOrEqual(t, whole.Certified, expected)
		some, err := Certify(face, 0, []Cut{cut}, CertifyOptions{Expected: expected, Sample: true})
		require.NoError(t, err)
		require.Less(t, some.Cells, whole.Cells/4)
		require.InEpsilon(t, whole.CellCost, some.CellCost, 0.6)
		few, err := Certify(face, 0, []Cut{cut}, CertifyOptions{Expected: expected, Sample: true, MaxCells: whole.CellCost / 3})
		require.NoError(t, err)
		require.Greater(t, few.CellCost, whole.CellCost/3)
	}
}

// nowhere is a region that no place lies in.
type nowhere struct{}

func (nowhere) Off(x, y float64) (float64, r2.Vec) { return 1e6, r2.Vec{X: 1} }

// A region beside the face has no tiles to take a sample of.
func TestSampleOfNothing(t *testing.T) {
	face := dish.Face{Kind: dish.Hollow, Radius: 4000, Rim: 20}
	c := ballCutter(6)
	cut := Cut{c, rasterMoves(face, c, evenPasses(-20, 20, 40), func(float64) float64 { return 21 }, 4)}
	r, err := Certify(face, 0, []Cut{cut}, CertifyOptions{Expected: 0.1, Sample: true, Region: nowhere{}})
	require.NoError(t, err)
	require.Zero(t, r.CellCost)
}

// Of a cell that is cut off at the rim a bend upward counts for nothing, for its corners may lie
// nearer its middle than the bend is meant for.
func TestBendOfACutOffCell(t *testing.T) {
	for _, clipped := range []bool{false, true} {
		w := worker{rings: true, clipped: clipped, cornerCount: 1}
		up := cornerHeights{height: [2 * maxCorners]float64{1}, highest: 1}
		down := up
		w.bendHeights(&up, -0.25)
		w.bendHeights(&down, 0.25)
		require.Equal(t, map[bool]float64{false: 0.75, true: 1}[clipped], up.height[1])
		require.Equal(t, 1.0, up.highest)
		require.Equal(t, 1.25, down.height[1])
		require.Equal(t, 1.25, down.highest)
	}
}
