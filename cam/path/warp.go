package path

import (
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// Warp is the difference between where a machine is sent and where its tip goes, over a
// blank whose top may not lie level: axes that go too far, a Y axis that leans, and a
// plane. The zero value changes nothing. A place or move is actual where the tip goes,
// compensated as the program must state it for the tip to go there.
//
// Sent to (X, Y, Z), the tip goes to ((1 + Scale.X) X + Lean (1 + Scale.Y) Y,
// (1 + Scale.Y) Y) in plan, and to Zero + (1 + Scale.Z) (Z − Zero) in height, from which
// the plane of the blank's top, A X + B Y + C, is subtracted: an affine map, so that a
// straight move stays straight. What never cuts is told by the machine's own height: the
// ends of level and of upright moves at High and above, for a traverse across stays level
// on the machine. A move that slants is what the map makes of it, at any height.
type Warp struct {
	Scale   r3.Vec
	Lean    float64
	Zero    float64 // z of the program's Z0, mm
	A, B, C float64 // the blank's top over the machine's level, as the machine shows it
	High    float64 // nothing is cut here: above the blank's top and all that stands on it
}

// IsIdentity reports whether the warp changes nothing.
func (w Warp) IsIdentity() bool {
	return w.Scale == r3.Vec{} && w.Lean == 0 && w.A == 0 && w.B == 0 && w.C == 0
}

// Actual returns where the tip goes, over the blank's top, when it is sent to p; at High
// and above, where p is the end of a level or of an upright move.
func (w Warp) Actual(p r3.Vec) r3.Vec { return w.actual(p, w.keepsHeight(p)) }

// Compensated returns where the machine must be sent for the tip to go to p over the
// blank's top.
func (w Warp) Compensated(p r3.Vec) r3.Vec { return w.compensated(p, w.keepsHeight(p)) }

func (w Warp) keepsHeight(p r3.Vec) bool { return p.Z >= w.High-heightTolerance }

func (w Warp) actual(p r3.Vec, keep bool) r3.Vec {
	y := float64((1 + w.Scale.Y) * p.Y)
	out := r3.Vec{X: float64((1+w.Scale.X)*p.X) + float64(w.Lean*y), Y: y, Z: p.Z}
	if !keep {
		out.Z = w.Zero + float64((1+w.Scale.Z)*(p.Z-w.Zero)) - w.plane(p.X, p.Y)
	}
	return out
}

func (w Warp) compensated(p r3.Vec, keep bool) r3.Vec {
	y := p.Y / (1 + w.Scale.Y)
	out := r3.Vec{X: (p.X - float64(w.Lean*p.Y)) / (1 + w.Scale.X), Y: y, Z: p.Z}
	if !keep {
		out.Z = w.Zero + (p.Z-w.Zero+w.plane(out.X, out.Y))/(1+w.Scale.Z)
	}
	return out
}

// LowestCompensated returns the lowest height to which the machine is sent for a tip
// that goes no deeper than z over the blank, within reach of its middle.
func (w Warp) LowestCompensated(z, reach float64) float64 {
	// A hundredth more, for the compensated place lies a little further out.
	sinks := min(0, w.C-float64(1.01*reach*exact.Dist(w.A, w.B)))
	return min(z, w.Zero+(z-w.Zero+sinks)/(1+w.Scale.Z))
}

// heightTolerance is less than any step of a written coordinate, mm.
const heightTolerance = 1e-7

func (w Warp) plane(x, y float64) float64 { return float64(w.A*x) + float64(w.B*y) + w.C }

// ActualMove returns the move that a machine makes when it is sent along m; ok is false
// for an arc, for the actual move is none, and for a slanting move to a place of which X
// or Y alone is known.
//
// The ends of moves that keep their machine's height meet: a level move at High begins and
// ends where upright ones do. A slanting one meets them up to the plane's height apart,
// in the air.
func (w Warp) ActualMove(m Move) (out Move, ok bool) {
	if w.IsIdentity() {
		return m, true
	}
	from, to := w.keepHeights(m)
	out = m
	out.From, out.To = w.actual(m.From, from), w.actual(m.To, to)
	return out, m.Kind != Arc && m.seenAs(out)
}

// keepHeights reports for either end of a move whether it keeps the machine's height.
func (w Warp) keepHeights(m Move) (from, to bool) {
	if m.From.Z != m.To.Z && m.Sideways() {
		return false, false
	}
	return w.keepsHeight(m.From), w.keepsHeight(m.To)
}

// CompensatedMove is the reverse of ActualMove, for moves that came out of it. One that
// slants on the machine and comes out level at High or above is taken for level: it lies in
// the air, and differs by the plane's slope.
func (w Warp) CompensatedMove(m Move) Move {
	if !w.IsIdentity() {
		from, to := w.keepHeights(m)
		m.From, m.To = w.compensated(m.From, from), w.compensated(m.To, to)
	}
	return m
}
