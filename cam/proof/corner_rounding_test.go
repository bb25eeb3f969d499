package proof_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/dish"
	"dishwright/machines"
)

// A fillet of radius ρ that is tangent to two legs T before a corner of angle γ has
// ρ = T/tan(γ/2) and leaves the corner by ρ (1/cos(γ/2) − 1): plane geometry, derived.
func fillet(t, turn float64) float64 { return t / math.Tan(turn/2) * (1/math.Cos(turn/2) - 1) }

func TestCornerRounding(t *testing.T) {
	face, err := dish.NewFace(dish.Hollow, 5000, 200)
	require.NoError(t, err)
	blank := dish.Blank{Shape: dish.Round, Length: 500, Width: 500, Thickness: 25}
	ball := path.Cutter{Name: "ball", Shape: path.Ball, Diameter: 12, Corner: 6, FluteLength: 20, DepthOfCut: 20, Ramp: 1}
	at := func(x, y, up float64) r3.Vec {
		return r3.Vec{X: x, Y: y, Z: face.Tip(dish.Body{Corner: 6}, math.Hypot(x, y)) + up}
	}
	line := func(a, b r3.Vec) path.Move { return path.Move{Kind: path.Line, From: a, To: b, Feed: 1000} }
	// A corner in the surface on which the tip runs costs what the crests are steep: those of
	// 0.05 mm that a ball of 6 mm leaves, by w²/2r (a parabola for the circle, to first order).
	crest := math.Sqrt(2 * 0.05 / 6)
	corner := func(up float64) []path.Move {
		return []path.Move{line(at(100, 0, up), at(120, 0, up)), line(at(120, 0, up), at(120, 30, up))}
	}
	// An arc about the apex, which arrives along Y, and a line that goes on along X.
	arc := path.Move{Kind: path.Arc, From: at(120, 0, 0), To: at(0, 120, 0), Centre: r3.Vec{Z: at(0, 120, 0).Z}, Feed: 1000}
	kinked := []path.Move{arc, line(arc.To, at(0, 90, 0))}
	smooth := []path.Move{arc, line(arc.To, r3.Vec{X: -40, Y: 120, Z: arc.To.Z})}
	for _, c := range []struct {
		name     string
		rounding float64
		moves    []path.Move
		modes    []proof.PathMode
		want     float64
	}{
		{"a right corner, as the profile states", 0.02, corner(0), nil, 0.02 * crest},
		{"a right corner between short moves", 20, corner(0), nil, fillet(10, math.Pi/2) * crest},
		{"no rounding stated", 0, corner(0), nil, 0},
		{"the text selects G61", 0.02, corner(0), []proof.PathMode{{Text: "G61"}}, 0},
		{"the text selects G61 too late", 0.02, corner(0), []proof.PathMode{{Text: "G64"}, {Text: "G61", Before: 2}}, 0.02 * crest},
		{"far above the face", 0.02, corner(1), nil, 0},
		{"from an arc inward", 0.02, kinked, nil, 0.02 * crest},
		{"from an arc on along its tangent", 0.02, smooth, nil, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			machine := machines.Machine{Name: "m", CornerRounding: c.rounding, Arcs: true}
			r, err := proof.Check(proof.Case{Face: face, Blank: blank, Machine: machine, MaxScallop: 0.05},
				[]proof.Program{{Name: "p", Cutter: ball, Path: path.Path{Moves: c.moves}, PathModes: c.modes}})
			require.NoError(t, err)
			// The legs slope by 0.024 and bend with the face, by 0.006 over 30 mm: angles and
			// heights change by less than a hundredth of the crest's slope.
			require.InDelta(t, c.want, r.CornerRounding, 0.03*c.want+1e-9)
		})
	}
}

// Squares about the apex, some of them with each corner replaced by its fillet: what is
// certified then is no more than what is certified with sharp corners and what corners may
// add.
func TestCornerRoundingAgainstRoundedCorners(t *testing.T) {
	face, err := dish.NewFace(dish.Hollow, 300, 10)
	require.NoError(t, err)
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		step, rounding := rapid.Float64Range(1, 3).Draw(t, "step"), rapid.Float64Range(0.01, 0.2).Draw(t, "rounding")
		c := path.Cutter{Name: "c", Shape: path.Bull, Diameter: 12, Corner: 6}
		if c.Corner = rapid.SampledFrom([]float64{3, 6}).Draw(t, "corner"); c.Corner == 6 {
			c.Shape = path.Ball
		}
		tip := func(x, y float64) r3.Vec {
			return r3.Vec{X: x, Y: y, Z: face.Tip(c.Body(), math.Hypot(x, y))}
		}
		lay := func(a, b r3.Vec) (moves []path.Move) { // the height follows the face
			for k := range 10 {
				at := func(k int) r3.Vec {
					t := float64(k) / 10
					return tip(a.X+t*(b.X-a.X), a.Y+t*(b.Y-a.Y))
				}
				moves = append(moves, path.Move{Kind: path.Line, From: at(k), To: at(k + 1), Feed: 1000})
			}
			return moves
		}
		var sharp, rounded []path.Move
		for half := step / 2; half < 14; half += step {
			soft := rapid.Bool().Draw(t, "rounded")
			back := rounding / fillet(1, math.Pi/2) // the leg of the fillet
			if back > half*0.9 {
				soft = false
			}
			corners := [5][2]float64{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}, {1, 1}}
			for k := range 4 {
				a, b := corners[k], corners[k+1]
				sharp = append(sharp, lay(r3.Vec{X: half * a[0], Y: half * a[1]}, r3.Vec{X: half * b[0], Y: half * b[1]})...)
				if !soft {
					rounded = append(rounded, lay(r3.Vec{X: half * a[0], Y: half * a[1]}, r3.Vec{X: half * b[0], Y: half * b[1]})...)
					continue
				}
				dx, dy := (b[0]-a[0])/2, (b[1]-a[1])/2
				p := r3.Vec{X: half*a[0] + back*dx, Y: half*a[1] + back*dy}
				q := r3.Vec{X: half*b[0] - back*dx, Y: half*b[1] - back*dy}
				rounded = append(rounded, lay(p, q)...)
				// Round the corner at b: a quarter of a circle about the place back inside it.
				cx, cy := (half-back)*b[0], (half-back)*b[1]
				start := math.Atan2(q.Y-cy, q.X-cx)
				for n := range 16 {
					u, v := start+float64(n)*math.Pi/32, start+float64(n+1)*math.Pi/32
					rounded = append(rounded, path.Move{Kind: path.Line, From: tip(cx+back*math.Cos(u), cy+back*math.Sin(u)), To: tip(cx+back*math.Cos(v), cy+back*math.Sin(v)), Feed: 1000})
				}
			}
		}
		certify := func(moves []path.Move) float64 {
			r, err := proof.Certify(face, 0, []proof.Cut{{Cutter: c, Moves: moves}}, proof.CertifyOptions{Slack: 5e-4})
			require.NoError(t, err)
			return r.Certified
		}
		before, after := certify(sharp), certify(rounded)
		r, err := proof.Check(proof.Case{Face: face, Blank: dish.Blank{Shape: dish.Round, Length: 40, Width: 40, Thickness: 25},
			Machine: machines.Machine{Name: "m", CornerRounding: rounding}, MaxScallop: before},
			[]proof.Program{{Name: "p", Cutter: c, Path: path.Path{Moves: sharp}}})
		require.NoError(t, err)
		require.LessOrEqual(t, after, before+r.CornerRounding+5e-4, "%.4f with sharp corners, %.4f for rounded ones", before, r.CornerRounding)
	}))
}
