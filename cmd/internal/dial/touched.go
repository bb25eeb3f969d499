package dial

import (
	"fmt"
	"regexp"

	"dishwright/dish/measure"
)

// A figure up to touchShare of the press, or up to leastTouch, is the dial of a tip that touches
// nothing: where the free tip just touches it is turned to 0, at place 1, and everywhere the
// program goes down by the press below the lowest place. leastTouch is more than a step of the
// common dials of 0.01 mm and 0.001 in.
const (
	touchShare = 0.05
	leastTouch = 0.03 // mm
)

// told is the gauge as the table's first line has it.
func (g Gauge) told() string { return fmt.Sprintf("travel %s and press %s", g.Travel, g.Press) }

var gaugePattern = regexp.MustCompile(`(?m)^\x{feff}?"?#.*\btravel ([^,;"]+) and press ([^,;"]+)`)

// gaugeOf finds the gauge in a table's comment; zero where it is not told.
func gaugeOf(data []byte) (g Gauge) {
	m := gaugePattern.FindSubmatch(data)
	if m == nil {
		return Gauge{}
	}
	travel, err := measure.ParseLength(string(m[1]))
	press, wrong := measure.ParseLength(string(m[2]))
	if g = (Gauge{travel, press}); err != nil || wrong != nil || !g.known() {
		return Gauge{}
	}
	return g
}

// known reports whether both lengths are those of a gauge.
func (g Gauge) known() bool {
	return g.Travel.MM > 0 && g.Travel.MM <= MostTravel && g.Press.MM >= LeastPress && g.Press.MM <= MostPress
}

// bounds finds the figures of a tip that touched nothing, and those beyond what the gauge can show.
// Where its travel is not told, that is the depth between the places and twice the largest press.
func (r *reader) bounds(f Filled, seen []int, g Gauge) {
	u := measure.Ruler{Inches: f.Inches}
	least := max(leastTouch, touchShare*g.Press.MM)
	most, can := g.Travel.MM, fmt.Sprintf("the gauge's travel is %s", u.Length(g.Travel.MM, 3))
	if !g.known() {
		most = span(f.expected()) + 2*MostPress
		can = fmt.Sprintf("over %s no gauge shows more than %s", what(f.Of), u.Length(most, 3))
	}
	for i, v := range f.Dial {
		switch {
		case v < -least:
			r.fault("dial", seen[i]-1, "the figure over the one that the free tip shows, whole turns counted; or read it again", "place %d reads %s: a gauge that is pressed shows more than 0", i+1, u.Length(v, 3))
		case v <= least:
			r.fault("dial", seen[i]-1, "read it again; where it really lies so low, make the program anew with a larger --press", "place %d reads %s, as a free tip does: the gauge did not touch there", i+1, u.Length(v, 3))
		case v > most:
			r.fault("dial", seen[i]-1, "a turn that was miscounted, or a slip of the pen: read it again", "place %d reads %s: %s", i+1, u.Length(v, 3), can)
		}
	}
}
