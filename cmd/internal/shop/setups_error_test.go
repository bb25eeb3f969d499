package shop_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cmd/internal/shop"
)

// misplaced is where a setup really lies: turned about the apex by so much, its apex at
// (x, y), and by z too high.
type misplaced struct{ turn, x, y, z float64 }

// drawMisplaced draws an index error: half of them as large as it may be.
func drawMisplaced(r *rand.Rand, shift, turn, height float64) misplaced {
	size, way := 1.0, 2*math.Pi*r.Float64()
	if r.IntN(2) == 0 {
		size = math.Sqrt(r.Float64())
	}
	part := func(most float64) float64 {
		if r.IntN(2) == 0 {
			return most * float64(1-2*r.IntN(2))
		}
		return most * (2*r.Float64() - 1)
	}
	return misplaced{part(turn), shift * size * math.Cos(way), shift * size * math.Sin(way), part(height)}
}

// from returns which place of what was planned comes to lie at (x, y).
func (a misplaced) from(x, y float64) (float64, float64) {
	sin, cos := math.Sincos(-a.turn)
	x, y = x-a.x, y-a.y
	return x*cos - y*sin, x*sin + y*cos
}

// eachSetup returns what each setup of a result cuts by itself, and where it left most.
func eachSetup(t *testing.T, d divided, r *shop.Result) (fields []*left, tops []high) {
	t.Helper()
	w := d.wanted()
	w.scallop = math.Inf(1) // by itself a setup leaves the rest standing
	all, how := texts(r), setupsOfPrograms(r)
	for first := 0; first < len(all); {
		last := first
		for last < len(all) && how[last] == how[first] {
			last++
		}
		_, what := w.carryOut(all[first:last], how[first:last])
		fields = append(fields, what)
		first = last
	}
	_, whole := w.carryOut(all, how)
	top, _ := whole.highest(20_000, 3)
	return fields, []high{top}
}

// What stands after setups that lie misplaced, each by an error of its own, never stands
// higher than the certificate says: 10,000 draws (1,000 of one job without LONG), at
// places near the seams, at the highest scallop, and anywhere.
func TestIndexErrorByChance(t *testing.T) {
	const places = 6
	draws := 1_000
	if chance.Long() {
		draws = 10_000
	}
	for _, c := range []struct{ form, err string }{
		{"dish", "0.05 mm, 0.02 deg, height 0 mm"}, {"dish", "0.5 mm, 0.2 deg, height 0.02 mm"}, {"caul", "0.5 mm, 0.2 deg, height 0.02 mm"},
	} {
		if !chance.Long() && (c.form == "caul" || c.err == "0.05 mm, 0.02 deg, height 0 mm") {
			continue
		}
		t.Run(c.form+" "+c.err, func(t *testing.T) {
			t.Parallel()
			d := smallDivided("4", "two fences")
			d.err = c.err
			if d.form = c.form; c.form == "caul" {
				d.long, d.x, d.y = milli(440), 230, 230
			}
			_, r := d.made(t)
			require.Empty(t, r.Report.Broken)
			fields, tops := eachSetup(t, d, r)
			require.Len(t, fields, 4)
			s, face := r.Report.Setups, fields[0].face
			rng := rand.New(rand.NewPCG(7, 11))
			worst, plain := math.Inf(-1), math.Inf(-1)
			for range draws {
				errs := make([]misplaced, len(fields))
				for k := range errs[1:] { // the first is what the others are measured by
					errs[k+1] = drawMisplaced(rng, s.ShiftMM, s.TurnDeg*math.Pi/180, s.HeightMM)
				}
				for i := range places {
					x, y := placeNearSeam(rng, face.rim, tops, i)
					z, square := 0.0, 0.0
					for k, f := range fields {
						px, py := errs[k].from(x, y)
						z = math.Min(z, f.at(px, py)+errs[k].z)
						square = math.Min(square, f.at(x, y))
					}
					worst = math.Max(worst, face.above(math.Hypot(x, y), z))
					plain = math.Max(plain, face.above(math.Hypot(x, y), square))
				}
			}
			t.Logf("worst of %d draws %.5f mm, without an error %.5f, certified %.5f, of which %.5f sideways and %.5f in height", draws, worst, plain, r.Report.Scallop.CertifiedMM, s.SidewaysMM, s.HeightAddsMM)
			require.LessOrEqual(t, worst, r.Report.Scallop.CertifiedMM+agree)
			require.Greater(t, worst, 0.7*r.Report.Scallop.CertifiedMM, "places that say little")
		})
	}
}

// placeNearSeam draws a place of the face: on a seam or within some millimetres of it, near the
// highest scallop, on the very rim, or anywhere.
func placeNearSeam(r *rand.Rand, rim float64, tops []high, i int) (x, y float64) {
	d := rim * math.Sqrt(r.Float64())
	sin, cos := math.Sincos(2 * math.Pi * r.Float64())
	switch i % 6 {
	case 5: // where an error brings what lies beyond the face
		return rim * cos, rim * sin
	case 0, 1, 2:
		sin, cos = math.Sincos(math.Pi / 2 * float64(r.IntN(4)))
		aside := 6 * (2*r.Float64() - 1)
		x, y = d*cos-aside*sin, d*sin+aside*cos
	case 3:
		h := tops[r.IntN(len(tops))]
		x, y = h.x+0.3*(2*r.Float64()-1), h.y+0.3*(2*r.Float64()-1)
	default:
		x, y = d*cos, d*sin
	}
	if l := math.Hypot(x, y); l > rim {
		x, y = x*rim/l, y*rim/l
	}
	return x, y
}
