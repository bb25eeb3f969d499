package job

import (
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	leastHole, mostHole = 1.0, 200.0
	mostHoles           = 200
	mostTabs            = 50
	leastTab, mostTab   = 3.0, 50.0
	// usualTab and usualTabHigh are the length and height of a tab: common practice.
	usualTab, usualTabHigh = 9.0, 3.0
	// usualLand is the flat ring round the rim of a dish that is cut out.
	usualLand = 10.0
	mostLand  = 500.0
)

// extras reads what the job asks for beside the face.
func (l *loader) extras(w *cam.Work) {
	land, stated := 0.0, l.root.Has("land")
	if stated {
		land = l.mm(l.root, "land", 0, mostLand)
		if in := w.Blank.InnerRadius() - w.Face.Rim - land; w.Face.Rim > 0 && w.Blank.Length > 0 && w.Board == nil && in < 0 {
			l.fault(l.root, "land", fmt.Sprintf("a land of %s reaches %s beyond the blank", measure.Length{MM: land}, measure.Length{MM: math.Ceil(-in*1000) / 1000}), "a narrower land, or a larger blank")
		}
	}
	if !l.root.Has("extras") {
		return
	}
	m, ok := l.root.Map("extras")
	if !ok {
		return
	}
	l.mark("extras/", m)
	m.Allow(key.Under("extras")...)
	l.centreHole(m, w)
	l.centreLines(m, w)
	l.holes(m, w)
	l.cutOut(m, w, land, stated)
}

// cutterFor reads the cutter that an extra names; empty where it names none.
func (l *loader) cutterFor(m *strict.Map, w *cam.Work) string {
	if !m.Has("cutter") {
		return ""
	}
	name, ok := m.Text("cutter")
	if !ok {
		return ""
	}
	var names []string
	for _, c := range w.Shelf {
		if c.Name == name {
			return name
		}
		names = append(names, c.Name)
	}
	l.fault(m, "cutter", fmt.Sprintf("no cutter named %s is on the shelf", measure.Quote(name)), strict.Suggest(name, names, "write one of"))
	return ""
}

// mapOr reads a key whose value is a map, or a length that stands for its main key.
func (l *loader) mapOr(m *strict.Map, key string) (inner *strict.Map, isMap bool) {
	v, ok := m.Value(key)
	if !ok {
		return nil, false
	}
	if !v.IsMap() {
		return nil, false
	}
	inner, _ = v.Map()
	return inner, true
}

// depthOf reads how deep a hole goes; 0 is through.
func (l *loader) depthOf(m *strict.Map, w *cam.Work) float64 {
	if !m.Has("depth") {
		return 0
	}
	d := l.mm(m, "depth", 0.1, mostThick)
	if t := w.Blank.Thickness; t > 0 && d >= t {
		l.fault(m, "depth", "that goes through the blank", "leave depth out: the hole then goes through, into a board of waste")
		return 0
	}
	return d
}

func (l *loader) centreHole(m *strict.Map, w *cam.Work) {
	if !m.Has("centre hole") {
		return
	}
	h := cam.HoleWanted{Name: "the centre hole", Key: cam.KeyCentreHole}
	if in, ok := l.mapOr(m, "centre hole"); ok {
		if in == nil {
			return
		}
		in.Allow(key.Under("extras/centre hole")...)
		in.Require("diameter", "6 mm")
		h.Diameter, h.Depth, h.Cutter = l.mm(in, "diameter", leastHole, mostHole), l.depthOf(in, w), l.cutterFor(in, w)
	} else {
		h.Diameter = l.mm(m, "centre hole", leastHole, mostHole)
	}
	if h.Diameter > 0 {
		w.Extras.Holes = append(w.Extras.Holes, h)
	}
}

func (l *loader) centreLines(m *strict.Map, w *cam.Work) {
	if !m.Has("centre lines") {
		return
	}
	// The covering would hide what is scribed on the face.
	lines := &cam.LinesWanted{Key: "extras/centre lines", Face: w.Covering == 0}
	if in, ok := l.mapOr(m, "centre lines"); ok {
		if in == nil {
			return
		}
		in.Allow(key.Under("extras/centre lines")...)
		in.Require("depth", "0.3 mm")
		lines.Depth, lines.Cutter = l.mm(in, "depth", 0.05, 2), l.cutterFor(in, w)
	} else {
		lines.Depth = l.mm(m, "centre lines", 0.05, 2)
	}
	if lines.Depth > 0 {
		w.Extras.Lines = lines
	}
}

// holes reads holes on circles: for bolts, or for vacuum.
func (l *loader) holes(m *strict.Map, w *cam.Work) {
	if !m.Has("holes") {
		return
	}
	list, ok := m.List("holes")
	if !ok {
		return
	}
	for i, v := range list {
		in, ok := v.Map()
		if !ok {
			continue
		}
		in.Allow(key.Under("extras/holes/#")...)
		in.Require("diameter", "6 mm")
		in.Require("circle", "480 mm")
		in.Require("count", "6")
		key := fmt.Sprintf("extras/holes/%d", i)
		l.job.places[key] = in.OwnPos()
		d, circle := l.mm(in, "diameter", leastHole, mostHole), l.mm(in, "circle", 1, mostBlank)
		n, ok := in.Int("count")
		if !ok {
			continue
		}
		if n < 1 || n > mostHoles || len(w.Extras.Holes)+n > mostHoles {
			l.fault(in, "count", measure.Count(n, "hole"), fmt.Sprintf("1 to %d in all", mostHoles))
			continue
		}
		from := 0.0
		if in.Has("from") {
			from, _ = in.Angle("from")
		}
		depth, cutter := l.depthOf(in, w), l.cutterFor(in, w)
		if d > 0 && circle > 0 && n > 1 && circle*math.Sin(math.Pi/float64(n)) < d+1 {
			l.fault(in, "count", fmt.Sprintf("%s of %s run into one another on a circle of %s", measure.Count(n, "hole"), measure.Length{MM: d}, measure.Length{MM: circle}), "fewer or smaller holes, or a larger circle")
			continue
		}
		for k := range n {
			sin, cos := math.Sincos(from + 2*math.Pi*float64(k)/float64(n))
			w.Extras.Holes = append(w.Extras.Holes, cam.HoleWanted{Name: fmt.Sprintf("hole %d of %d on a circle of %s", k+1, n, measure.Length{MM: circle}),
				Group: fmt.Sprintf("%s on a circle of %s", measure.Count(n, "hole"), measure.Length{MM: circle}),
				Key:   cam.Key(key), X: tenth(float64(circle / 2 * cos)), Y: tenth(float64(circle / 2 * sin)), Diameter: d, Depth: depth, Cutter: cutter})
		}
	}
}

// tenth rounds to a ten-thousandth of a millimetre: the library's sine may differ in
// its last digit between machines.
func tenth(v float64) float64 { return math.Round(v*1e4)/1e4 + 0 }

// cutOut reads the cut-out: its shape, its size and its tabs.
func (l *loader) cutOut(m *strict.Map, w *cam.Work, land float64, stated bool) {
	flat := l.mm(m, "index flat", 5, mostBlank)
	if !m.Has("cut out") {
		if m.Has("index flat") {
			l.fault(m, "index flat", "an index flat is cut with the edge, and nothing is cut out", "cut out: {tabs: 4} beside it")
		}
		return
	}
	in, ok := m.Map("cut out")
	if !ok {
		return
	}
	in.Allow(key.Under("extras/cut out")...)
	o := cam.CutOutWanted{Name: "the cut-out", Key: "extras/cut out", TabLength: usualTab, TabHeight: usualTabHigh, Cutter: l.cutterFor(in, w)}
	tabs := 4
	if in.Has("tabs") {
		n, ok := in.Int("tabs")
		if ok && (n < 2 || n > mostTabs) {
			l.fault(in, "tabs", measure.Count(n, "tab")+" cannot hold what is cut out", fmt.Sprintf("2 to %d; 3 to 8 are usual", mostTabs))
			return
		}
		tabs = n
	}
	if in.Has("tab length") {
		o.TabLength = l.mm(in, "tab length", leastTab, mostTab)
	}
	if in.Has("tab height") {
		o.TabHeight = l.mm(in, "tab height", 0.3, mostTab)
	} else if t := w.Blank.Thickness; t > 0 {
		o.TabHeight = min(usualTabHigh, t/2)
	}
	if !stated {
		if land = usualLand; w.Board != nil {
			land = 0
		}
	}
	line, bad := l.cutLine(in, w, land, flat, stated)
	if bad {
		return
	}
	o.Line = line
	o.Tabs = tabPlaces(line, tabs)
	w.Extras.CutOuts = append(w.Extras.CutOuts, o)
}

// cutLine works out the line of a cut-out; bad where it has said what is wrong.
func (l *loader) cutLine(in *strict.Map, w *cam.Work, land, flat float64, stated bool) (line []r2.Vec, bad bool) {
	if w.Face.Rim <= 0 {
		return nil, true
	}
	if w.Board != nil {
		for _, k := range [...]string{"shape", "diameter", "size"} {
			if in.Has(k) {
				l.doc.Fault(in.KeyPos(k), "a board is cut out along its own length and width", "land: 5 mm leaves a flat margin round it")
				return nil, true
			}
		}
		if flat > 0 {
			l.fault(l.root, "extras", "a board has no index flat: its edge is straight", "remove it")
			return nil, true
		}
		x, y := w.Board.Length/2+land, w.Board.Width/2+land
		return []r2.Vec{{X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}, {X: -x, Y: -y}}, false
	}
	shape := "round"
	if in.Has("shape") {
		shape, _ = in.Word("shape", "round", "square", "octagon")
	}
	half := w.Face.Rim + land
	key := map[string]string{"round": "diameter", "square": "size", "octagon": "size"}[shape]
	for _, k := range [...]string{"diameter", "size"} {
		switch {
		case in.Has(k) && key != k && shape != "":
			l.doc.Fault(in.KeyPos(k), fmt.Sprintf("a %s cut-out has no %s", shape, k), "a round one has a diameter, a square or an octagon a size")
			return nil, true
		case in.Has(k):
			v := l.mm(in, k, leastDiameter, mostBlank)
			if v > 0 && v/2 < w.Face.Rim-1e-9 {
				l.fault(in, k, fmt.Sprintf("a cut-out of %s runs through the face of %s", measure.Length{MM: v}, measure.Length{MM: 2 * w.Face.Rim}), "more than the diameter of the face")
				return nil, true
			}
			if v > 0 && stated && v/2 < w.Face.Rim+land-1e-9 {
				l.fault(in, k, fmt.Sprintf("a cut-out of %s leaves less than the land of %s", measure.Length{MM: v}, measure.Length{MM: land}), "a larger one, or a narrower land")
				return nil, true
			}
			half = v / 2
		}
	}
	if shape == "" || half <= 0 {
		return nil, true
	}
	outline := map[string]dish.BlankShape{"round": dish.Round, "square": dish.Square, "octagon": dish.Octagon}[shape]
	line, err := dish.EdgeLine(outline, half, flat)
	if err != nil {
		l.fault(in, "shape", err.Error(), "index flat: 60 mm")
		return nil, true
	}
	if outline == dish.Round && flat > 0 && dish.FlatDistance(half, flat) < w.Face.Rim {
		l.fault(in, "shape", fmt.Sprintf("an index flat of %s cuts into the face", measure.Length{MM: flat}), "a shorter flat, or a wider land")
		return nil, true
	}
	return line, false
}

// tabPlaces spreads tabs evenly along a closed line, from half a step after its
// first point.
func tabPlaces(line []r2.Vec, n int) (at []r2.Vec) {
	long := 0.0
	for i, p := range line {
		long += r2.Norm(r2.Sub(line[(i+1)%len(line)], p))
	}
	run, k := 0.0, 0
	for i, p := range line {
		d := r2.Sub(line[(i+1)%len(line)], p)
		l := r2.Norm(d)
		for ; k < n; k++ {
			want := (float64(k) + 0.5) * long / float64(n)
			if want > run+l {
				break
			}
			at = append(at, exact.AddScaled2(p, d, (want-run)/l))
		}
		run += l
	}
	return at
}
