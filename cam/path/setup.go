package path

import (
	"fmt"

	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// Setup is how the blank lies on the machine while a program runs: a place of the
// blank, in the face frame, comes to lie at Rot(Turn, counter-clockwise seen from +Z)
// of it, plus the shift. The zero value lies as the face frame does.
type Setup struct {
	Number int // from 1; 0 where there is only the one
	Turn   int // degrees, a multiple of dish.TurnStep, 0 to 359
	X, Y   float64
}

// Name is what the setup is called.
func (s Setup) Name() string { return fmt.Sprint(max(1, s.Number)) }

// Still reports whether the setup turns and shifts nothing.
func (s Setup) Still() bool { return s.Turn == 0 && s.X == 0 && s.Y == 0 }

// Machine returns where a place of the blank lies on the machine.
func (s Setup) Machine(p r3.Vec) r3.Vec {
	q := turned(p, s.Turn)
	return r3.Vec{X: q.X + s.X, Y: q.Y + s.Y, Z: q.Z}
}

// Blank returns the place of the blank that lies at a place of the machine.
func (s Setup) Blank(p r3.Vec) r3.Vec {
	return turned(r3.Vec{X: p.X - s.X, Y: p.Y - s.Y, Z: p.Z}, -s.Turn)
}

// turned turns a place about the origin; by nothing it leaves every bit alone.
func turned(p r3.Vec, degrees int) r3.Vec {
	if degrees == 0 {
		return p
	}
	c, n := dish.UnitVector(degrees)
	return r3.Vec{X: float64(c*p.X) - float64(n*p.Y), Y: float64(n*p.X) + float64(c*p.Y), Z: p.Z}
}

// OnBlank returns a move of the machine as the blank sees it. ok is false where that
// cannot be said as one move: an arc in an upright plane, turned by anything but half
// a turn; and a slanting move to a place of which X or Y alone is known.
func (s Setup) OnBlank(m Move) (out Move, ok bool) { return m.placed(s.Blank, -s.Turn) }

// OnMachine is the reverse of OnBlank.
func (s Setup) OnMachine(m Move) (out Move, ok bool) { return m.placed(s.Machine, s.Turn) }

// placed moves a move's places; turn is by how much they are turned.
func (m Move) placed(place func(r3.Vec) r3.Vec, turn int) (Move, bool) {
	before := m
	m.From, m.To = place(m.From), place(m.To)
	if m.Kind != Arc {
		return m, before.seenAs(m)
	}
	m.Centre = place(m.Centre)
	switch {
	case m.Plane == XY || turn == 0:
		return m, true
	case turn%180 == 0: // seen from the other end of the plane's normal
		m.Clockwise = !m.Clockwise
		return m, true
	}
	return m, false
}

// StandsIn reports whether something stands there in a setup.
func (o Obstacle) StandsIn(s Setup) bool { return o.In == 0 || s.Number == 0 || o.In == s.Number }

// Obstacle returns something that stands on the machine as the blank sees it.
func (s Setup) Obstacle(o Obstacle) Obstacle { return o.placed(s.Blank) }

// ObstacleOnMachine returns something that stands on the blank as the machine sees it.
func (s Setup) ObstacleOnMachine(o Obstacle) Obstacle { return o.placed(s.Machine) }

func (o Obstacle) placed(place func(r3.Vec) r3.Vec) Obstacle {
	a, b := place(r3.Vec{X: o.X, Y: o.Y}), place(r3.Vec{X: o.X + o.DX, Y: o.Y + o.DY})
	o.X, o.Y = a.X, a.Y
	if o.DX != 0 || o.DY != 0 {
		o.DX, o.DY = b.X-a.X, b.Y-a.Y
	}
	return o
}
