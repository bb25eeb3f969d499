package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/machines"
)

// MachinePart is the part of the machine that touches standing stock.
type MachinePart uint8

// The parts above the flutes.
const (
	NoPart MachinePart = iota
	Shank
	Holder
	Hood
)

func (p MachinePart) String() string { return [...]string{"nothing", "shank", "holder", "hood"}[p] }

// Contact is standing stock met by a part above the flutes.
type Contact struct {
	MachinePart MachinePart
	Amount      float64 // how high the stock stands above the part's lower end, mm, an upper bound
	X, Y        float64 // where, mm
}

// Contact returns what a move would run into above the cutter's flutes, compared
// with what stands before it: the shank, where it is wider than the cutter, from
// the flutes' end up; the holder and the hood from their lower ends up. Of several the
// highest contact is returned; the zero value where there is none of more than 0.02 mm
// (biteTolerance). A length of 0 is not known, and not checked.
func (s *Stock) Contact(c path.Cutter, m path.Move, machine machines.Machine) Contact {
	var most Contact
	check := func(part MachinePart, diameter, above float64) {
		if !(above > 0) || !(diameter > 0) || min(lowestTip(m), m.To.Z)+above >= s.top {
			return
		}
		d, x, y := s.deepestPlain(path.Cutter{Shape: path.Flat, Diameter: diameter}, m, above)
		if breaks(d, max(biteTolerance, most.Amount)) {
			most = Contact{part, d, x, y}
		}
	}
	if c.Shank > c.Diameter {
		check(Shank, c.Shank, c.FluteLength)
	}
	check(Holder, machine.Holder.Diameter, c.StickOut)
	if machine.Hood != nil {
		check(Hood, machine.Hood.Diameter, machine.Hood.AboveTip)
	}
	if s.far != nil {
		if t := s.far.Contact(c, m, machine); t.Amount > most.Amount {
			return t
		}
	}
	return most
}

// lowestTip returns a lower bound of the tip's height in a move.
func lowestTip(m path.Move) float64 {
	z := min(m.From.Z, m.To.Z)
	if m.Kind == path.Arc && m.Plane != path.XY {
		_, r0, r1 := m.Sweep()
		z = min(z, m.Centre.Z-max(r0, r1))
	}
	if math.IsNaN(z) {
		return math.Inf(-1)
	}
	return z
}
