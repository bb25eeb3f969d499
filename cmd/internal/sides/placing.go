package sides

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/rim"
)

// Tool is how the rim lies on the dish or the board that it is sanded with.
type Tool struct {
	Takes string `json:"takes"` // what sands the top's face: dish, board, or flat board

	// Of a dish.
	NeededMM float64 `json:"needed_diameter_mm"` // that holds all of the rim with its swing; 0 where no dish does
	LeastMM  float64 `json:"least_circle_mm"`    // on the sphere round the rim; 0 likewise
	LayX     float64 `json:"lay_x_mm"`           // the place of the rim under which the dish's middle lies: from the tail,
	LayY     float64 `json:"lay_y_mm"`           // and off the centre line
	LeanDeg  float64 `json:"lean_deg"`           // how far the rim leans there
	Domed    bool    `json:"domed_part_alone"`   // lies on it, a flat and its blend over the edge?

	// Of a domed part, in the stated dish or else the needed one, with the swing that is told:
	LineMM      float64 `json:"kept_off_from_mm,omitempty"` // from the tail, where the blend begins: the dish's edge stays before it
	UnreachedMM float64 `json:"never_reached_mm"`           // of the rim on one side before that line, the side with more
	PartlyMM    float64 `json:"partly_reached_mm"`          // likewise, what is not in the dish at every stroke

	SwingMM  float64 `json:"swing_mm"`        // asked for, to either side
	Usual    bool    `json:"swing_is_usual"`  // not stated
	NeedsMM  float64 `json:"needed_swing_mm"` // that the needed dish allows: less than asked for where a flat leaves no room for it
	AcrossMM float64 `json:"needed_board_length_mm"`
	SpanMM   float64 `json:"board_span_mm"` // what a board has to reach over, without its swing
	BoardWay string  `json:"board_laid"`    // across or along the body, its length

	// Of the one that the job states, where it states one.
	HasMM      float64    `json:"has_mm,omitempty"`
	OverhangMM float64    `json:"overhang_mm"` // how far the rim reaches beyond it at its best place, 0 where it does not
	Overhangs  []Overhang `json:"overhangs"`   // the stretches that do so in a dish
	ReachMM    float64    `json:"reach_mm"`    // how far it may swing every way and stay on it
	ReachAlong float64    `json:"reach_along_mm"`
	ReachCross float64    `json:"reach_across_mm"`
	Turns      bool       `json:"turns_all_round"`
	UnusedMM   float64    `json:"unused_edge_mm"` // how wide the ring at a dish's edge is that the swing never uses
	Placings   []Placing  `json:"placings"`       // two that hold all of the rim between them, where one does not
	Stretches  int        `json:"board_stretches,omitempty"`

	RadiusMM float64 `json:"radius_mm,omitempty"` // its own, where it is another than the top's
	WorstMM  float64 `json:"radius_error_mm"`     // how far the rim then is off its dome, both ends held
	WorstAt  string  `json:"radius_error_at,omitempty"`
}

// Overhang is a stretch of the outline that lies beyond the dish, at the place where most of it
// does.
type Overhang struct {
	Near     string  `json:"near"` // the named place that is nearest its middle
	X        float64 `json:"x_mm"` // where it goes farthest beyond
	Y        float64 `json:"y_mm"`
	ByMM     float64 `json:"overhang_mm"`
	LengthMM float64 `json:"length_mm"`
}

// Placing is one of two placings of the rim in its dish.
type Placing struct {
	Part    string  `json:"part"`            // of the rim: tail, head, right, left
	LeastMM float64 `json:"least_circle_mm"` // round that part
	LayX    float64 `json:"lay_x_mm"`
	LayY    float64 `json:"lay_y_mm"`
	ReachMM float64 `json:"reach_mm"` // how far it may swing every way and hold the part
}

// rimPoints is how far the points apart lie of which the room of a rim is reckoned, mm.
const rimPoints = 0.5

// blend is how far two placings reach over the line between them, mm: what is sanded in both
// runs over the one into the other.
const blend = 10.0

// laid is the rim on what it is sanded with.
type laid struct {
	tool   job.Tool
	points []r2.Vec // of the outline, that have to lie on it
	off    []r2.Vec // that must not: a flat that stands above the dome, and its blend
	line   float64  // from the tail, where those begin, mm
	most   float64  // half the widest dish that is thought of beside them, mm
	seat   rim.Seat
	dished bool        // does a dish sand it?
	least  rim.Placing // where one does
	needs  lies        // of the smallest dish that it takes
	lies   lies        // in the stated one
	two    [2]lies     // where that does not hold it
	parts  [2]string   // what those are of the rim: tail and head, or right and left
	usual  bool        // is the swing the usual one?
	board  r2.Vec      // a unit vector along a board's length
}

// laid lays the rim on its tool, and sees that the one which the job states sands the top's
// face, and that the rim can lie on it.
func (b *builder) laid(body rim.Body) laid {
	l := laid{tool: b.job.Tool, board: r2.Vec{Y: 1}, dished: body.Top.Kind == rim.Sphere || body.Top.Kind == rim.Plane}
	dome, n := body.Top, len(b.faults)
	b.sandsTop(dome)
	if len(b.faults) > n {
		return l
	}
	if l.ownRadius(dome) {
		if d, err := body.TopInDish(l.tool.Radius); err == nil && d.Radius > d.Extent(body.Outline) {
			dome = d
		}
	}
	l.points, l.off = b.domed(body)
	l.line, l.most = body.DomedTo(), widestDish(dome, body.Outline)
	l.usual = slices.ContainsFunc(b.job.Defaults, func(k keys.Default) bool { return k.Key == "swing" })
	l.seat = dome.Seat(l.points)
	if dome.Kind == rim.CylinderAlong || (l.dished && len(l.off) == 0 && l.seat.Across(r2.Vec{X: 1}) < l.seat.Across(l.board)) {
		l.board = r2.Vec{X: 1}
	}
	if !l.dished {
		return l
	}
	l.least = l.seat.Least()
	l.needs = l.needed()
	if l.tool.Diameter > 0 {
		if l.lies = l.lay(l.seat, l.tool.Diameter/2); !l.lies.holds {
			b.inTwo(&l)
		}
	}
	return l
}

// sandsTop sees that a stated dish or board sands a face of the top's kind.
func (b *builder) sandsTop(top rim.Dome) {
	t := b.job.Tool
	switch {
	case t.Diameter > 0 && top.Kind == rim.CylinderAcross:
		b.fault("dish", "a hollow board laid across the body: board: {length: 500 mm, width: 80 mm}", "a dish sands a sphere, and the top is bent across the body alone")
	case t.Diameter > 0 && top.Kind == rim.CylinderAlong:
		b.fault("dish", "a hollow board laid along the body: board: {length: 600 mm, width: 80 mm}", "a dish sands a sphere, and the top is bent along the body alone")
	case t.Radius > 0 && top.Kind == rim.Plane:
		key := map[bool]string{true: "dish/radius", false: "board/radius"}[t.Diameter > 0]
		b.fault(key, "leave the radius out: any flat board sands it", "the top is flat, and what has a radius sands a dome")
	}
}

// ownRadius reports whether the tool has another radius than the top.
func (l laid) ownRadius(top rim.Dome) bool {
	return l.tool.Radius > 0 && top.Kind != rim.Plane && math.Abs(l.tool.Radius-top.Radius) > 1e-6
}

// needsBoard is the length of the board that it takes with its swing, mm.
func (l laid) needsBoard() float64 {
	return 2 * l.seat.Half(l.seat.Arc(l.seat.Across(l.board))+l.tool.Swing)
}

// room is how far what needs half a length may swing in a tool of another, along the face.
func (l laid) room(half, has float64) float64 { return l.seat.Arc(has/2) - l.seat.Arc(half) }

// tool fills in how the rim lies on its dish or board.
func (w *maker) tool() {
	l := w.laid
	t := Tool{Takes: "dish", SwingMM: l.tool.Swing, Usual: l.usual, AcrossMM: l.needsBoard(), SpanMM: 2 * l.seat.Across(l.board), BoardWay: "across", Domed: len(l.off) > 0, Overhangs: []Overhang{}, Placings: []Placing{}}
	if l.board.X != 0 {
		t.BoardWay = "along"
	}
	switch w.body.Top.Kind {
	case rim.Plane:
		t.Takes = "flat board"
	case rim.CylinderAcross, rim.CylinderAlong:
		t.Takes = "board"
	}
	if l.dished {
		t.NeededMM, t.NeedsMM, t.LeastMM = 2*l.needs.half, l.needs.swing, 2*l.least.Half
		in := l.needs
		if l.tool.Diameter > 0 {
			in = l.lies
		}
		t.LayX, t.LayY, t.LeanDeg = in.at.X, in.at.Y, degrees(l.seat.Lean(in.at))
	}
	w.out.Tool = t
	switch {
	case l.tool.Diameter > 0:
		w.dish(&w.out.Tool)
	case l.tool.Length > 0:
		w.board(&w.out.Tool)
	}
	w.besideFlat(&w.out.Tool)
	if l.ownRadius(w.body.Top) {
		w.otherRadius(&w.out.Tool, l.tool.Radius)
	}
}

// dish fills in how it lies in the stated dish.
func (w *maker) dish(t *Tool) {
	l, half := w.laid, w.laid.tool.Diameter/2
	t.HasMM = l.tool.Diameter
	if !l.lies.holds {
		w.placings(t)
		return
	}
	t.Turns = true
	t.ReachMM = max(0, l.lies.swing)
	t.ReachAlong, t.ReachCross = t.ReachMM, t.ReachMM
	if t.Domed {
		return
	}
	t.ReachAlong = max(t.ReachMM, l.seat.Reach(l.least.At, r2.Vec{X: 1}, half))
	t.ReachCross = max(t.ReachMM, l.seat.Reach(l.least.At, r2.Vec{Y: 1}, half))
	t.UnusedMM = max(0, half-l.seat.Half(l.seat.Arc(l.least.Half)+min(t.SwingMM, t.ReachMM)))
	w.swings(t, measure.Say("a dish %v across", measure.Enough(t.NeededMM, 0)))
}

// placings fills in the two in a dish that does not hold the rim in one.
func (w *maker) placings(t *Tool) {
	l, half := w.laid, w.laid.tool.Diameter/2
	t.OverhangMM = max(0, l.least.Half-half)
	for i, p := range l.two {
		t.Placings = append(t.Placings, Placing{Part: l.parts[i], LeastMM: 2 * p.least, LayX: p.at.X, LayY: p.at.Y, ReachMM: p.swing})
	}
	says := measure.Say("%s is %v across, the dish %v: wherever the rim lies, some of it overhangs", circle(t.Domed), measure.Enough(t.LeastMM, 0), mm(t.HasMM))
	if t.Domed {
		t.LayX, t.LayY = t.Placings[0].LayX, t.Placings[0].LayY
		says = measure.Say("the dish, %v across, does not hold enough of the rim's domed part in one placing that keeps the blend off it", mm(t.HasMM))
	} else {
		t.Overhangs = w.overhangs(half)
	}
	or := measure.Say("or ")
	if t.NeededMM > 0 {
		or = measure.Say("or a dish %v across, or ", measure.Enough(t.NeededMM, 0))
	}
	a, b := t.Placings[0], t.Placings[1]
	w.out.Warnings = append(w.out.Warnings, work.Warning{Kind: "tool-too-small", Message: says,
		Hint: measure.Say("sand it in two placings, the dish's middle under %v, then under %v; %va board %v long",
			measure.At(a.LayX, a.LayY), measure.At(b.LayX, b.LayY), or, measure.Enough(t.AcrossMM, 0))})
}

// board fills in how it lies under the stated board.
func (w *maker) board(t *Tool) {
	l := w.laid
	t.HasMM = l.tool.Length
	t.OverhangMM = max(0, (t.SpanMM-t.HasMM)/2)
	t.ReachMM = max(0, l.room(t.SpanMM/2, t.HasMM))
	other := r2.Vec{X: l.board.Y, Y: l.board.X}
	t.Stretches = int(math.Ceil(2 * l.seat.Across(other) / l.tool.Width))
	t.ReachAlong, t.ReachCross = t.ReachMM, 0
	if t.BoardWay == "across" {
		t.ReachAlong, t.ReachCross = 0, t.ReachMM
	}
	if t.OverhangMM <= hardly {
		w.swings(t, measure.Say("a board %v long", measure.Enough(t.AcrossMM, 0)))
		return
	}
	or := measure.Say("")
	if t.NeededMM > 0 && t.Takes == "dish" {
		or = measure.Say(", or a dish %v across", measure.Enough(t.NeededMM, 0))
	}
	w.out.Warnings = append(w.out.Warnings, work.Warning{Kind: "tool-too-small",
		Message: measure.Say("the board, %v long, does not reach from edge to edge where they lie %v apart %s the body", mm(t.HasMM), measure.Enough(t.SpanMM, 0), t.BoardWay),
		Hint:    measure.Say("a board %v long%v: on one edge alone nothing holds its slope", measure.Enough(t.AcrossMM, 0), or)})
}

// swings warns where the rim may swing less than is asked for.
func (w *maker) swings(t *Tool, larger measure.Said) {
	if t.ReachMM < t.SwingMM-hardly {
		w.out.Warnings = append(w.out.Warnings, work.Warning{Kind: "swing",
			Message: measure.Say("it may swing %v to either side, not the %v", measure.Most(t.ReachMM, 0), t.asked()),
			Hint:    measure.Say("swing it no farther than that, or %v", larger)})
	}
}

// overhangs are the stretches of the rim beyond a dish of half a diameter, laid at its best
// place, in their order round it.
func (w *maker) overhangs(half float64) (list []Overhang) {
	l := w.laid
	by := make([]float64, len(l.points))
	for i, p := range l.points {
		by[i] = l.seat.Beyond(p, l.least.At, half)
	}
	n := len(by)
	start := max(0, slices.IndexFunc(by, func(v float64) bool { return v <= 0 })) // no stretch begins before it
	for i := 0; i < n; i++ {
		first := i
		var o Overhang
		for ; i < n && by[(start+i)%n] > 0; i++ {
			p, next := l.points[(start+i)%n], l.points[(start+i+1)%n]
			o.LengthMM += r2.Norm(r2.Sub(next, p))
			if v := by[(start+i)%n]; v > o.ByMM {
				o.X, o.Y, o.ByMM = p.X, p.Y, v
			}
		}
		if i > first {
			o.Near = w.near(l.points[(start+(first+i)/2)%n])
			list = append(list, o)
		}
	}
	return list
}

// near is the named place that lies nearest.
func (w *maker) near(p r2.Vec) (name string) {
	least := math.Inf(1)
	for _, s := range w.places {
		if d := r2.Norm(r2.Sub(s.At, p)); d < least && !strings.HasSuffix(s.Name, "begins") { // a line across, no place
			least, name = d, s.Name
		}
	}
	return name
}

// otherRadius fills in what a dish of another radius makes.
func (w *maker) otherRadius(out *Tool, radius float64) {
	tool := "dish"
	if w.job.Tool.Length > 0 {
		tool = "board"
	}
	said := "a " + tool + " of radius " + w.job.Written(tool+"/radius", radius)
	d, err := w.body.TopInDish(radius)
	if err != nil {
		w.warn("dish-radius", "one of the top's own radius", "%s does not reach from the head to the tail", said)
		return
	}
	out.RadiusMM = radius
	held := "head and tail held"
	if w.body.Top.FlatFrom > 0 {
		held = "the tail and the dome's end held"
	}
	for _, s := range w.places {
		if off := d.Height(s.At) - s.Top; w.body.Top.Zone(s.At) == rim.Domed && math.Abs(off) > math.Abs(out.WorstMM) {
			out.WorstMM, out.WorstAt = off, s.Name
		}
	}
	side := "above"
	if out.WorstMM < 0 {
		side = "below"
	}
	w.warn("dish-radius", "one of the top's own radius, or take its radius for the top",
		"%s leaves the %s %s %s the wanted dome, %s", said, out.WorstAt, mm(math.Abs(out.WorstMM)), side, held)
}
