package given

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"
)

// The cutters of the tests: a ball, a flat and a bull as a hobby workshop owns
// them. Their figures are of the tests alone.
var (
	HalfBall = path.Cutter{Name: "half-inch ball", Shape: path.Ball, Diameter: 12.7, Flutes: 2, FluteLength: 25, Shank: 12.7,
		StickOut: 35, Speed: 16000, FastestSpeed: 16000, ChipLoad: 0.05, DepthOfCut: 3, Ramp: 3 * math.Pi / 180}
	InchFlat = path.Cutter{Name: "inch flat", Shape: path.Flat, Diameter: 25.4, Flutes: 2, FluteLength: 20, Shank: 12.7,
		StickOut: 30, Speed: 16000, FastestSpeed: 16000, ChipLoad: 0.1, DepthOfCut: 2, Core: 7.62, Ramp: 3 * math.Pi / 180}
	BigBull = path.Cutter{Name: "big bull", Shape: path.Bull, Diameter: 31.75, Corner: 6.35, Flutes: 2, FluteLength: 20, Shank: 12.7,
		StickOut: 30, Speed: 14000, FastestSpeed: 14000, ChipLoad: 0.1, DepthOfCut: 2, Core: 9.525, Ramp: 3 * math.Pi / 180}
	HalfFlat = path.Cutter{Name: "half-inch flat", Shape: path.Flat, Diameter: 12.7, Flutes: 2, FluteLength: 25, Shank: 12.7,
		StickOut: 35, Speed: 16000, FastestSpeed: 16000, ChipLoad: 0.06, DepthOfCut: 3, Core: 3.81, Ramp: 3 * math.Pi / 180}
)

// Router returns a built-in machine.
func Router(name string) machines.Machine {
	m, ok := machines.Builtin(name)
	if !ok {
		panic("given: no machine " + name)
	}
	return m
}

// Sphere returns a face.
func Sphere(k dish.Kind, radius, rim float64) dish.Face {
	f, err := dish.NewFace(k, radius, rim)
	if err != nil {
		panic("given: " + err.Error())
	}
	return f
}

// Named returns a work cut with these cutters, in its own pattern.
func Named(w work.Work, rough, finish string) work.Piece {
	return work.Whole(&w).By(work.Method{Rough: rough, Finish: finish, Pattern: w.Pattern, Share: 1})
}

// Work returns a work that can be planned: a face in a square blank with 50 mm
// of land on each side, on the bench machine.
func Work(k dish.Kind, radius, rim float64) work.Work {
	f := Sphere(k, radius, rim)
	side := 2*rim + 100
	m := Router("bench-600")
	m.Hood = nil
	return work.Work{
		Name: "test", Face: f, Region: dish.Disc{Radius: rim}, Wanted: radius, Material: "mdf", Floor: 6, Machine: m, Scallop: 0.1, Allowance: 0.4, ZeroError: 0.05,
		Blank:   dish.Blank{Shape: dish.Square, Length: side, Width: side, Thickness: math.Ceil(f.Sagitta()) + 12},
		Pattern: work.Auto, Shelf: []path.Cutter{HalfBall, InchFlat, BigBull, HalfFlat}, Rough: work.Auto, Finish: work.Auto,
	}
}
