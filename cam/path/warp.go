package path

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Warp is the difference between what a machine is told and where its tip goes, over a
// blank whose top may not lie level: axes that go too far, a Y axis that leans, and a
// plane. The zero value changes nothing.
//
// Told (X, Y, Z), the tip goes to ((1 + Scale.X) X + Lean (1 + Scale.Y) Y,
// (1 + Scale.Y) Y) in plan, and to Zero + (1 + Scale.Z) (Z − Zero) in height, of which
// the blank's top takes A X + B Y + C. At High and above the height is left alone: there
// nothing is cut, and a traverse across stays level on the machine.
type Warp struct {
	Scale   r3.Vec
	Lean    float64
	Zero    float64 // z of the program's Z0, mm
	A, B, C float64 // the blank's top over the machine's level, as the machine shows it
	High    float64
}

// None reports whether the warp changes nothing.
func (w Warp) None() bool {
	return w.Scale == r3.Vec{} && w.Lean == 0 && w.A == 0 && w.B == 0 && w.C == 0
}

// True returns where the tip goes, over the blank's top, that is told to go to p.
func (w Warp) True(p r3.Vec) r3.Vec {
	y := float64((1 + w.Scale.Y) * p.Y)
	out := r3.Vec{X: float64((1+w.Scale.X)*p.X) + float64(w.Lean*y), Y: y, Z: p.Z}
	if !(p.Z >= w.High-warpRound) {
		out.Z = w.Zero + float64((1+w.Scale.Z)*(p.Z-w.Zero)) - w.plane(p.X, p.Y)
	}
	return out
}

// Told returns what the machine must be told for the tip to go to p over the blank's top.
func (w Warp) Told(p r3.Vec) r3.Vec {
	y := p.Y / (1 + w.Scale.Y)
	out := r3.Vec{X: (p.X - float64(w.Lean*p.Y)) / (1 + w.Scale.X), Y: y, Z: p.Z}
	if !(p.Z >= w.High-warpRound) {
		out.Z = w.Zero + (p.Z-w.Zero+w.plane(out.X, out.Y))/(1+w.Scale.Z)
	}
	return out
}

// Lowest returns the lowest height that the machine is told for a tip that goes no deeper
// than z over the blank, within reach of its middle.
func (w Warp) Lowest(z, reach float64) float64 {
	// A hundredth more, for where it is told to go lies a little further out.
	sinks := min(0, w.C-float64(1.01*reach*math.Sqrt(float64(w.A*w.A)+float64(w.B*w.B))))
	return min(z, w.Zero+(z-w.Zero+sinks)/(1+w.Scale.Z))
}

// warpRound is less than any step of a written coordinate, mm.
const warpRound = 1e-7

func (w Warp) plane(x, y float64) float64 { return float64(w.A*x) + float64(w.B*y) + w.C }

// Went returns the move that a machine makes which is told to make m; ok is false for an
// arc, which comes out as none.
func (w Warp) Went(m Move) (out Move, ok bool) {
	if w.None() {
		return m, true
	}
	m.From, m.To = w.True(m.From), w.True(m.To)
	return m, m.Kind != Arc
}

// Asked is the reverse of Went, for moves that came out of it.
func (w Warp) Asked(m Move) Move {
	if !w.None() {
		m.From, m.To = w.Told(m.From), w.Told(m.To)
	}
	return m
}
