package path

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Warp is the difference between where a machine is sent and where its tip goes, over a
// blank whose top may not lie level: axes that go too far, a Y axis that leans, and a
// plane. The zero value changes nothing. A place or move is actual where the tip goes,
// compensated as the program must state it for the tip to go there.
//
// Sent to (X, Y, Z), the tip goes to ((1 + Scale.X) X + Lean (1 + Scale.Y) Y,
// (1 + Scale.Y) Y) in plan, and to Zero + (1 + Scale.Z) (Z − Zero) in height, from which
// the plane of the blank's top, A X + B Y + C, is subtracted. At High and above the
// height stays as it is: nothing is cut there, and a traverse across stays level on the
// machine.
type Warp struct {
	Scale   r3.Vec
	Lean    float64
	Zero    float64 // z of the program's Z0, mm
	A, B, C float64 // the blank's top over the machine's level, as the machine shows it
	High    float64
}

// IsIdentity reports whether the warp changes nothing.
func (w Warp) IsIdentity() bool {
	return w.Scale == r3.Vec{} && w.Lean == 0 && w.A == 0 && w.B == 0 && w.C == 0
}

// Actual returns where the tip goes, over the blank's top, when it is sent to p.
func (w Warp) Actual(p r3.Vec) r3.Vec {
	y := float64((1 + w.Scale.Y) * p.Y)
	out := r3.Vec{X: float64((1+w.Scale.X)*p.X) + float64(w.Lean*y), Y: y, Z: p.Z}
	if !(p.Z >= w.High-heightTolerance) {
		out.Z = w.Zero + float64((1+w.Scale.Z)*(p.Z-w.Zero)) - w.plane(p.X, p.Y)
	}
	return out
}

// Compensated returns where the machine must be sent for the tip to go to p over the
// blank's top.
func (w Warp) Compensated(p r3.Vec) r3.Vec {
	y := p.Y / (1 + w.Scale.Y)
	out := r3.Vec{X: (p.X - float64(w.Lean*p.Y)) / (1 + w.Scale.X), Y: y, Z: p.Z}
	if !(p.Z >= w.High-heightTolerance) {
		out.Z = w.Zero + (p.Z-w.Zero+w.plane(out.X, out.Y))/(1+w.Scale.Z)
	}
	return out
}

// LowestCompensated returns the lowest height to which the machine is sent for a tip
// that goes no deeper than z over the blank, within reach of its middle.
func (w Warp) LowestCompensated(z, reach float64) float64 {
	// A hundredth more, for the compensated place lies a little further out.
	sinks := min(0, w.C-float64(1.01*reach*math.Sqrt(float64(w.A*w.A)+float64(w.B*w.B))))
	return min(z, w.Zero+(z-w.Zero+sinks)/(1+w.Scale.Z))
}

// heightTolerance is less than any step of a written coordinate, mm.
const heightTolerance = 1e-7

func (w Warp) plane(x, y float64) float64 { return float64(w.A*x) + float64(w.B*y) + w.C }

// ActualMove returns the move that a machine makes when it is sent along m; ok is false
// for an arc, for the actual move is none.
func (w Warp) ActualMove(m Move) (out Move, ok bool) {
	if w.IsIdentity() {
		return m, true
	}
	m.From, m.To = w.Actual(m.From), w.Actual(m.To)
	return m, m.Kind != Arc
}

// CompensatedMove is the reverse of ActualMove, for moves that came out of it.
func (w Warp) CompensatedMove(m Move) Move {
	if !w.IsIdentity() {
		m.From, m.To = w.Compensated(m.From), w.Compensated(m.To)
	}
	return m
}
