package sides

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/cmd/internal/sketch"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// The widths of a log are of an edge that is sanded in its dish; what the job's start leaves on
// the back's edge is still there, or it is not.
const (
	BackUnsanded = "unsanded" // the top's edge is sanded first
	BackFinished = "finished" // the back's edge was
)

const (
	// mostRounds is more rounds than anybody sands and measures.
	mostRounds, mostRound = 500, 9999
	// leastShare and mostShare are between which shares of the width that is wanted a reading
	// may lie: beyond them it is a slip of the unit, the point or the place, not sanding.
	leastShare, mostShare = 0.5, 2.0
	// mostFaults are listed of one log: more of the same help nobody.
	mostFaults = 50
)

// roundColumn is the log's column of rounds.
const roundColumn = "round"

// logReader reads the log of a rim.
type logReader struct {
	file   string
	places []rim.Station
	wanted []float64
	u      measure.Ruler
	faults strict.Faults
}

// fault records a fault at a place of the file.
func (r *logReader) fault(line, column int, hint, format string, args ...any) {
	if len(r.faults) < mostFaults {
		r.faults = append(r.faults, strict.Fault{File: r.file, Line: line, Column: column, Message: fmt.Sprintf(format, args...), Hint: hint})
	}
}

// read returns the log of a file, a row for each round and a column for each place that was
// measured, with the line and column of each reading. The error is a strict.Faults.
func (r *logReader) read(data []byte) (log rim.WidthLog, at [][][2]int, err error) {
	columns := []sketch.Column{{Name: roundColumn, Needed: true, Count: true}}
	for _, s := range r.places {
		columns = append(columns, sketch.Column{Name: s.Name, Sparse: true})
	}
	t, err := sketch.Table(r.file, data, columns...)
	if err != nil {
		return log, nil, err
	}
	r.rounds(t)
	log.Step = t.Step()
	if t.Inches && r.u.Parts > 0 { // the marks of the rule that the job names
		log.Step = min(log.Step, measure.Inch.MM()/float64(r.u.Parts))
	}
	known := false
	for i, s := range r.places {
		widths := t.MM(s.Name)
		known = known || widths != nil
		place, where := rim.LoggedPlace{Station: s, Wanted: r.wanted[i]}, [][2]int(nil)
		for row, w := range widths {
			if math.IsNaN(w) {
				continue
			}
			line, column := t.At(s.Name, row)
			r.width(line, column, w, place)
			place.Read = append(place.Read, rim.RoundWidth{Round: int(t.MM(roundColumn)[row]), Width: w})
			where = append(where, [2]int{line, column})
		}
		if len(place.Read) > 0 {
			log.Places, at = append(log.Places, place), append(at, where)
		}
	}
	switch {
	case len(r.faults) > 0:
		slices.SortStableFunc(r.faults, func(a, b strict.Fault) int { return cmp.Or(a.Line-b.Line, a.Column-b.Column) })
	case !known:
		r.fault(1, 1, "a column for each place that is measured: "+strings.Join(r.headings("mm"), ", ")+"; or in cm or in", "the log has no column of a place")
	case len(log.Places) == 0:
		r.fault(1, 1, "a row for each round that was measured: its number, 0 before sanding, and the widths", "the log holds no widths yet")
	}
	if len(r.faults) > 0 {
		return log, nil, r.faults
	}
	return log, at, nil
}

// headings are the names of the places' columns in a unit.
func (r *logReader) headings(unit string) (list []string) {
	for _, s := range r.places {
		list = append(list, s.Name+"_"+unit)
	}
	return list
}

// rounds sees that the rounds go up, each once.
func (r *logReader) rounds(t *sketch.Values) {
	if t.Rows() > mostRounds {
		line, column := t.At(roundColumn, mostRounds)
		r.fault(line, column, fmt.Sprintf("at most %d rounds, a row each", mostRounds), "the log is too long")
		return
	}
	list := t.MM(roundColumn)
	for i, n := range list {
		line, column := t.At(roundColumn, i)
		switch {
		case n > mostRound:
			r.fault(line, column, fmt.Sprintf("rounds are counted from 0, before sanding, up to %d", mostRound), "there is no round %.0f", n)
		case i > 0 && n == list[i-1]:
			r.fault(line, column, "one row for each round", "round %.0f comes twice", n)
		case i > 0 && n < list[i-1]:
			r.fault(line, column, "a row for each round, in their order", "round %.0f comes after round %.0f", n, list[i-1])
		}
	}
}

// width sees that a reading is one of a side that is to have the place's width.
func (r *logReader) width(line, column int, w float64, place rim.LoggedPlace) {
	about := r.u.Length(place.Wanted, 1)
	if likely(w, place.Wanted) {
		return
	}
	hint := fmt.Sprintf("the width of the side at its outside, from edge to edge: it is to have %s there", about)
	switch slip(w, place.Wanted) {
	case inInches:
		hint = fmt.Sprintf("it would fit in inches: the column is then called %s_in; %s", place.Station.Name, hint)
	case inMM:
		hint = fmt.Sprintf("it would fit in millimetres: the column is then called %s_mm; %s", place.Station.Name, hint)
	case inCM:
		hint = "is it in centimetres (_cm), or is its point misplaced? " + hint
	}
	r.fault(line, column, hint, "a width of %s at the %s", r.u.Length(w, 2), place.Station.Name)
}
