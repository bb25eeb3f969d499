package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// stockRaster returns passes of short lines over a hollow of radius 7620 mm and
// rim 300 mm, the tip as low as it may go, lifted by above; one pass after the
// other, back and forth.
func stockRaster(c path.Cutter, step, piece, above float64) []path.Move {
	face, err := dish.NewFace(dish.Hollow, 7620, 300)
	if err != nil {
		panic(err)
	}
	tip := func(x, y float64) r3.Vec {
		d := math.Min(math.Hypot(x, y), 300-c.Body().Flat)
		return r3.Vec{X: x, Y: y, Z: face.Tip(c.Body(), d) + above}
	}
	var moves []path.Move
	from, side := tip(-300, -300), 1.0
	for y := -299.0; y < 299; y += step {
		half := math.Sqrt(300*300 - y*y)
		for x := -half; x < half+piece; x += piece {
			to := tip(side*math.Min(x, half), y)
			moves = append(moves, path.Move{Kind: path.Line, From: from, To: to})
			from = to
		}
		side = -side
	}
	return moves
}

var (
	stockBall = path.Cutter{Shape: path.Ball, Diameter: 12.7, FluteLength: 25, Shank: 12.7}
	stockFlat = path.Cutter{Shape: path.Flat, Diameter: 25.4, FluteLength: 12, Shank: 12.7, Core: 7.6}
	stockBull = path.Cutter{Shape: path.Bull, Diameter: 31.75, Corner: 6.35, FluteLength: 16, Shank: 12.7, Core: 9.5}
	stockBed  = dish.Blank{Shape: dish.Square, Length: 620, Width: 620, Thickness: 25}
)

func stockBenchmark(b *testing.B, c path.Cutter, step, piece float64, rough bool) {
	begin := NewStock(stockBed, 1)
	if rough {
		begin.Run(stockFlat, stockRaster(stockFlat, 10, 8, 0.4))
	}
	moves := stockRaster(c, step, piece, 0)
	b.ResetTimer()
	for b.Loop() {
		b.StopTimer()
		s := begin.Clone()
		b.StartTimer()
		r := s.Run(c, moves)
		b.ReportMetric(r.Depth, "mm-deepest")
	}
	b.ReportMetric(float64(len(moves)), "moves")
}

func BenchmarkStockBallFinish(b *testing.B)  { stockBenchmark(b, stockBall, 1.6, 7.7, true) }
func BenchmarkStockBallInSolid(b *testing.B) { stockBenchmark(b, stockBall, 1.6, 7.7, false) }
func BenchmarkStockFlatFinish(b *testing.B)  { stockBenchmark(b, stockFlat, 3, 8, true) }
func BenchmarkStockFlatInSolid(b *testing.B) { stockBenchmark(b, stockFlat, 3, 8, false) }
func BenchmarkStockBullFinish(b *testing.B)  { stockBenchmark(b, stockBull, 3, 8, true) }
