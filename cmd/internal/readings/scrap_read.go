package readings

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cmd/internal/sketch"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/scrap"
)

// ScrapTable is a file of readings of a scrap's marks as it was understood.
type ScrapTable struct {
	File   string
	ID     string // of the scrap
	Inches bool   // is the file in inches or feet?

	table *sketch.Values
	first int // row that names the scrap
}

// mostOfScrap is how many rows a table may have: far more than anybody takes, and what is
// worked out grows with their square.
const mostOfScrap = 500

// ReadScrap reads a table: a row a reading, with its mark, its length and the scrap's number.
// Rows without a length are left out.
func ReadScrap(file string, data []byte) (ScrapTable, error) {
	t, err := sketch.Table(file, data, sketch.Column{Name: "mark", Needed: true, Text: true}, sketch.Column{Name: "length", Needed: true, Sparse: true}, sketch.Column{Name: "scrap", Needed: true, Text: true})
	if err != nil {
		return ScrapTable{}, err
	}
	s := ScrapTable{File: file, Inches: t.Inches, table: t, first: -1}
	if n := t.Rows(); n > mostOfScrap {
		return ScrapTable{}, strict.Faults{s.fault(mostOfScrap, "mark", fmt.Sprintf("at most %d rows: three of each mark are enough", mostOfScrap), "%d readings of one scrap are too many", n)}
	}
	var faults strict.Faults
	for row, mm := range t.MM("length") {
		id := strings.ToLower(t.Text("scrap")[row])
		switch {
		case math.IsNaN(mm):
		case id == "":
			faults = append(faults, s.fault(row, "scrap", "the scrap's number, as it stands in the head of its program", "the row does not say which scrap was read"))
		case s.first < 0:
			s.ID, s.first = id, row
		case id != s.ID:
			faults = append(faults, s.fault(row, "scrap", "the readings of one scrap in one table", "scrap %s after scrap %s", measure.Quote(id), measure.Quote(s.ID)))
		}
	}
	if s.first < 0 && len(faults) == 0 {
		faults = strict.Faults{{File: file, Line: 1, Column: 1, Message: "the table holds no readings", Hint: "what calliper and rule say, in the column of lengths"}}
	}
	if len(faults) > 0 {
		return ScrapTable{}, faults
	}
	return s, nil
}

// fault is one at a cell.
func (s *ScrapTable) fault(row int, column, hint, format string, args ...any) strict.Fault {
	line, at := s.table.At(column, row)
	return strict.Fault{File: s.File, Line: line, Column: at, Message: fmt.Sprintf(format, args...), Hint: hint}
}

// Other is the error of readings of a scrap that is none of a job's.
func (s *ScrapTable) Other(hint string) error {
	return strict.Faults{s.fault(s.first, "scrap", hint, "scrap %s is none that this job's cutters make", measure.Quote(s.ID))}
}

// Of returns the readings of the layout's marks.
func (s *ScrapTable) Of(l *scrap.Layout, u measure.Ruler) (list []scrap.Reading, err error) {
	var faults strict.Faults
	known, letters := map[string]int{}, []string{}
	for i, m := range l.Marks {
		known[m.Letter], letters = i, append(letters, m.Letter)
	}
	read := map[int]int{} // the first row of each mark
	for row, mm := range s.table.MM("length") {
		letter := s.table.Text("mark")[row]
		i, ok := known[strings.ToUpper(letter)]
		switch {
		case math.IsNaN(mm):
			continue
		case !ok:
			faults = append(faults, s.fault(row, "mark", "the marks of this scrap are "+strings.Join(letters, ", "), "there is no mark %s", measure.Quote(letter)))
			continue
		}
		if _, again := read[i]; !again {
			read[i] = row
		}
		if least, most := l.Limits(l.Marks[i]); !(mm >= least && mm <= most) {
			faults = append(faults, s.fault(row, "length", s.meant(l, i, mm, u), "mark %s reads %s: it is about %s", l.Marks[i].Letter, u.Length(mm, 3), u.Length(l.Marks[i].Nominal, 1)))
			continue
		}
		list = append(list, scrap.Reading{Mark: i, Length: mm})
	}
	faults = append(faults, s.groups(l, read)...)
	if len(faults) > 0 {
		return nil, faults
	}
	if f, swapped := s.swapped(l, read, list); swapped {
		return nil, strict.Faults{f}
	}
	return list, nil
}

// meant guesses how a length that a mark cannot have came about.
func (s *ScrapTable) meant(l *scrap.Layout, mark int, mm float64, u measure.Ruler) string {
	within := func(m scrap.Mark, mm float64) bool {
		least, most := l.Limits(m)
		return mm >= least && mm <= most
	}
	own := l.Marks[mark]
	inch := measure.Inch.MM()
	switch {
	case own.Kind != scrap.Strip && !s.Inches && within(own, mm*inch):
		return "that is right in inches: name the column length_in"
	case own.Kind != scrap.Strip && s.Inches && within(own, mm/inch):
		return "that is right in millimetres: name the column length_mm"
	}
	var like []string
	for _, m := range l.Marks {
		if m.Kind != scrap.Strip && within(m, mm) {
			like = append(like, m.Letter)
		}
	}
	if len(like) > 0 && own.Kind != scrap.Strip {
		return "that is what " + strings.Join(like, ", ") + " may read: were marks swapped?"
	}
	least, most := l.Limits(own)
	return fmt.Sprintf("%s to %s: measure it again, or leave its cell empty", u.Length(max(0, least), 1), u.Length(most, 1))
}

// groups finds the marks that are missing beside others which tell nothing without them.
func (s *ScrapTable) groups(l *scrap.Layout, read map[int]int) (faults strict.Faults) {
	for i, m := range l.Marks {
		if _, ok := read[i]; ok {
			continue
		}
		var all []string
		beside := -1
		for k, o := range l.Marks {
			if o.Group() != m.Group() {
				continue
			}
			all = append(all, o.Letter)
			if row, ok := read[k]; ok && (beside < 0 || row < beside) {
				beside = row
			}
		}
		if beside >= 0 {
			faults = append(faults, s.fault(beside, "mark", "read all of "+strings.Join(all, ", ")+", or none", "mark %s is read and %s is not: one tells nothing without the other", s.table.Text("mark")[beside], m.Letter))
		}
	}
	return faults
}

// swapped finds halves of the ring that were taken for one another: they make a backlash less
// than none, by more than chance does.
func (s *ScrapTable) swapped(l *scrap.Layout, read map[int]int, list []scrap.Reading) (strict.Fault, bool) {
	for axis, q := range l.Find(list, scrap.Leaves{}).Backlash {
		if q.State == scrap.Unread || q.Value >= -leastSwapped || q.Value >= -2*q.Half {
			continue
		}
		for i, m := range l.Marks {
			if m.Kind == scrap.Boss && m.Axis == axis && m.Sense > 0 {
				return s.fault(read[i], "mark", "the sheet's drawing shows which half is which", "the halves of the ring along %s look swapped: their widths make a backlash less than none", "XY"[axis:axis+1]), true
			}
		}
	}
	return strict.Fault{}, false
}

// leastSwapped is a backlash below none that good readings do not make, mm.
const leastSwapped = 0.02
