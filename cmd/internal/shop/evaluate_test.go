package shop_test

import (
	"fmt"
	"math"

	"dishwright/machines"
)

// wanted is what programs are held against, stated by the tests themselves:
// nothing of it comes from the plan.
type wanted struct {
	face    globe // of the wood
	board   board
	floor   float64
	pins    []pin
	bed     bool // Z0 on the bed
	machine machines.Machine
	tools   map[string]tool // by name
	scallop float64
	tilt    float64 // of the spindle, rise over length
	// undersize is what the cutters lack of their diameters, mm.
	undersize float64
}

// verdict is what an evaluation found.
type verdict struct {
	ridge     high
	points    int
	gouge     float64 // 0 where nothing is missing
	bite      float64 // deepest of all
	cutLength float64 // of G1 to G3, mm
	faults    []string
}

// evaluate reads the texts of a job's programs in running order and finds out
// what they do and leave, by dense points alone. It shares nothing with the
// code that planned, wrote or proved them.
func evaluate(w wanted, texts [][]byte, points int) verdict {
	v, what := w.carryOut(texts, make([]laid, len(texts)))
	v.search(w, what, points)
	return v
}

// search looks for the highest scallop that is left, the spindle leaning one way or
// another.
func (v *verdict) search(w wanted, what *left, points int) {
	v.ridge.over, v.points = math.Inf(-1), 0
	ways := w.leans()
	for i, way := range ways {
		what.stand(way)
		top, n := what.highest((points+len(ways)-1)/len(ways), uint64(i+1))
		if v.points += n; top.over > v.ridge.over {
			v.ridge = top
		}
	}
	if v.ridge.over > w.scallop {
		v.faults = append(v.faults, fmt.Sprintf("a scallop of %.5f mm at X%.3f Y%.3f, over %.5f", v.ridge.over, v.ridge.x, v.ridge.y, w.scallop))
	}
}

// carryOut runs the texts, each on the blank as it lies then, and returns what they
// leave.
func (w wanted) carryOut(texts [][]byte, lies []laid) (v verdict, what *left) {
	what = newLeft(w.face)
	stock := newColumns(w.board)
	rise := 0.0
	if w.bed {
		rise = -w.board.thickness
	}
	scripts, wrong := make([]script, len(texts)), make([]error, len(texts))
	for i, text := range texts {
		scripts[i], wrong[i] = readScript(text, rise)
		w.face.corner = math.Max(w.face.corner, w.tools[scripts[i].cutter].corner)
	}
	for i, s := range scripts {
		fault := func(err error) {
			if err != nil {
				v.faults = append(v.faults, fmt.Sprintf("program %d: %v", i+1, err))
			}
		}
		fault(wrong[i])
		c, ok := w.tools[s.cutter]
		if !ok {
			fault(fmt.Errorf("no cutter %q", s.cutter))
			continue
		}
		fault(rules(s, w.machine, w.pins))
		fault(limits(s, w.machine, c, w.board, w.floor))
		for k := range s.steps {
			s.steps[k].motion = lies[i].onBlank(s.steps[k].motion)
		}
		fault(clear(w.pins, w.machine, c, s.steps))
		gouge, line := w.face.deepest(c, s.steps)
		if v.gouge = math.Max(v.gouge, gouge); gouge > same {
			fault(fmt.Errorf("line %d: a gouge of %.5f mm", line, gouge))
		}
		what.add(c.worn(w.undersize), v.cut(stock, c, s, fault))
	}
	return v, what
}

// laid is how a blank lies on the machine: a place p of it at Rot(turn) p + (x, y), as
// make --json says it. Degrees counter-clockwise, mm. wrong is what the machine does
// other than it is told.
type laid struct {
	turn, x, y float64
	wrong      crooked
}

// crooked is a machine whose axes go too far by their shares, whose Y leans to +X, on
// which the blank's top lies in a plane, below the height high.
type crooked struct{ sx, sy, sz, lean, zero, a, b, c, high float64 }

// goes returns where the tip goes that is told to go to p, from the blank's top; on a way
// that slants, whatever the height.
func (k crooked) goes(p point, slants bool) point {
	if k == (crooked{}) {
		return p
	}
	x, y, z := p[0], p[1], p[2]
	q := point{x + k.sx*x + k.lean*(y+k.sy*y), y + k.sy*y, z}
	if slants || !(z >= k.high-1e-7) {
		q[2] = k.zero + (z - k.zero) + k.sz*(z-k.zero) - (k.a*x + k.b*y + k.c)
	}
	return q
}

// onBlank returns a straight motion of the machine as the blank sees it.
func (l laid) onBlank(m motion) motion {
	if l == (laid{}) {
		return m
	}
	sin, cos := math.Sincos(-l.turn * math.Pi / 180)
	slants := m.from[2] != m.to[2] && m.from != point{m.to[0], m.to[1], m.from[2]}
	place := func(p point) point {
		p = l.wrong.goes(p, slants)
		x, y := p[0]-l.x, p[1]-l.y
		return point{x*cos - y*sin, x*sin + y*cos, p[2]}
	}
	m.from, m.to = place(m.from), place(m.to)
	return m
}

// cut runs a program through the columns and returns the pieces that cut.
func (v *verdict) cut(stock *columns, c tool, s script, fault func(error)) []sweep {
	var all []sweep
	for k, st := range s.steps {
		if st.what != "move" || math.IsNaN(st.from[0]) {
			continue
		}
		pieces := st.sweeps(k, c)
		down := st.from[2] - st.to[2]
		steep := math.Atan2(down, math.Hypot(st.to[0]-st.from[0], st.to[1]-st.from[1])) * 180 / math.Pi
		ramps := st.g == 1 && steep > c.ramp
		bite, core, pressed := stock.run(pieces, c, ramps)
		if st.g == 0 {
			if bite > same {
				fault(fmt.Errorf("line %d: a traverse bites %.4f mm", st.line, bite))
			}
			continue
		}
		v.cutLength += st.long()
		all = append(all, pieces...)
		if v.bite = math.Max(v.bite, bite); bite > c.depth {
			fault(fmt.Errorf("line %d: a bite of %.4f mm, more than %.4f", st.line, bite, c.depth))
		}
		// A round is made of chords that leave its circle by up to 0.05 mm: a plunge into
		// it may meet what the cutter's edge rises over as much.
		if ramps && core > same+c.edge(c.core)-c.edge(c.core-0.05) {
			fault(fmt.Errorf("line %d: down at %.3f degrees with %.4f mm of stock under the core", st.line, steep, core))
		}
		// A way down that turns back leaves every place after four times the core's radius.
		if may := 4 * c.core * math.Tan(c.ramp*math.Pi/180); pressed > may+same {
			fault(fmt.Errorf("line %d: the core, %.4f mm deep in what it never left, may be %.4f", st.line, pressed, may))
		}
	}
	if len(v.faults) > 20 {
		v.faults = append(v.faults[:20], "and more")
	}
	return all
}
