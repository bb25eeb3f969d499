package proof

import (
	"math"

	"dishwright/cam/path"
)

// plunge is a way down at one place: successive moves within the margin of the first
// that go down at least as far as they go sideways. Together they are one: all of them
// are compared with what stood before the first, and cut only when the last is known. A
// lift of less than the slack does not end it, nor does a traverse straight down.
type plunge struct {
	moves   []plungeMove
	x, y    float64 // where it begins
	upright bool    // all of it is exactly there
	lowest  float64 // of the tip
	fall    float64 // how far its moves go down
	length  float64
}

// plungeMove is a move of a plunge, with what of it cuts.
type plungeMove struct {
	index int
	how   cutting
}

// steepLength is how long a way may be, as a multiple of its fall, that goes down at
// least as far as sideways.
const steepLength = math.Sqrt2

// starts reports whether a move by itself is a plunge.
func (p *plunge) starts(m path.Move) bool {
	f := fallOf(m)
	return f > 0 && steepLength*f >= m.Length()
}

// takes reports whether a move goes on with a plunge that is under way.
func (p *plunge) takes(m path.Move, margin, slack float64) bool {
	if len(p.moves) == 0 || !finite(m.From) || !finite(m.To) || m.To.Z > p.lowest+slack {
		return false
	}
	if m.Kind == path.Traverse {
		return p.upright && m.From.X == p.x && m.From.Y == p.y && m.To.X == p.x && m.To.Y == p.y
	}
	return p.reach(m) <= margin && steepLength*(p.fall+fallOf(m)) >= p.length+m.Length()
}

// reach returns how far a move goes from where the plunge begins, at most.
func (p *plunge) reach(m path.Move) float64 {
	d := math.Hypot(m.To.X-p.x, m.To.Y-p.y)
	if m.Kind == path.Arc {
		_, r0, r1 := m.Sweep()
		d = max(d, math.Hypot(m.Centre.X-p.x, m.Centre.Y-p.y)+max(r0, r1))
	}
	return d
}

// add adds a move.
func (p *plunge) add(i int, m path.Move, how cutting) {
	if len(p.moves) == 0 {
		p.x, p.y, p.upright, p.lowest = m.From.X, m.From.Y, true, m.From.Z
	}
	p.moves = append(p.moves, plungeMove{i, how})
	p.upright = p.upright && m.Kind == path.Line && m.To.X == p.x && m.To.Y == p.y
	p.lowest = min(p.lowest, lowestTip(m))
	p.fall, p.length = p.fall+fallOf(m), p.length+m.Length()
}
