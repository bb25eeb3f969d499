package sides

import (
	"math"
	"slices"

	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/rim"
)

// flat fills in the flat of a top, and sees that it lies on the rim and within the dome.
func (b *builder) flat(d *rim.Dome, o *rim.Outline) bool {
	if b.job.Top.FlatLean != nil {
		d.FlatLeans, d.FlatFall = true, math.Tan(*b.job.Top.FlatLean)
	}
	switch cuts := d.FlatCuts(); {
	case d.FlatFrom >= o.Length():
		b.fault("top/flat above", "a distance from the tail within the body", "the top is flat from %s on, and the body is %s long", mm(d.FlatFrom), mm(o.Length()))
		return false
	case cuts && b.job.Top.Blends:
		b.fault("top/blend", "leave it out, or flat lean, or take a lean of at most "+lean(d.TouchingFall(), math.Floor)+" deg", "a flat that cuts the dome meets it in a corner: there is nothing to blend")
		return false
	case cuts: // no blend is taken, and none is told
		d.Blend = 0
		b.job.Defaults = slices.DeleteFunc(slices.Clone(b.job.Defaults), func(k keys.Default) bool { return k.Key == "blend" })
	}
	switch from := d.FlatFrom - d.Blend; {
	case from < d.Apex.X:
		b.fault("top/flat above", "a flat area that begins beyond the apex, with a shorter blend", "the flat area's blend begins at %s, before the apex at %s", mm(from), mm(d.Apex.X))
		return false
	case from <= 0:
		b.fault("top/flat above", "a place further from the tail, or a shorter blend", "no part of the rim is left to the dome")
		return false
	}
	return !d.FlatCuts() || b.staysIn(*d, o)
}

// staysIn sees that a flat that cuts the dome lies below it as far as the head.
func (b *builder) staysIn(d rim.Dome, o *rim.Outline) bool {
	p := d.OutAgain(o)
	if p == nil {
		return true
	}
	hint := "leave it out for the lean that touches, " + lean(d.TouchingFall(), math.Round) + " deg, or begin the flat nearer to the tail"
	if least, ok := d.LeastCuttingFall(o); ok {
		hint = "from " + lean(least, math.Ceil) + " deg on it stays below the dome; left out it touches it, at " + lean(d.TouchingFall(), math.Round) + " deg"
	}
	b.fault("top/flat lean", hint, "a flat that falls %s deg from %s on does not lie below the dome at X%s Y%s on the outline: it is out of the dome there",
		lean(d.FlatFall, math.Round), mm(d.FlatFrom), measure.FormatFixed(p.X, 0), measure.FormatFixed(p.Y, 0))
	return false
}

// lean writes a fall per mm as an angle in degrees, rounded to a hundredth.
func lean(fall float64, round func(float64) float64) string {
	return angle(degrees(math.Atan(fall)), round)
}

// angle writes degrees, rounded to a hundredth.
func angle(deg float64, round func(float64) float64) string {
	return measure.TrimZeros(measure.FormatFixed(round(100*deg)/100, 2))
}

// Falls is the angle by which the flat falls towards the head, in degrees.
func (f *Flat) Falls() string { return angle(f.LeanDeg, math.Round) }

// Flat is the part of a top's edge that is kept flat, and how it is sanded.
type Flat struct {
	Case string `json:"case"` // touch: it stands above the dome; cut: it lies below it
	FlatPart
	FromMM      float64        `json:"from_mm"` // on the centre line
	LeanDeg     float64        `json:"lean_deg"`
	TouchingDeg float64        `json:"touching_lean_deg"` // of the plane that touches the dome there
	CircleMM    float64        `json:"circle_radius_mm,omitempty"`
	CircleX     float64        `json:"circle_x_mm,omitempty"`
	Boundary    []Station      `json:"boundary"`
	MisuseMM    float64        `json:"misuse_mm"` // what a dish would take off the flat
	MisuseAt    Station        `json:"misuse_at"`
	BelowMM     float64        `json:"below_dome_mm"` // how far the flat lies below the dome
	Order       []measure.Said `json:"order"`
	Blend       *FlatPart      `json:"blend,omitempty"`
}

// FlatPart is what is sanded of the flat, or of its blend.
type FlatPart struct {
	Arcs      []ArcSpan `json:"arcs"`
	EdgeMM    float64   `json:"edge_mm"` // its length along the outside
	MostMM    float64   `json:"most_mm"`
	LeastMM   float64   `json:"least_mm"`
	First     Station   `json:"first_touch"`
	Last      Station   `json:"last_mark"`
	WoodMM3   float64   `json:"wood_mm3"`
	MissingMM float64   `json:"missing_along_mm"`
}

// ArcSpan is a part of the lap.
type ArcSpan struct {
	FromMM float64 `json:"from_mm"`
	ToMM   float64 `json:"to_mm"`
}

// domed are the zones that the sanding in the dish is of; none where it is of all of the rim.
func (w *maker) domed() []rim.Zone {
	if w.body.Top.FlatFrom == 0 {
		return nil
	}
	return []rim.Zone{rim.Domed}
}

// zone names the zone of a place.
func (w *maker) zone(s rim.Station) string {
	if w.body.Top.Kind == rim.Plane {
		return rim.Flat.String()
	}
	return w.body.Top.Zone(s.At).String()
}

// flat fills in the flat of a top and its blend.
func (w *maker) flat() {
	top := w.body.Top
	if top.FlatFrom == 0 {
		return
	}
	f := &Flat{Case: "touch", FromMM: top.FlatFrom, LeanDeg: degrees(math.Atan(top.Fall())), TouchingDeg: degrees(math.Atan(top.TouchingFall()))}
	lap := w.body.Stretches()
	for _, s := range w.places {
		if slices.ContainsFunc(lap[1:], func(k rim.Stretch) bool { return k.From == s.Arc }) {
			f.Boundary = append(f.Boundary, w.station(s))
		}
	}
	start := w.ready
	if top.FlatCuts() {
		f.Case, start = "cut", start.InDish()
		if top.Kind == rim.Sphere {
			centre, radius := top.FlatCircle()
			f.CircleX, f.CircleMM = centre.X, radius
		}
		// The dish takes what stands above the dome on the flat, too.
		w.out.Sanding.WoodMM3 += w.ready.Sanding(1, rim.Flat).WoodVolume - start.Sanding(1, rim.Flat).WoodVolume
	} else {
		blend := w.flatPart(start, rim.Blend)
		f.Blend = &blend
	}
	f.FlatPart = w.flatPart(start, rim.Flat)
	least, most := w.body.OverDome(rim.Flat)
	f.MisuseMM, f.MisuseAt, f.BelowMM = max(0, top.OverDome(most.At)), w.station(most), max(0, -top.OverDome(least.At))
	f.Order = f.order(top.Blend, least)
	w.out.Flat = f
}

// flatPart fills in the sanding of one zone.
func (w *maker) flatPart(start rim.UnsandedRim, zone rim.Zone) FlatPart {
	s := start.Sanding(1, zone)
	out := FlatPart{EdgeMM: s.Length, MostMM: s.MostExcess, LeastMM: s.LeastExcess, First: w.station(s.FirstTouch), Last: w.station(s.LastTouch), WoodMM3: s.WoodVolume, MissingMM: s.MissingLength, Arcs: []ArcSpan{}}
	for _, k := range w.body.Stretches() {
		if k.Zone == zone {
			out.Arcs = append(out.Arcs, ArcSpan{k.From, k.To})
		}
	}
	return out
}

// order says with what the flat and the dome are sanded, in which order, and why.
func (f *Flat) order(blend float64, lowest rim.Station) []measure.Said {
	if f.Case == "cut" {
		return []measure.Said{
			measure.Say("First the dome, all round in the dish, as if there were no flat: the flat lies below it, by up to %v at %v, so that the dish cannot spoil it; the other way about its edge would have no dome to be held to.", mm(f.BelowMM), measure.At(lowest.At.X, lowest.At.Y)),
			measure.Say("Then the flat, with a flat board from the head up to the pencil lines where plane and dome meet: it falls " + f.Falls() + " deg towards the head, steeper than the dome there by " + angle(f.LeanDeg-f.TouchingDeg, math.Round) + " deg, and meets it in that corner, without a blend. Where the board reaches the lines and the widths hold, it is done: beyond them it would flatten the dome."),
		}
	}
	return []measure.Said{
		measure.Say("First the flat, with a flat board, from %v to the head: it falls "+f.Falls()+" deg towards the head. A straightedge on it, along and across, shows no gap; the dome is then held to it, so it comes first.", mm(f.FromMM)),
		measure.Say("Then the dome, in the dish or with a domed board, from the tail up to the pencil lines at %v and no further: tape blend and flat and let them hang over the dish's edge. The flat stands up to %v above the dome, and a dish over all of the rim would sand that away.", mm(f.FromMM-blend), mm(f.MisuseMM)),
		measure.Say("Last the blend, by hand with a small block, over the %v between the lines, from the dome into the flat, until no corner is felt.", mm(blend)),
	}
}

// brief says in one sentence with what the flat is sanded and when; the dome ends at the place dome,
// and is sanded with a board or in a dish.
func (f *Flat) brief(dome float64, board bool, u measure.Ruler) string {
	tool, all := "in the dish, blend and flat over its edge", "the dish"
	if board {
		tool, all = "with the domed board", "the domed board"
	}
	if f.Case == "cut" {
		return measure.Say(all+" goes over all of the rim first; then a flat board, from the head to the pencil lines, up to %v below the dome", mm(f.BelowMM)).In(u)
	}
	return measure.Say("before the dome, with a flat board, from %v on; then the dome up to %v "+tool+", for "+all+" would take %v off the flat; then the blend by hand", mm(f.FromMM), mm(dome), mm(f.MisuseMM)).In(u)
}
