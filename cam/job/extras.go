package job

import (
	"fmt"
	"math"
	"slices"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// usualTabHigh is the height of a tab: common practice.
	usualTabHigh = 3.0
	// usualLand is the flat ring round the rim of a dish that is cut out.
	usualLand = 10.0
)

// extras reads what the job asks for beside the face.
func (l *Reader) extras(w *work.Work) {
	land, stated := l.Root.Amount("land"), l.Root.Has("land")
	if stated {
		if in := w.Blank.InnerRadius() - w.Face.Rim - land; w.Face.Rim > 0 && w.Blank.Length > 0 && w.Round() && in < 0 {
			l.Root.Fault("land", fmt.Sprintf("a land of %s reaches %s beyond the blank", l.writes(land), l.writes(math.Ceil(-in*1000)/1000)), "a narrower land, or a larger blank")
		}
	}
	m, ok := l.Root.Section("extras")
	if !ok {
		return
	}
	l.centreHole(m, w)
	l.centreLines(m, w)
	l.holes(m, w)
	l.cutOut(m, w, land, stated)
}

// onShelf reads the name of a cutter of the shelf, or a word that may stand for one; empty
// where there is none.
func (l *Reader) onShelf(m *keys.Section, key string, w *work.Work, words ...string) string {
	name := m.Text(key)
	names := words
	for _, c := range w.Shelf {
		names = append(names, c.Name)
	}
	if name == "" || slices.Contains(names, name) {
		return name
	}
	m.Fault(key, fmt.Sprintf("no cutter named %s is on the shelf", measure.Quote(name)), strict.Suggest(name, names, "write one of"))
	return ""
}

// depthOf reads how deep a hole goes; 0 is through.
func (l *Reader) depthOf(m *keys.Section, w *work.Work) float64 {
	d := m.Amount("depth")
	if t := w.Blank.Thickness; t > 0 && d >= t {
		m.Fault("depth", "that goes through the blank", "leave depth out: the hole then goes through, into a board of waste")
		return 0
	}
	return d
}

func (l *Reader) centreHole(m *keys.Section, w *work.Work) {
	if d, in, ok := m.Main("centre hole", "diameter"); ok {
		h := work.HoleWanted{Name: "the centre hole", Key: work.KeyCentreHole, Diameter: d, Depth: l.depthOf(in, w), Cutter: l.onShelf(in, "cutter", w)}
		if d > 0 {
			w.Extras.Holes = append(w.Extras.Holes, h)
		}
	}
}

func (l *Reader) centreLines(m *keys.Section, w *work.Work) {
	if d, in, ok := m.Main("centre lines", "depth"); ok {
		// The covering would hide what is scribed on the face.
		lines := &work.LinesWanted{Key: "extras/centre lines", Face: w.Covering == 0, Depth: d, Cutter: l.onShelf(in, "cutter", w)}
		if d > 0 {
			w.Extras.Lines = lines
		}
	}
}

// holes reads holes on circles: for bolts, or for vacuum.
func (l *Reader) holes(m *keys.Section, w *work.Work) {
	m.EachSection("holes", func(i int, in *keys.Section) {
		d, round := in.Amount("diameter"), measure.Length{}
		if in.Has("circle") {
			round, _ = in.Length("circle")
		}
		circle := round.MM
		n, ok := in.Count("count")
		from, depth, cutter := in.Amount("from"), l.depthOf(in, w), l.onShelf(in, "cutter", w)
		count, across := measure.Count(n, "hole"), round
		most := int(in.Key("count").Most)
		switch {
		case !ok:
		case len(w.Extras.Holes)+n > most:
			in.Fault("count", count, fmt.Sprintf("1 to %d in all", most))
		case d > 0 && circle > 0 && n > 1 && circle*math.Sin(math.Pi/float64(n)) < d+1:
			in.Fault("count", fmt.Sprintf("%s of %s run into one another on a circle of %s", count, l.writes(d), across), "fewer or smaller holes, or a larger circle")
		default:
			for k := range n {
				sin, cos := math.Sincos(from + 2*math.Pi*float64(k)/float64(n))
				w.Extras.Holes = append(w.Extras.Holes, work.HoleWanted{Name: fmt.Sprintf("hole %d of %d on a circle of %s", k+1, n, across), Group: fmt.Sprintf("%s on a circle of %s", count, across),
					Key: work.Key(fmt.Sprintf("extras/holes/%d", i)), X: tenth(float64(circle / 2 * cos)), Y: tenth(float64(circle / 2 * sin)), Diameter: d, Depth: depth, Cutter: cutter})
			}
		}
	})
}

// tenth rounds to a ten-thousandth of a millimetre: the library's sine may differ in
// its last digit between machines.
func tenth(v float64) float64 { return math.Round(v*1e4)/1e4 + 0 }

// cutOut reads the cut-out: its shape, its size and its tabs.
func (l *Reader) cutOut(m *keys.Section, w *work.Work, land float64, stated bool) {
	flat := m.Amount("index flat")
	if !m.Has("cut out") {
		if m.Has("index flat") {
			m.Fault("index flat", "an index flat is cut with the edge, and nothing is cut out", "cut out: {tabs: 4} beside it")
		}
		return
	}
	in, ok := m.Section("cut out")
	if !ok {
		return
	}
	o := work.CutOutWanted{Name: "the cut-out", Key: "extras/cut out", TabLength: in.Amount("tab length"), TabHeight: usualTabHigh, Cutter: l.onShelf(in, "cutter", w)}
	tabs, ok := in.Count("tabs")
	if !ok {
		return
	}
	if in.Has("tab height") {
		o.TabHeight = in.Amount("tab height")
	} else if t := w.Blank.Thickness; t > 0 {
		o.TabHeight = min(usualTabHigh, t/2)
	}
	if !stated {
		if land = usualLand; !w.Round() {
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
func (l *Reader) cutLine(in *keys.Section, w *work.Work, land, flat float64, stated bool) (line []r2.Vec, bad bool) {
	if w.Face.Rim <= 0 {
		return nil, true
	}
	if !w.Round() {
		for _, k := range [...]string{"shape", "diameter", "size"} {
			if in.Has(k) {
				in.FaultAtKey(k, "a board is cut out along its own length and width", l.like("land: 5 mm")+" leaves a flat margin round it")
				return nil, true
			}
		}
		if flat > 0 {
			l.Root.Fault("extras", "a board has no index flat: its edge is straight", "remove it")
			return nil, true
		}
		long, wide := w.Region.Size()
		x, y := long/2+land, wide/2+land
		return []r2.Vec{{X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}, {X: -x, Y: -y}}, false
	}
	shape := in.Word("shape")
	half := w.Face.Rim + land
	key := map[string]string{"round": "diameter", "square": "size", "octagon": "size"}[shape]
	for _, k := range [...]string{"diameter", "size"} {
		switch {
		case in.Has(k) && key != k && shape != "":
			in.FaultAtKey(k, fmt.Sprintf("a %s cut-out has no %s", shape, k), "a round one has a diameter, a square or an octagon a size")
			return nil, true
		case in.Has(k):
			v := in.Amount(k)
			if v > 0 && v/2 < w.Face.Rim-1e-9 {
				in.Fault(k, fmt.Sprintf("a cut-out of %s runs through the face of %s", l.writes(v), l.writes(2*w.Face.Rim)), "more than the diameter of the face")
				return nil, true
			}
			if v > 0 && stated && v/2 < w.Face.Rim+land-1e-9 {
				in.Fault(k, fmt.Sprintf("a cut-out of %s leaves less than the land of %s", l.writes(v), l.writes(land)), "a larger one, or a narrower land")
				return nil, true
			}
			half = v / 2
		}
	}
	if shape == "" || half <= 0 {
		return nil, true
	}
	outline := outlines[shape]
	line, err := dish.EdgeLine(outline, half, flat)
	if err != nil {
		in.Fault("shape", l.tells(err), l.like("index flat: 60 mm"))
		return nil, true
	}
	if outline == dish.Round && flat > 0 && dish.FlatDistance(half, flat) < w.Face.Rim {
		in.Fault("shape", fmt.Sprintf("an index flat of %s cuts into the face", l.writes(flat)), "a shorter flat, or a wider land")
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
