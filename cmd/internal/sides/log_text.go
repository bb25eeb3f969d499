package sides

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
)

// more says how many rounds are to come.
func (t Trend) more() string {
	n := int(max(1, math.Round(*t.Rounds)))
	text := measure.Count(n, "more round")
	if t.Low == nil {
		return text + ", if both so far were alike: a third tells how sure that is"
	}
	return fmt.Sprintf("%s (%s)", text, t.span())
}

// span is the interval of the rounds to come, in whole rounds, outward but for a twentieth.
func (t Trend) span() string {
	const part = 0.05
	low, high := math.Floor(*t.Low+part), math.Ceil(*t.High-part)
	return fmt.Sprintf("%.0f to %.0f", low, max(1, high))
}

// LogAnswer is what a builder asks first of a log: how many rounds more, where to press, when
// to stop; and each place.
func (r *Result) LogAnswer() document.Document {
	return document.Document{document.Paragraph{Text: r.Report.Log.Verdict.In(r.Job.Ruler)}, document.Space{}, r.logFacts(), document.Space{}, r.logTable(), document.Space{}}
}

// logFacts are the figures of a log.
func (r *Result) logFacts() (list document.Facts) {
	l, u := r.Report.Log, r.Job.Ruler
	add := func(label, format string, args ...any) {
		list = append(list, document.Fact{Label: label, Text: measure.Say(format, args...).In(u)})
	}
	if g := l.Gone; g != nil {
		g.tell(add)
	}
	if m := l.Mean; m.PerRound != nil && *m.PerRound > 0 {
		faster := ""
		if l.matters() {
			faster = measure.Say("; %v more at the %s than opposite", mm(l.FasterMM), l.Faster).In(u)
		}
		add("a round", "takes %v off on the mean%s", mm(*m.PerRound), faster)
	}
	if l.Press != even {
		add("press", "the %s: it has %v more to come off than opposite", l.Press, mm(l.PressMM))
	}
	if l.First != "" && (l.Press != even || l.matters()) {
		add("as it goes", "the %s comes to its width first, the %s last", l.First, l.Slowest)
	}
	if left := l.BackLeft(); left > hardly {
		add("wanted", "what is to be sanded off the back, up to %v, is still there (--back finished: it is not)", mm(left))
	}
	if l.UnlikeMM > 0 {
		add("rounds", "vary by about %v, for which the forecast is wider: as many strokes each", mm(l.UnlikeMM))
	}
	for _, w := range l.Wrong {
		add("left out", "%s:%d:%d: %v; measure it again", l.File, w.Line, w.Column, w.Message)
	}
	return list
}

// matters reports whether what one end or side comes down faster by makes more than the
// tolerance by the end.
func (l *Log) matters() bool {
	return l.Faster != even && (l.Mean.Rounds == nil || l.FasterMM**l.Mean.Rounds > l.ToleranceMM)
}

// BackLeft is the most that is still on the back's edge while the top's is sanded, mm.
func (l *Log) BackLeft() (most float64) {
	for _, p := range l.Places {
		most = max(most, p.WantedMM-p.DoneMM)
	}
	return most
}

// tell says what can be done.
func (g *Gone) tell(add func(label, format string, args ...any)) {
	label := "what now"
	if g.BackMM != nil {
		add(label, "sand %v less off the back, all of which still has so much: the top comes lower by that, and the job's depths hold", mm(*g.BackMM))
		label = "or"
	}
	add(label, "all of the rim %v lower is right again there: depth: {head: %v, tail: %v}", mm(g.MissingMM), mm(g.HeadMM), mm(g.TailMM))
	if g.RadiusMM != nil {
		add("or", "a top of radius %v goes through what is left, and takes a dish of its own; %v to %v then come off", dome(*g.RadiusMM), mm(g.LeastMM), mm(g.MostMM))
	}
}

// dome is a dome's radius, mm.
type dome float64

// In writes the radius, in metres or feet.
func (d dome) In(u measure.Ruler) string { return u.Dome(float64(d)) }

// logTable are the places of a log.
func (r *Result) logTable() document.Table {
	l, u := r.Report.Log, r.Job.Ruler
	t := document.Table{Head: []string{"place, " + u.Unit(), "has", "wanted", "left", "a round", "rounds left"}}
	for _, p := range l.Places {
		pace := "-"
		if p.PerRound != nil {
			pace = u.Fixed(*p.PerRound, 2)
		}
		row := []string{p.Name, u.Mark(p.HasMM, 2), u.Mark(p.WantedMM, 2), u.Fixed(p.LeftMM, 2), pace, l.more(p)}
		if p.Round < l.LastRound {
			row = append(row, "of round "+strconv.Itoa(p.Round))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// more says how many rounds are to come at a place.
func (l *Log) more(p Logged) string {
	switch {
	case l.pace.Low(p.LeftMM):
		return "too low"
	case !l.pace.More(p.LeftMM) && l.pace.Coarse:
		return "read finer"
	case !l.pace.More(p.LeftMM):
		return "done"
	case p.Zone != l.Zone:
		return "with the " + p.Zone
	case p.PerRound == nil:
		return "-"
	case p.Rounds == nil:
		return "not resolved"
	case p.Low == nil:
		return fmt.Sprintf("%.0f", *p.Rounds)
	}
	return fmt.Sprintf("%.0f (%s)", *p.Rounds, p.span())
}

// LogRows are the rounds of the log that was taken, a text for each named place; none without
// one.
func (r *Result) LogRows() (rows [][]string) {
	places := r.Report.Places
	for _, p := range r.log.Places {
		column := 1 + slices.IndexFunc(places, func(s Station) bool { return s.Name == p.Station.Name })
		for _, read := range p.Read {
			round := strconv.Itoa(read.Round)
			at, there := slices.BinarySearchFunc(rows, read.Round, func(row []string, n int) int {
				have, _ := strconv.Atoi(row[0])
				return have - n
			})
			if !there {
				rows = slices.Insert(rows, at, make([]string, len(places)+1))
				rows[at][0] = round
			}
			rows[at][column] = r.Job.Ruler.Mark(read.Width, 2)
		}
	}
	return rows
}

// LogTemplate is a log to fill in: a column for each named place, the row of round 0 without
// widths, and as remarks what the widths shall be.
func (r *Result) LogTemplate() []byte {
	u := r.Job.Ruler
	var b strings.Builder
	head, finished := []string{roundColumn}, []string{}
	for _, s := range r.Report.Places {
		head = append(head, s.Name+"_"+u.Unit())
		finished = append(finished, s.Name+" "+u.Fixed(s.WidthMM, 2))
	}
	b.WriteString("# widths of the side at its outside, " + u.Unit() + ": a row for each round of sanding, 0 before it;\n# empty where nothing was measured, a column left out where nothing ever is\n")
	b.WriteString("# finished: " + strings.Join(finished, ", ") + "\n")
	b.WriteString(strings.Join(head, ",") + "\n0" + strings.Repeat(",", len(finished)) + "\n")
	return []byte(b.String())
}
