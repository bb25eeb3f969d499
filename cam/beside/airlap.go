package beside

import (
	"math"
	"slices"

	"dishwright/cam/link"
	"dishwright/cam/work"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// airLapFeed is how fast the air lap runs at most, mm/min: slow enough to watch the
// cutter and the hood pass every clamp, and to stop in time (common practice).
const airLapFeed = 1200.0

// AirLap returns the program that shows, with the spindle off and above all
// hold-downs, how far each of the programs reaches: the tip runs once round the
// extents of each. It runs with the first program's cutter in the spindle; for a
// wider cutter it runs further out by the difference of their radii, so that the
// edge of the one shows where the edge of the other will pass, as far as the machine
// travels. The air lap itself has the number first + 1 in its set.
func AirLap(w *work.Work, programs []work.Program, first int) work.Program {
	c := programs[0].Cutter
	lap := work.Program{Cutter: c}
	feed := work.FloorFeed(w.Machine, min(airLapFeed, min(w.Machine.Feed.X, w.Machine.Feed.Y)))
	b := link.NewBuilder(work.Whole(w), work.Feeds{Feed: feed})
	var seen [][4][2]float64
	keep := airTravel(b, programs)
	for i, p := range programs {
		e := p.Extents()
		out := max(0, p.Cutter.Radius()-c.Radius())
		box := [4][2]float64{{e.Min.X - out, e.Min.Y - out}, {e.Max.X + out, e.Min.Y - out}, {e.Max.X + out, e.Max.Y + out}, {e.Min.X - out, e.Max.Y + out}}
		if k := slices.Index(seen, box); k >= 0 { // as far as a program before
			was := &lap.Sections[k].Pattern
			was.Round = append(was.Round, first+i+2)
			continue
		}
		seen = append(seen, box)
		b.Moves = nil
		for k := range 5 {
			at := box[k%4]
			b.Line(r3.Vec{X: keepWithin(b, at[0], keep.Min.X, keep.Max.X), Y: keepWithin(b, at[1], keep.Min.Y, keep.Max.Y), Z: w.Clearance()}, feed)
		}
		lap.Sections = append(lap.Sections, work.Section{Purpose: work.AirLap, Passes: 1, Feeds: b.Feeds, Moves: b.Moves,
			Pattern: work.Origin{Way: work.WayExtents, Round: []int{first + i + 2}}})
	}
	return lap
}

// airTravel returns within which places the tip may run: the blank stands in the middle of
// the machine's travel, but where it is turned or slid between programs what they run
// over does.
func airTravel(b *link.Builder, programs []work.Program) r3.Box {
	half, middle := r3.Vec{}, r3.Vec{}
	half.X, half.Y = b.Piece.TipTravel()
	if programs[0].Setup.Number > 0 {
		var all work.Program
		for _, p := range programs {
			all.Sections = append(all.Sections, p.Sections...)
		}
		e := all.Extents()
		middle = exact.Scale3(0.5, r3.Add(e.Min, e.Max))
	}
	return r3.Box{Min: r3.Sub(middle, half), Max: r3.Add(middle, half)}
}

// keepWithin keeps a coordinate of the lattice between two places.
func keepWithin(b *link.Builder, v, least, most float64) float64 {
	s := b.Grid.Step
	return b.Grid.Near(max(float64(math.Ceil(least/s-work.Fuzz)*s), min(float64(math.Floor(most/s+work.Fuzz)*s), v)))
}
