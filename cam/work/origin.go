package work

import (
	"strconv"
	"strings"

	"dishwright/dish/measure"
)

// Way is how the moves of a section run.
type Way string

// The ways. Patterns of finishing passes bear the names that a job asks for.
const (
	WayRaster Way = "raster" // row beside row, climbing or back and forth
	WaySpokes Way = "spokes" // up and down the slope
	WayRings  Way = "rings"  // one spiral about the apex
	WayLaps   Way = "laps"   // round the edge of a mould, for roughing too

	WaySpiral Way = "spiral" // layer below layer, each in one spiral
	WayRounds Way = "rounds" // layer below layer, each back and forth about the apex
	WayLayers Way = "layers" // layer below layer, each along a board
	WayRows   Way = "skim"   // row beside row over all of the blank

	WayExtents Way = "extents" // once round what other programs run over
	WayBeside  Way = "beside"  // what is made beside the face
)

// Origin is where a section comes from: the way in which its moves run, and its figures.
type Origin struct {
	Way     Way
	Figures measure.Said // of the way, in words; of WayBeside what is made
	Round   []int        // of WayExtents: the numbers of the programs
}

// String returns the printable name of a section, its figures with it, in millimetres.
func (o Origin) String() string { return o.Said().String() }

// Said is the printable name of a section.
func (o Origin) Said() measure.Said {
	switch o.Way {
	case WayBeside:
		return o.Figures
	case WayExtents:
		list := make([]string, len(o.Round))
		for i, n := range o.Round {
			list[i] = strconv.Itoa(n)
		}
		return measure.Say("round the extents of program %s", strings.Join(list, " and "))
	}
	return measure.Say("%s(%s)", o.Way, o.Figures)
}
