package proof

import (
	"fmt"
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func must(face dish.Face, err error) dish.Face {
	if err != nil {
		panic(err)
	}
	return face
}

// mustCertify checks the slack and returns the scallop.
func mustCertify(t *testing.T, face dish.Face, top float64, cuts ...Cut) Scallop {
	t.Helper()
	r, err := Certify(face, top, cuts, CertifyOptions{})
	require.NoError(t, err)
	require.GreaterOrEqual(t, r.Certified, r.Found)
	require.LessOrEqual(t, r.Certified-r.Found, 0.001+1e-8)
	require.LessOrEqual(t, math.Hypot(r.X, r.Y), face.Rim)
	return r
}

// h = r − √(r² − s²/4), the depth of a segment of chord s: Machinery's Handbook,
// 31st ed., pp. 79 and 83.
func TestScallopOfBallRasterOnFlatWork(t *testing.T) {
	for _, s := range []float64{0.5, 1.3, 2.25, 4} {
		t.Run(fmt.Sprint(s), func(t *testing.T) {
			face := must(dish.NewFace(dish.Flat, 0, 30))
			var moves []path.Move
			for y := -40.0; y <= 40; y += s {
				moves = append(moves, lineMove(r3.Vec{X: -50, Y: y}, r3.Vec{X: 50, Y: y}))
			}
			r := mustCertify(t, face, 5, Cut{ballCutter(12.7), moves})
			want := 6.35 - math.Sqrt(6.35*6.35-s*s/4)
			require.InDelta(t, want, r.Certified, 0.001)
			require.InDelta(t, want, r.Found, 0.001)
			require.GreaterOrEqual(t, r.Certified, want-1e-9)
			require.LessOrEqual(t, r.Found, want+1e-9)
		})
	}
}

// Passes at y = ±3 along X on a sphere R, what stands between them at (X, 0), X 200.
// Own derivation: a flat of radius f first covers that place with its axis at
// q = X − √(f² − 9), and its end then lies at the face's height at the distance
// √(q² + 9) + f; along the normal it is less by cos(asin(X/R)). The bull's value is
// from a search over positions, made apart from this program. The swept surface is
// taken from below, on the moves, and from above, on the runs.
func TestScallopOfTwoFlatPasses(t *testing.T) {
	for _, k := range []struct {
		name   string
		cutter path.Cutter
		want   float64
	}{
		// R 7620, f 6.35, passes at ±3, at (200, 0): 0.02042 along the normal
		{"flat", flatCutter(12.7), 0.020420},
		// bull f 9.525, c 3.175: 0.013244 vertically, × cos(asin(200/7620))
		{"bull", bullCutter(25.4, 3.175), 0.013244 * 0.999655},
	} {
		t.Run(k.name, func(t *testing.T) {
			face := must(dish.NewFace(dish.Hollow, 7620, 300))
			c := k.cutter
			moves := rasterMoves(face, c, []float64{-3, 3}, func(float64) float64 { return 290 }, 2)
			runs, err := makeRuns(Cut{c, moves}, 0, always, nil)
			require.NoError(t, err)
			low, high := math.Inf(1), math.Inf(1)
			for _, r := range runs {
				low = math.Min(low, r.lowerBound(200, 0, math.Inf(1), nil))
				for _, l := range r.surfaces(nil, 200, 0) {
					z, _ := l.upperBound(200, 0)
					high = math.Min(high, z)
				}
			}
			// Never less, but for the last digit; chords of 2 mm leave their sagitta more, 6.6e-5,
			// and heights rounded away from the work up to 1e-4.
			require.GreaterOrEqual(t, face.Over(200, low), k.want-1e-6)
			require.LessOrEqual(t, face.Over(200, low), k.want+6.6e-5+1e-4)
			require.InDelta(t, low, high, 2e-8)
			require.LessOrEqual(t, low, high)
		})
	}
}

// ballOnSphere lays level rings of chords so fine that they count as circles;
// half is half the angle between passes as seen from the sphere's middle.
func ballOnSphere(face dish.Face, r, half float64) []path.Move {
	q := face.Radius - r
	if face.Kind == dish.Crown {
		q = face.Radius + r
	}
	var moves []path.Move
	for a := half; q*math.Sin(a) < face.Rim+r; a += 2 * half {
		rho := q * math.Sin(a)
		z := face.Tip(dish.Body{Corner: r}, rho)
		p, m := r3.Vec{X: rho, Z: z}, r3.Vec{X: -rho, Z: z}
		moves = append(moves,
			path.Move{Kind: path.Arc, From: p, To: m, Centre: r3.Vec{Z: z}},
			path.Move{Kind: path.Arc, From: m, To: p, Centre: r3.Vec{Z: z}})
	}
	return moves
}

// A ball r 5 on a sphere R 50 at a step of 2. Own derivation, b half the angle
// between two passes: on a hollow R − [(R − r) cos b + √(r² − ((R − r) sin b)²)], on
// a crown (R + r) cos b − √(r² − ((R + r) sin b)²) − R.
func TestScallopOfBallOnSphere(t *testing.T) {
	for _, k := range []struct {
		name string
		kind dish.Kind
		half float64
		want float64
	}{
		{"hollow, arc on the surface", dish.Hollow, 2.0 / 100, 0.090656},
		{"crown, arc on the surface", dish.Crown, 2.0 / 100, 0.111484},
		{"hollow, chord of ball centres", dish.Hollow, math.Asin(1.0 / 45), 0.112133},
		{"crown, chord of ball centres", dish.Crown, math.Asin(1.0 / 55), 0.091929},
	} {
		t.Run(k.name, func(t *testing.T) {
			face := must(dish.NewFace(k.kind, 50, 12))
			r := mustCertify(t, face, 0, Cut{ballCutter(10), ballOnSphere(face, 5, k.half)})
			require.InDelta(t, k.want, r.Certified, 0.0011)
			require.GreaterOrEqual(t, r.Certified, k.want-5e-7) // the table's last digit
			require.LessOrEqual(t, r.Found, k.want+5e-7)
		})
	}
}

// Vertical arcs leave what their chords leave, less the chord's sagitta, on both
// kinds of face and in both planes.
func TestScallopOfVerticalArcs(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
		for _, plane := range []path.Plane{path.ZX, path.YZ} {
			t.Run(fmt.Sprint(kind, plane), func(t *testing.T) {
				face := must(dish.NewFace(kind, 500, 40))
				c := ballCutter(8)
				half := func(float64) float64 { return 45 }
				fine := rasterMoves(face, c, evenPasses(-42, 42, 65), half, 0.5)
				var arcs []path.Move
				for _, y := range evenPasses(-42, 42, 65) {
					y = round4(y)
					from, to := r3.Vec{X: -45, Y: y}, r3.Vec{X: 45, Y: y}
					rad := face.Radius - 4
					mid := face.Radius - face.Sagitta()
					if kind == dish.Crown {
						rad, mid = -(face.Radius + 4), -face.Radius
					}
					// the ball's middle runs on the sphere of radius |rad| about (0, 0, mid); its tip 4 lower
					z := mid - 4 - math.Copysign(math.Sqrt(rad*rad-y*y-45*45), rad)
					from.Z, to.Z = z, z
					centre := r3.Vec{Y: y, Z: mid - 4}
					clockwise := kind == dish.Hollow
					if plane == path.YZ {
						from.X, from.Y, to.X, to.Y = from.Y, from.X, to.Y, to.X
						centre.X, centre.Y = centre.Y, centre.X
						clockwise = !clockwise
					}
					// towards +X over a valley is clockwise in ZX, towards +Y the other way in YZ
					arcs = append(arcs, path.Move{Kind: path.Arc, Plane: plane, From: from, To: to, Centre: centre, Clockwise: clockwise})
				}
				a, b := mustCertify(t, face, 0, Cut{c, arcs}), mustCertify(t, face, 0, Cut{c, fine})
				require.InDelta(t, b.Certified, a.Certified, 0.0012)
				at := brute(face, 0, []Cut{{c, arcs}}, a.X, a.Y)
				require.InDelta(t, at, a.Found, 2e-4)
				require.LessOrEqual(t, a.Found, at+1e-8)
			})
		}
	}
}

func TestScallopOfWhatIsNotCut(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 7620, 300))
	whole := mustCertify(t, face, 0)
	require.InDelta(t, face.Sagitta(), whole.Certified, 0.001, "an uncut hollow is its sagitta deep at the apex")
	crown := must(dish.NewFace(dish.Crown, 500, 100))
	require.InDelta(t, math.Hypot(500, 100)-500, mustCertify(t, crown, 0).Certified, 0.001, "an uncut crown stands highest at its rim")

	// a flat raster on flat work with a gap: the blank's top stands in it
	flat := must(dish.NewFace(dish.Flat, 0, 30))
	var moves []path.Move
	for _, y := range []float64{-30, -20, -10, 0.5, 10.5, 20.5, 30.5} {
		moves = append(moves, lineMove(r3.Vec{X: -50, Y: y}, r3.Vec{X: 50, Y: y}))
	}
	r := mustCertify(t, flat, 5, Cut{flatCutter(10.2), moves})
	require.InDelta(t, 5, r.Found, 1e-6)
	require.InDelta(t, -4.75, r.Y, 0.15)
	traverses := Cut{flatCutter(200), []path.Move{{Kind: path.Traverse, From: r3.Vec{X: -50}, To: r3.Vec{X: 50}}}}
	require.InDelta(t, 5, mustCertify(t, flat, 5, traverses).Certified, 1e-6, "a traverse never cuts")
}

// Two footprints that only just touch cannot be distinguished from a gap in floating
// point: the bound is then the blank's top, and the search still ends.
func TestScallopEndsWhereFootprintsOnlyTouch(t *testing.T) {
	flat := must(dish.NewFace(dish.Flat, 0, 30))
	var moves []path.Move
	for y := -40.0; y <= 40; y += 10 {
		moves = append(moves, lineMove(r3.Vec{X: -50, Y: y}, r3.Vec{X: 50, Y: y}))
	}
	r, err := Certify(flat, 5, []Cut{{flatCutter(10), moves}}, CertifyOptions{})
	require.NoError(t, err)
	require.InDelta(t, 5, r.Certified, 1e-6)
	require.Less(t, r.Cells, 4*DefaultMaxCells)
}

func TestCertifyStopsAtMaxCells(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 7620, 300))
	c := ballCutter(12.7)
	cut := Cut{c, rasterMoves(face, c, evenPasses(-300, 300, 120), func(float64) float64 { return 300 }, 8)}
	few, err := Certify(face, 0, []Cut{cut}, CertifyOptions{MaxCells: 1})
	require.NoError(t, err)
	all := mustCertify(t, face, 0, cut)
	require.GreaterOrEqual(t, few.Certified, all.Found)
	require.Greater(t, few.Certified, all.Certified, "a bound that was given up is larger, never smaller")
	require.LessOrEqual(t, few.Found, all.Certified)
}

func TestScallopRefusesWhatMeansNothing(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 7620, 300))
	nan, far := math.NaN(), 2e6
	line := []path.Move{lineMove(r3.Vec{}, r3.Vec{X: 1})}
	for _, k := range []struct {
		name string
		face dish.Face
		top  float64
		cut  Cut
		want string
	}{
		{"face", dish.Face{}, 0, Cut{ballCutter(6), line}, "rim"},
		{"top", face, nan, Cut{ballCutter(6), line}, "top"},
		{"top above the sphere", face, 8000, Cut{ballCutter(6), line}, "top"},
		{"cutter", face, 0, Cut{ballCutter(0), line}, "no usable size"},
		{"corner", face, 0, Cut{bullCutter(6, 4), line}, "no usable size"},
		{"far", face, 0, Cut{ballCutter(6), []path.Move{lineMove(r3.Vec{}, r3.Vec{X: far})}}, "away"},
	} {
		t.Run(k.name, func(t *testing.T) {
			_, err := Certify(k.face, k.top, []Cut{k.cut}, CertifyOptions{})
			require.ErrorContains(t, err, k.want)
		})
	}
	// an unknown place cuts nothing, a known end does
	r := mustCertify(t, face, 0, Cut{ballCutter(6), []path.Move{
		lineMove(r3.Vec{X: nan, Y: nan, Z: nan}, r3.Vec{Z: -face.Sagitta()}),
		lineMove(r3.Vec{}, r3.Vec{X: nan, Z: -9})}})
	require.Greater(t, math.Hypot(r.X, r.Y), 2.0)
	require.InDelta(t, face.Sagitta(), r.Certified, 0.01)
}
