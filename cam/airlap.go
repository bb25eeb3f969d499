package cam

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// airLapFeed is how fast the air lap runs at most, mm/min: slow enough to watch the
// cutter and the hood pass every clamp, and to stop in time (common practice).
const airLapFeed = 1200.0

// AirLapOf returns the program that shows, with the spindle off and above all
// hold-downs, how far each of the programs reaches: the tip runs once round the
// extents of each. It runs with the first program's cutter in the spindle; for a
// wider cutter it runs further out by the difference of their radii, so that the
// edge of the one shows where the edge of the other will pass, as far as the machine
// travels. The air lap itself has the number first + 1 in its set.
func AirLapOf(w Work, programs []Program, first int) Program {
	c := programs[0].Cutter
	lap := Program{Cutter: c, Speed: programs[0].Speed, Dial: programs[0].Dial}
	feed := floorFeed(w.Machine, math.Min(airLapFeed, math.Min(w.Machine.Feed.X, w.Machine.Feed.Y)))
	b := newBuilder(w, Feeds{Feed: feed, Speed: lap.Speed})
	var before [4][2]float64
	for i, p := range programs {
		e := p.Extents()
		out := math.Max(0, p.Cutter.Radius()-c.Radius())
		box := [4][2]float64{{e.Min.X - out, e.Min.Y - out}, {e.Max.X + out, e.Min.Y - out}, {e.Max.X + out, e.Max.Y + out}, {e.Min.X - out, e.Max.Y + out}}
		if n := len(lap.Sections); n > 0 && box == before { // as far as the program before
			lap.Sections[n-1].Pattern += fmt.Sprintf(" and %d", first+i+2)
			continue
		}
		before = box
		b.moves = nil
		for k := range 5 {
			at := box[k%4]
			b.line(r3.Vec{X: b.within(at[0], w.Machine.Travel.X), Y: b.within(at[1], w.Machine.Travel.Y), Z: w.Clearance()}, feed)
		}
		lap.Sections = append(lap.Sections, Section{Purpose: AirLap, Passes: 1, Feeds: b.feeds, Moves: b.moves,
			Pattern: fmt.Sprintf("round the extents of program %d", first+i+2)})
	}
	return lap
}

// within keeps a coordinate of the lattice within the travel.
func (b *builder) within(v, travel float64) float64 {
	most := float64(math.Floor(travel/2/b.grid.step) * b.grid.step)
	return b.grid.near(math.Max(-most, math.Min(most, v)))
}
