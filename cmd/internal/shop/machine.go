package shop

import (
	"fmt"
	"slices"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// Setting is what the machine is set up by for one piece: the blank, its face, where it is held
// and touched off.
func (r *Result) Setting() (list document.Facts) {
	w, p, u := &r.Plan.Work, r.Report, r.ruler()
	list.Add("blank", "%s, %s, %s thick", w.Material, sized(w.Blank, func(mm float64) string { return u.Length(mm, 1) }), u.Length(w.Blank.Thickness, 2))
	if w.HasFace() {
		cut := ""
		if w.Covering > 0 || p.PlateMM > 0 {
			cut = "; cut to radius " + u.Length(p.CutRadiusMM, 1)
		}
		list.Add("depth", "%s%s", r.deep(), cut)
	}
	if s := p.Setups; s != nil {
		list.Add("setups", "%d, %s; the tip runs over %s by %s of the travel", s.Count, r.Brought(), u.Length(s.XMM, 0), u.Length(s.YMM, 0))
		list.Add("laid within", "%s aside, %s deg, %s in height", u.Length(s.ShiftMM, 2), measure.FormatShort(s.TurnDeg, 3), u.Length(s.HeightMM, 3))
	}
	if label, text := r.held(); text != "" {
		list.Add(label, "%s", text)
	}
	for _, o := range w.Obstacles {
		ends, place := o.Ends(), u.Place(o.X, o.Y)
		if o.DX != 0 || o.DY != 0 {
			place += " to " + u.Place(ends[1][0], ends[1][1])
		}
		list.Add("kept clear of", "%s, %s round it", place, u.Length(o.Radius, 1))
	}
	if p.Shop != "" {
		list.Add("shop file", "%s", p.Shop)
	}
	list.Add("touch Z0 off", "%s, within %s", r.touching(", "), u.Length(w.ZeroError, 3))
	if lies := r.bedLies(); !lies.Empty() {
		list.Add("the bed", "%s", lies.In(u))
	}
	return list
}

// deep says how deep the face is and what stays under it.
func (r *Result) deep() string {
	return fmt.Sprintf("%s; %s of wood stay under it", r.ruler().Depth(r.Report.SagittaMM, 3), r.under(r.ruler()))
}

// under is what stays of the blank under the deepest place of the face.
func (r *Result) under(u measure.Ruler) string { return u.Length(r.Report.FloorLeftMM, 2) }

// held says where the blank is held down, or else where there is room for it.
func (r *Result) held() (label, text string) {
	var places []string
	for _, h := range r.Plan.Work.HoldDowns {
		places = append(places, r.ruler().Place(h.X, h.Y))
	}
	if len(places) > 0 {
		return "held down at", strings.Join(places, ", ")
	}
	if len(r.Report.HoldPlaces) > 0 {
		text = holding(r.ruler(), r.Report.HoldPlaces[0])
		if n := len(r.Report.HoldPlaces) - 1; n > 0 {
			text += fmt.Sprintf(", and %s more", measure.Count(n, "place"))
		}
	}
	return "hold at", text
}

// Purposes are what program i does, in its order.
func (r *Result) Purposes(i int) string {
	var list []string
	for _, s := range r.Texts[i].Program.Sections {
		if one := string(s.Purpose); !slices.Contains(list, one) {
			list = append(list, one)
		}
	}
	return strings.Join(list, " and ")
}

// Running are the programs of one piece in their order; what has to be set by hand for each
// stands there too.
func (r *Result) Running() document.Table {
	t := document.Table{Caption: "Programs, in this order", Head: []string{"no.", "file", "does", "with", "bites", "takes"}, Words: true}
	dial, marks := r.Plan.Work.Machine.HandRouter(), r.Report.Setups != nil
	if dial {
		t.Head = append(t.Head, "dial")
	}
	if marks {
		t.Head = append(t.Head, "towards you")
	}
	for i, p := range r.Report.Programs[:len(r.Texts)] {
		row := []string{fmt.Sprint(r.first + i + 1), p.File, r.Purposes(i), p.Cutter.Name, r.ruler().Length(p.BiteMM, 2), tell.Clock(p.TimeS)}
		if p.SpeedRPM == 0 {
			row[4] = "nothing turns"
		}
		if dial {
			row = append(row, p.Dial)
		}
		if marks {
			row = append(row, r.benchOf(i).lies())
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// Fitted are the cutters of one piece in the order in which they are fitted.
func (r *Result) Fitted() document.Table {
	t := document.Table{Caption: "Cutters", Head: []string{"cutter", "size", "shank", "stands out"}, Words: true}
	u, seen := r.ruler(), map[string]bool{}
	for _, one := range r.Texts {
		c := one.Program.Cutter
		if seen[c.Name] {
			continue
		}
		seen[c.Name] = true
		size := c.Shape.String() + " " + u.Length(c.Diameter, 3)
		if c.Corner > 0 {
			size += ", corner " + u.Length(c.Corner, 3)
		}
		t.Rows = append(t.Rows, []string{c.Name, size, u.Length(c.Shank, 3), u.Length(c.StickOut, 1) + " or more"})
	}
	return t
}
