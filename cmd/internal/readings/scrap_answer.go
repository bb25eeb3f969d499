package readings

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
	"dishwright/dish/scrap"
)

// direction says which way the spindle leans, so that a builder can act on it.
func (r *ScrapReport) direction() {
	var sides, back []string
	for axis, q := range r.found.Tilt {
		if q.State != scrap.Resolved && q.State != scrap.Beyond {
			continue
		}
		plus, minus := "+"+"XY"[axis:axis+1], "-"+"XY"[axis:axis+1]
		if q.Value < 0 {
			plus, minus = minus, plus
		}
		sides, back = append(sides, plus), append(back, minus)
	}
	if len(sides) > 0 {
		r.Direction = measure.Say("the side of the cutter at %s cuts deeper: the top of the spindle leans towards %s; bring it towards %s", strings.Join(sides, " and "), strings.Join(sides, " and "), strings.Join(back, " and "))
	}
}

// lines makes the lines for the builder's files, of what was resolved alone, rounded up.
func (r *ScrapReport) lines() {
	add := func(file, format string, args ...any) {
		r.Lines = append(r.Lines, Told{file, measure.Say(format, args...)})
	}
	if most, told := r.Tilt(); told && !r.Beyond() {
		add("shop file", "spindle tilt: %v", measure.Tan(math.Ceil(most*1e4)/1e4))
	}
	if most, told := r.Lacks(); told && most > 0 {
		whose := ""
		if r.Another() { // the key is of all cutters
			whose = " # of " + r.Cutter + " alone"
		}
		add("shop file", "undersize: %v%s", measure.Enough(most, 2), whose)
	}
	var each []string
	var args []any
	for axis, q := range r.found.Backlash {
		if q.State == scrap.Resolved && q.Value > 0 {
			each, args = append(each, "xy"[axis:axis+1]+": %v"), append(args, measure.Enough(q.Value, 2))
		}
	}
	if len(each) > 0 {
		add("machine profile", "errors: {backlash: {"+strings.Join(each, ", ")+"}}", args...)
	}
}

// better are ways that tell more than a scrap and a calliper (common practice).
var better = []struct {
	of   func(*ScrapReport) bool
	says string
}{
	{func(r *ScrapReport) bool {
		return r.unresolved(r.TiltX.Read, r.TiltX.Resolved) || r.unresolved(r.TiltY.Read, r.TiltY.Resolved)
	},
		"a smaller tilt: a dial gauge on an arm in the spindle, spun by hand over the bed with the power off (common practice)"},
	{func(r *ScrapReport) bool { return r.unresolved(r.Undersize.Read, r.Undersize.Resolved) },
		"the diameter: a micrometer over a strip that fits a slot of the cutter (common practice)"},
	{func(r *ScrapReport) bool {
		return r.unresolved(r.BacklashX.Read, r.BacklashX.Resolved) || r.unresolved(r.BacklashY.Read, r.BacklashY.Resolved)
	}, "a smaller backlash: a dial gauge against the carriage, while the axis is moved to and fro to one place (common practice)"},
	{func(r *ScrapReport) bool {
		return r.unresolved(r.ScaleX.Read, r.ScaleX.Resolved) || r.unresolved(r.ScaleY.Read, r.ScaleY.Resolved)
	},
		"the scale of X and Y: two holes as far apart as the axis goes, and a steel rule (common practice)"},
	{func(r *ScrapReport) bool { return r.unresolved(r.ScaleZ.Read, r.ScaleZ.Resolved) },
		"the scale of Z: a dial gauge under the spindle over a few centimetres of its way (common practice)"},
}

// unresolved reports whether something was read and came out as nothing.
func (r *ScrapReport) unresolved(read, resolved bool) bool { return read && !resolved }

// figure is a quantity as it is told: its figures are written by short, in the unit.
type figure struct {
	read, resolved           bool
	value, low, high, atMost *float64
	resolution               float64
}

// told writes what is known of it.
func (f figure) told(short func(float64) string, unit string) string {
	switch {
	case !f.read:
		return "not read"
	case !f.resolved && f.atMost != nil:
		return fmt.Sprintf("not resolved: it takes %s %s to show here; it is at most %s", short(f.resolution), unit, short(*f.atMost))
	case !f.resolved:
		return "not resolved"
	}
	return fmt.Sprintf("%s %s (95 of 100: %s to %s)", short(*f.value), unit, short(*f.low), short(*f.high))
}

// In writes the length.
func (l Length) In(u measure.Ruler) string {
	return figure{l.Read, l.Resolved, l.Value, l.Low, l.High, l.AtMost, l.Resolution}.told(func(mm float64) string { return u.Short(mm, 3) }, u.Unit())
}

// In writes the share.
func (s Share) In(u measure.Ruler) string {
	if s.AtLeast != nil {
		return "more than the strips can show: at least " + u.Slope(*s.AtLeast/100)
	}
	return figure{s.Read, s.Resolved, s.Value, s.Low, s.High, s.AtMost, s.Resolution}.told(func(share float64) string { return measure.FormatShort(share, 3) }, u.Unit()+" per 100 "+u.Unit())
}

// Answer says what becomes of the scallop, and what the readings tell.
func (r ScrapReport) Answer(u measure.Ruler) document.Document {
	d := document.Document{document.Paragraph{Text: r.Verdict.In(u)}}
	if r.Another() {
		d = append(d, document.Paragraph{Text: fmt.Sprintf("The scrap was cut with %s; the job is finished with %s now, whose diameter this scrap does not tell.", r.Cutter, r.Finish)})
	}
	d = append(d, document.Space{}, r.facts(u))
	for i, l := range r.Lines {
		if i == 0 || l.File != r.Lines[i-1].File {
			d = append(d, document.Heading("for the "+l.File))
		}
		d = append(d, document.Paragraph{Lead: "  ", Text: l.Line.In(u)})
	}
	if notes := r.notes(u); len(notes) > 0 {
		d = append(d, document.Heading("worth knowing"), document.Notes{List: notes})
	}
	return d
}

// facts are the figures.
func (r *ScrapReport) facts(u measure.Ruler) (list document.Facts) {
	add := func(label, text string) { list = append(list, document.Fact{Label: label, Text: text}) }
	if left := r.Scallop; left != nil {
		text := "as the job states them"
		if left.Found {
			text = fmt.Sprintf("%s as the job stands; at the upper ends of what was found", u.Up(left.PlannedMM, 4))
		}
		add("scallop", fmt.Sprintf("%s, for a tilt of %s and an undersize of %s: %s", u.Up(left.CertifiedMM, 4), u.Slope(left.TiltMM/100), u.Length(left.UndersizeMM, 3), text))
	}
	missing := map[string]string{}
	for _, m := range r.LeftOut {
		missing[m.What] = m.Why
	}
	if why := missing[scrap.TiltMissing]; why != "" {
		add("tilt", why)
	} else {
		add("tilt along X", r.TiltX.In(u))
		add("tilt along Y", r.TiltY.In(u))
	}
	if !r.Direction.Empty() {
		add("leans", r.Direction.In(u))
	}
	if r.Diameter.Resolved {
		add("diameter", r.Diameter.In(u))
	}
	add("undersize", r.Undersize.In(u))
	add("backlash X", r.BacklashX.In(u))
	add("backlash Y", r.BacklashY.In(u))
	add("scale X", r.ScaleX.In(u))
	add("scale Y", r.ScaleY.In(u))
	if why := missing[scrap.StairMissing]; why != "" {
		add("scale Z", why)
	} else {
		add("scale Z", r.ScaleZ.In(u))
	}
	v := r.Leaves
	add("taken as known", fmt.Sprintf("%s: floors even to %s, edges to %s, Z comes again to %s, all standard deviations (invented figures); calliper %s, rule %s",
		v.Wood, u.Length(v.TextureMM, 3), u.Length(v.EdgeMM, 3), u.Length(v.RepeatMM, 3), u.Length(v.CalliperMM, 3), u.Length(v.RuleMM, 2)))
	return list
}

// notes are what else the readings make one say.
func (r *ScrapReport) notes(u measure.Ruler) (notes []document.Note) {
	for _, w := range measure.Texts(r.Warnings, u) {
		notes = append(notes, document.Note{Message: w})
	}
	for _, b := range better {
		if b.of(r) {
			notes = append(notes, document.Note{Message: b.says})
		}
	}
	return notes
}

// warn collects what is wrong with the readings, or with what they show.
func (r *ScrapReport) warn() {
	add := func(format string, args ...any) { r.Warnings = append(r.Warnings, measure.Say(format, args...)) }
	if len(r.Odd) > 0 {
		add("mark %s does not go with the others as a machine's marks do: measure it again", strings.Join(r.Odd, ", "))
	}
	if q := r.found.Undersize; q.State == scrap.Resolved && q.Value < 0 {
		add("the cutter cuts wider than its name: give its diameter on the shelf as %v, or see whether it runs out", measure.MM(*r.Diameter.Value))
	}
	if left := r.Scallop; left != nil && !r.Beyond() {
		if most, told := r.Tilt(); most > 0 && !told && 100*most > left.TiltMM {
			add("a tilt of up to %v would not show here, more than the %v that the job states: a dial gauge tells", measure.Tan(math.Ceil(most*1e4)/1e4), measure.Tan(left.TiltMM/100))
		}
	}
	for _, s := range []Share{r.ScaleX, r.ScaleY} {
		if s.Resolved {
			add("the ring is short: measure the scale over a longer way before errors: scale is written into the profile")
			break
		}
	}
	if r.ScaleZ.Resolved {
		add("the stair is shallow: measure Z over a longer way before errors: scale is written into the profile")
	}
}
