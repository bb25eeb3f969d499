package shop

import (
	"fmt"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// Sag is how far a dish sinks under a hand on what it lies on, and what that makes of it.
type Sag struct {
	Support  string  `json:"support"`
	ForceN   float64 `json:"force_n"` // of the hand, on its middle
	LeftMM   float64 `json:"left_mm"` // of wood under the middle, taken for all of the plate
	Material string  `json:"material"`
	Modulus  float64 `json:"modulus_n_per_mm2"`
	SagMM    float64 `json:"sag_mm"`                   // and so much deeper at its rim
	RadiusMM float64 `json:"as_radius_mm,omitempty"`   // that it then has, where all of it sinks
	RibsMM   float64 `json:"rib_spacing_mm,omitempty"` // between ribs alone it sinks then
	FloorMM  float64 `json:"floor_for_scallop_mm"`     // that keeps the sag under the scallop
	Layers   int     `json:"layers,omitempty"`         // glued to one piece
	LayerMM  float64 `json:"layer_mm,omitempty"`       // thickness of each
	Glues    int     `json:"glue_lines_met,omitempty"` // in the face
	scallop  float64 // mm
}

// sag works out how far a dish sinks.
func (r *Result) sag() {
	w := &r.Plan.Work
	left := w.Left()
	if !w.Face.Rises() || !w.Round() || !(left > 0) {
		return
	}
	wood := work.WoodOf(w.Material)
	s := &Sag{Support: w.Support, ForceN: work.Hand, LeftMM: left, Material: wood.Name, Modulus: wood.Modulus, SagMM: w.Sag(left), RibsMM: w.Ribs, scallop: w.Scallop}
	if s.Support == "" {
		s.Support = work.OnBench
	}
	if s.FloorMM = work.StiffEnough(w.Scallop, w.Sag); s.Support == work.OnBoard {
		s.FloorMM = w.Floor
	}
	if s.Support == work.OnRim || s.Support == work.OnBench {
		s.RadiusMM, _ = dish.Radius(2*w.Face.Rim, w.Face.Sagitta()+s.SagMM)
	}
	if s.Layers = w.Layers; s.Layers > 1 {
		s.LayerMM = w.Blank.Thickness / float64(s.Layers)
		s.Glues = int(w.Face.Sagitta() / s.LayerMM)
	}
	r.Report.Sag = s
}

// Briefly says how far it sinks and where.
func (s Sag) Briefly(u measure.Ruler) string {
	text := fmt.Sprintf("by %s in its middle under a hand's %s N and its own weight", u.Length(s.SagMM, 3), measure.FormatShort(s.ForceN, 0))
	switch s.Support {
	case work.OnBoard:
		return "not at all: a flat board carries all of it, held down"
	case work.OnRibs:
		return fmt.Sprintf("between ribs %s apart %s", u.Length(s.RibsMM, 1), text)
	case work.OnRim:
		return "carried at its rim, " + text
	}
	return "loose on a bench that is hollow under it, " + text
}

// Says says that, of what it is an estimate, what it makes of the radius and what would be enough.
func (s Sag) Says(u measure.Ruler) string {
	text := s.Briefly(u)
	if s.Support == work.OnBoard {
		return text
	}
	text += fmt.Sprintf(" (estimate: a flat plate of %s of %s, %s N/mm2)", u.Length(s.LeftMM, 1), s.Material, measure.FormatShort(s.Modulus, 0))
	if s.Support == work.OnBench && s.SagMM >= work.BenchFlat {
		text += ", no further than benches are hollow (about, common practice)"
	}
	if s.RadiusMM > 0 {
		text += fmt.Sprintf("; it is so much deeper at its rim then, as one of %s", u.Dome(s.RadiusMM))
	}
	return text + fmt.Sprintf("; %s of wood under its middle keep that under the scallop of %s", u.Up(s.FloorMM, 0), u.Length(s.scallop, 3))
}

// Laminated says what its layers are worth; empty of a single one.
func (s Sag) Laminated(u measure.Ruler) string {
	if s.Layers < 2 {
		return ""
	}
	text := fmt.Sprintf("%d layers of %s, glued all over, bend as one piece; unglued they would bend %d times as far", s.Layers, u.Length(s.LayerMM, 2), s.Layers*s.Layers)
	if s.Glues > 0 {
		text += fmt.Sprintf("; the face goes through %s: choose glue that the cutter takes, and let it cure", measure.Count(s.Glues, "glue line"))
	}
	return text
}
