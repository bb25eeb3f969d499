package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
)

// lie is what the proof says too well of a deceit.
type lie struct {
	of         Kind
	true, told float64 // mm
	x, y       float64
	where      string
}

func (l lie) over() float64 { return l.true - l.told }

func (l lie) String() string {
	return fmt.Sprintf("%s: truly %.5f mm at X%.4f Y%.4f (%s), told %.5f", l.of, l.true, l.x, l.y, l.where, l.told)
}

// says returns what is said of programs, all but the scallop.
func (d *deceit) says() Result {
	cuts, in := make([]Cut, len(d.programs)), make([]*programExtras, len(d.programs))
	for i, p := range d.programs {
		cuts[i], in[i] = Cut{p.Cutter, p.Path.Moves}, &programExtras{limits: d.limits, program: p}
	}
	return checkPrograms(d.limits, d.programs, cuts, in)
}

// found reports whether something of one of the kinds is found in a program.
func found(r Result, program string, kinds ...Kind) bool {
	for _, f := range r.Findings {
		for _, k := range kinds {
			if f.Kind == k && f.Program == program {
				return true
			}
		}
	}
	return false
}

// judgeWood holds what is said of bites, traverses, plunges and contacts against what
// the programs do: first at places drawn along them, then about the worst of those.
func (d *deceit) judgeWood(a adversary) (lies []lie) {
	said := d.says()
	var columns []column
	add := func(x, y float64) { columns = append(columns, column{x: x, y: y}) }
	for range 60 {
		x, y := d.besideMove(a)
		add(x, y)
	}
	var worst []deeds
	for round := range 2 {
		now := d.carry(columns)
		if round == 0 {
			worst = now
			columns = nil
			for _, w := range worst {
				for _, c := range []claim{w.bite, w.traverse, w.plunge, w.contact} {
					for range 8 {
						if c.amount > 0 {
							add(c.x+a.NormFloat64()*0.3, c.y+a.NormFloat64()*0.3)
						}
					}
				}
			}
			continue
		}
		for i := range now {
			for _, c := range []struct{ to, from *claim }{{&worst[i].bite, &now[i].bite}, {&worst[i].traverse, &now[i].traverse},
				{&worst[i].plunge, &now[i].plunge}, {&worst[i].contact, &now[i].contact}} {
				if c.from.amount > c.to.amount {
					*c.to = *c.from
				}
			}
		}
	}
	for i, w := range worst {
		p := d.programs[i]
		hold := func(k Kind, c claim, bound float64, kinds ...Kind) {
			if c.amount > bound && !found(said, p.Name, kinds...) {
				lies = append(lies, lie{k, c.amount, bound, c.x, c.y, fmt.Sprintf("%s:%d, not found", p.Name, c.line)})
			}
		}
		allowed := math.Min(p.Cutter.DepthOfCut, p.Cutter.FluteLength)
		hold(KindBite, w.bite, allowed+biteTolerance, KindBite)
		if i < len(said.Bites) && w.bite.amount > said.Bites[i]+biteTolerance {
			lies = append(lies, lie{KindBite, w.bite.amount, said.Bites[i], w.bite.x, w.bite.y, fmt.Sprintf("%s:%d", p.Name, w.bite.line)})
		}
		hold(KindTraverse, w.traverse, mostSlack+sameHeight, KindTraverse)
		// What goes down now by feeds, now by traverses may take the slack of either.
		hold(KindRamp, w.plunge, (1+coreSlackFactor)*mostSlack, KindRamp, KindTraverse)
		hold(KindContact, w.contact, biteTolerance, KindContact)
	}
	return lies
}

// sameHeight is how far two evaluations of one height may differ, mm.
const sameHeight = 1e-6

// mostSlack is the most that the field may take for its own excess, mm.
const mostSlack = 0.15

// besideMove draws a place where some move may cut.
func (d *deceit) besideMove(a adversary) (x, y float64) {
	p := d.programs[len(d.programs)-1]
	if len(d.programs) > 1 && a.often(10) {
		p = d.programs[a.IntN(len(d.programs)-1)]
	}
	m := p.Path.Moves[a.IntN(len(p.Path.Moves))]
	v := m.To
	if known3(m.From) && known3(m.To) && (m.Kind != path.Arc || known3(m.Centre)) {
		v = placeOf(m, a.Float64())
	}
	sin, cos := math.Sincos(a.within(0, 2*math.Pi))
	u := p.Cutter.Diameter / 2
	switch a.IntN(3) {
	case 0:
		u *= a.Float64()
	case 1:
		u *= math.Sqrt(a.Float64())
	default:
		u *= 1 + 0.1*a.NormFloat64()
	}
	return v.X + u*cos, v.Y + u*sin
}
