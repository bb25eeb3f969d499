package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

func ballCutter(d float64) path.Cutter { return path.Cutter{Shape: path.Ball, Diameter: d} }
func flatCutter(d float64) path.Cutter { return path.Cutter{Shape: path.Flat, Diameter: d} }
func bullCutter(d, c float64) path.Cutter {
	return path.Cutter{Shape: path.Bull, Diameter: d, Corner: c}
}

// round4 rounds to the 4 decimals of a program in mm; heights go up.
func round4(x float64) float64 { return math.Round(x*1e4) / 1e4 }
func ceil4(x float64) float64  { return math.Ceil(x*1e4-1e-6) / 1e4 }

// tipAt is the lowest tip height at (x, y), held at the blank's top.
func tipAt(face dish.Face, c path.Cutter, x, y float64) float64 {
	z := face.Tip(c.Body(), math.Hypot(x, y))
	if !(z < 0) && face.Kind == dish.Hollow {
		return 0
	}
	return z
}

// always says that every move counts.
func always(path.Move) bool { return true }

func lineMove(a, b r3.Vec) path.Move { return path.Move{Kind: path.Line, From: a, To: b} }

// rasterMoves lays passes along X at the given ys, each of chords over ±half(y),
// there and back, linked straight.
func rasterMoves(face dish.Face, c path.Cutter, ys []float64, half func(y float64) float64, chord float64) []path.Move {
	var moves []path.Move
	var last r3.Vec
	sign := 1.0
	for _, y := range ys {
		h := half(y)
		n := int(math.Ceil(2 * h / chord))
		for k := 0; k <= n; k++ {
			x := round4(sign * h * (2*float64(k)/float64(max(n, 1)) - 1))
			p := r3.Vec{X: x, Y: round4(y), Z: ceil4(tipAt(face, c, x, round4(y)))}
			if len(moves) > 0 || k > 0 {
				moves = append(moves, lineMove(last, p))
			}
			last = p
			if len(moves) == 0 && k == 0 {
				continue
			}
		}
		sign = -sign
	}
	return moves
}

func evenPasses(from, to float64, n int) []float64 {
	ys := make([]float64, n)
	for i := range ys {
		ys[i] = from + (to-from)*float64(i)/float64(n-1)
	}
	return ys
}

func benchmark(b *testing.B, face dish.Face, cut Cut) {
	var r Scallop
	for b.Loop() {
		var err error
		if r, err = Certify(face, 0, []Cut{cut}, CertifyOptions{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(r.Cells), "cells")
	b.ReportMetric(1e3*r.Certified, "µm-certified")
	b.ReportMetric(1e3*r.Found, "µm-found")
	b.ReportMetric(float64(len(cut.Moves)), "moves")
}

func BenchmarkScallopBallRaster(b *testing.B) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := ballCutter(12.7)
	half := func(y float64) float64 { return math.Sqrt(math.Max(0, 300*300-y*y)) + 0.5 }
	benchmark(b, face, Cut{c, rasterMoves(face, c, evenPasses(-300, 300, 280), half, 6)})
}

func BenchmarkScallopFlatRaster(b *testing.B) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := flatCutter(25.4)
	h, r := 0.05, 12.7
	ys := []float64{0}
	for y := 0.0; y < 287; {
		y += math.Min(h*7620/math.Max(y, 1), 2*math.Sqrt(2*r*h*7620/300)) * 0.93
		ys = append(ys, y)
		ys = append([]float64{-y}, ys...)
	}
	half := func(y float64) float64 { return math.Sqrt(math.Max(0, 300*300-y*y)) }
	benchmark(b, face, Cut{c, rasterMoves(face, c, ys, half, 8)})
}

// ringMoves lays rings of chords from the rim inward.
func ringMoves(face dish.Face, c path.Cutter, outer, step, sag float64) []path.Move {
	var moves []path.Move
	var last r3.Vec
	for rho := outer; rho > 0; rho -= step {
		n := int(math.Ceil(2 * math.Pi / math.Sqrt(8*sag/rho)))
		for k := 0; k <= n; k++ {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			x, y := round4(rho*cos), round4(rho*sin)
			p := r3.Vec{X: x, Y: y, Z: ceil4(tipAt(face, c, x, y))}
			if len(moves) > 0 || k > 0 {
				moves = append(moves, lineMove(last, p))
			}
			last = p
		}
	}
	return moves
}

// arcRings lays rings of two half circles each.
func arcRings(face dish.Face, c path.Cutter, outer, step float64) []path.Move {
	var moves []path.Move
	var last r3.Vec
	for rho := outer; rho > 0; rho -= step {
		x := round4(rho)
		z := ceil4(tipAt(face, c, x, 0))
		a, m := r3.Vec{X: x, Z: z}, r3.Vec{X: -x, Z: z}
		if len(moves) > 0 {
			moves = append(moves, lineMove(last, a))
		}
		moves = append(moves,
			path.Move{Kind: path.Arc, From: a, To: m, Centre: r3.Vec{Z: z}},
			path.Move{Kind: path.Arc, From: m, To: a, Centre: r3.Vec{Z: z}})
		last = a
	}
	return moves
}

func BenchmarkScallopBullRings(b *testing.B) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := bullCutter(31.75, 6.35)
	b.Run("chords", func(b *testing.B) { benchmark(b, face, Cut{c, ringMoves(face, c, 290, 2.75, 0.005)}) })
	b.Run("arcs", func(b *testing.B) { benchmark(b, face, Cut{c, arcRings(face, c, 290, 2.75)}) })
}

func BenchmarkScallopBallRings(b *testing.B) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := ballCutter(12.7)
	b.Run("chords", func(b *testing.B) { benchmark(b, face, Cut{c, ringMoves(face, c, 300, 2.2, 0.005)}) })
	b.Run("arcs", func(b *testing.B) { benchmark(b, face, Cut{c, arcRings(face, c, 300, 2.2)}) })
}

// What a plain height map at 0.1 mm costs for the same raster, cutter position
// by cutter position along the chords; it still bounds nothing. The face here is
// a tenth of the size each way, a hundredth of the work: multiply by 100.
func BenchmarkScallopHeightMap(b *testing.B) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 30)
	c := ballCutter(12.7)
	const pitch = 0.1
	n := int(2 * face.Rim / pitch)
	height := make([]float64, n*n)
	reach := int(c.Radius() / pitch)
	for b.Loop() {
		clear(height)
		for _, y := range evenPasses(-30, 30, 28) {
			for k := range n {
				x := pitch*float64(k) - face.Rim
				z := face.Tip(dish.Body{Corner: c.Radius()}, math.Hypot(x, y))
				row := int((y + face.Rim) / pitch)
				for j := max(0, row-reach); j < min(n, row+reach); j++ {
					for i := max(0, k-reach); i < min(n, k+reach); i++ {
						u := math.Hypot(pitch*float64(i-k), pitch*float64(j)-face.Rim-y)
						if v := z + c.Body().Profile(u); v < height[j*n+i] {
							height[j*n+i] = v
						}
					}
				}
			}
		}
	}
}

func BenchmarkGouge(b *testing.B) {
	face, _ := dish.NewFace(dish.Hollow, 7620, 300)
	c := ballCutter(12.7)
	cut := Cut{c, rasterMoves(face, c, evenPasses(-300, 300, 280), func(float64) float64 { return 300 }, 6)}
	for b.Loop() {
		DeepestGouge(face, []Cut{cut})
	}
	b.ReportMetric(float64(len(cut.Moves)), "moves")
}
