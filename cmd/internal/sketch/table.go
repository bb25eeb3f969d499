package sketch

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// MostRows is the most rows of a table, or points of a path.
const MostRows = 100_000

// mostFaults are listed of one table: more of the same help nobody.
const mostFaults = 50

// mostListed are the columns whose names are listed in each unit.
const mostListed = 4

// Column is a column of a table: a length, its unit the ending of its name in the
// table's header, such as x_mm or x_in; or a whole number, or a word.
type Column struct {
	Name   string
	Needed bool
	Sparse bool // may its cells be empty? They are NaN then
	Count  bool // is it a whole number instead, its name without a unit?
	Text   bool // is it a word instead, its name without a unit?
}

// heading is the column's name in a header, in a unit.
func (c Column) heading(unit string) string {
	if c.Count || c.Text {
		return c.Name
	}
	return c.Name + "_" + unit
}

// Values are the columns of a table.
type Values struct {
	Inches bool // is a column in inches or feet?

	columns map[string][]float64
	texts   map[string][]string
	lines   []int
	places  map[string][]int // of each cell in its line
	step    float64
}

// Rows returns how many rows there are.
func (v *Values) Rows() int { return len(v.lines) }

// MM returns a column in mm, nil where the table has none of that name.
func (v *Values) MM(name string) []float64 { return v.columns[name] }

// Text returns a column of words, nil where the table has none of that name.
func (v *Values) Text(name string) []string { return v.texts[name] }

// Step returns the finest figure that any length was written to, mm; 0 of a table without one.
func (v *Values) Step() float64 { return v.step }

// At returns where a cell stands: its line and its place in it.
func (v *Values) At(name string, row int) (line, column int) {
	return v.lines[row], v.places[name][row]
}

// Line returns the line of a row.
func (v *Values) Line(row int) int { return v.lines[row] }

// units are the endings of a column's name.
var units = []string{"mm", "cm", "m", "in", "ft"}

// tableReader reads one table.
type tableReader struct {
	file   string
	csv    *csv.Reader
	faults strict.Faults
	heads  []head // of each column
	out    Values
}

type head struct {
	Column
	unit string
}

// Table reads a table with a header line: the names of the columns with their
// units. Lines that begin with # and empty lines are left out; the separator is a
// comma, or the semicolon or tab that the header has instead. The error is a
// strict.Faults.
func Table(file string, data []byte, columns ...Column) (*Values, error) {
	if twoBytes(data) {
		return nil, strict.Faults{{File: file, Line: 1, Column: 1, Message: "the table is written in two bytes a letter (UTF-16)", Hint: "save it as UTF-8: plain text, or \"CSV UTF-8\""}}
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return nil, strict.Faults{{File: file, Line: 1, Column: 1, Message: "this is no table of plain text", Hint: "save it as CSV, its header line such as " + strings.Join(headings(columns), ",")}}
	}
	data = plain(data)
	r := &tableReader{file: file, csv: csv.NewReader(bytes.NewReader(data)), out: Values{columns: map[string][]float64{}, texts: map[string][]string{}, places: map[string][]int{}}}
	r.csv.Comment = '#'
	r.csv.Comma = separator(data)
	r.csv.TrimLeadingSpace = r.csv.Comma != '\t'
	r.csv.FieldsPerRecord = -1
	r.csv.ReuseRecord = true
	if r.header(columns) {
		for len(r.faults) < mostFaults && r.row() {
		}
	}
	if len(r.faults) > 0 {
		return nil, r.faults
	}
	for _, h := range r.heads {
		r.out.Inches = r.out.Inches || h.unit == "in" || h.unit == "ft"
	}
	return &r.out, nil
}

// twoBytes reports whether a text is in UTF-16, by its mark or by a first plain letter.
func twoBytes(data []byte) bool {
	if len(data) < 2 {
		return false
	}
	a, b := data[0], data[1]
	plain := func(c byte) bool { return c >= ' ' && c <= '~' }
	return a == 0xff && b == 0xfe || a == 0xfe && b == 0xff || plain(a) && b == 0 || a == 0 && plain(b)
}

// plain is a table without its byte-order mark, and without the quotes that a spreadsheet writes
// before a # over its header.
func plain(data []byte) []byte {
	data = bytes.Clone(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
	for line := range bytes.Lines(data) { // parts of data
		text := bytes.TrimSpace(line)
		switch {
		case bytes.HasPrefix(text, []byte(`"#`)):
			text[0] = '#'
		case len(text) > 0 && text[0] != '#':
			return data
		}
	}
	return data
}

// Header returns a table's header line, nil where it has none.
func Header(data []byte) []byte {
	for line := range bytes.Lines(plain(data)) {
		if line = bytes.TrimSpace(line); len(line) > 0 && line[0] != '#' {
			return line
		}
	}
	return nil
}

// headings are the columns' names, each length in mm.
func headings(columns []Column) (list []string) {
	for _, c := range columns {
		list = append(list, c.heading("mm"))
	}
	return list
}

// separator returns what stands between the names of the header.
func separator(data []byte) rune {
	line := Header(data)
	for _, s := range [...]rune{',', ';', '\t'} {
		if bytes.ContainsRune(line, s) {
			return s
		}
	}
	return ','
}

// fault records a fault in a field of the record read last.
func (r *tableReader) fault(field int, hint, format string, args ...any) {
	line, column := 1, 1
	if field >= 0 {
		line, column = r.csv.FieldPos(field)
	}
	r.faults = append(r.faults, strict.Fault{File: r.file, Line: line, Column: column, Message: fmt.Sprintf(format, args...), Hint: hint})
}

// next reads a record; false at the end, and where the file cannot be read on.
func (r *tableReader) next() ([]string, bool) {
	record, err := r.csv.Read()
	if err == nil {
		return record, true
	}
	var parse *csv.ParseError
	switch {
	case errors.As(err, &parse):
		r.faults = append(r.faults, strict.Fault{File: r.file, Line: parse.Line, Column: parse.Column, Message: "this line is no table: " + parse.Err.Error(), Hint: "plain numbers with commas between them, no quotes"})
	case !errors.Is(err, io.EOF):
		r.faults = append(r.faults, strict.Fault{File: r.file, Message: err.Error()})
	}
	return nil, false
}

// header reads the names of the columns.
func (r *tableReader) header(columns []Column) bool {
	var known []string
	example := headings(columns)
	each := "place"
	kinds := map[string]head{}
	for _, c := range columns {
		if c.Count {
			each = c.Name
		}
		for _, u := range units {
			if name := c.heading(u); !slices.Contains(known, name) {
				known = append(known, name)
				kinds[name] = head{c, u}
			}
		}
	}
	record, ok := r.next()
	if !ok {
		if len(r.faults) == 0 {
			r.fault(-1, "a header line such as "+strings.Join(example, ",")+", and a line for each "+each, "the table is empty")
		}
		return false
	}
	for i, field := range record {
		if len(r.faults) == mostFaults {
			break
		}
		field = strings.TrimSpace(field)
		h, ok := kinds[field]
		if !ok {
			hint := strict.Suggest(field, known, "the columns are")
			if len(columns) > mostListed && strings.HasPrefix(hint, "the columns are") {
				hint = "the columns are " + strings.Join(example, ", ") + "; or in cm or in"
			}
			if slices.ContainsFunc(columns, func(c Column) bool { return c.Name == field }) { // no guess is safe
				hint = "its name ends in its unit: " + field + "_mm or " + field + "_in"
			}
			r.fault(i, hint, "the column %s is not known", measure.Quote(field))
			continue
		}
		if slices.ContainsFunc(r.heads, func(other head) bool { return other.Name == h.Name }) {
			r.fault(i, "each column once", "the column %s comes twice", h.Name)
		}
		r.heads = append(r.heads, h)
		if h.Text {
			r.out.texts[h.Name] = []string{}
		} else {
			r.out.columns[h.Name] = []float64{}
		}
	}
	for _, c := range columns {
		if c.Needed && len(r.faults) == 0 && !slices.ContainsFunc(r.heads, func(h head) bool { return h.Name == c.Name }) {
			r.fault(0, "a header line such as "+strings.Join(example, ","), "there is no column %s", c.Name)
		}
	}
	return len(r.faults) == 0
}

// row reads one row; false at the end.
func (r *tableReader) row() bool {
	record, ok := r.next()
	if !ok {
		return false
	}
	line, _ := r.csv.FieldPos(0)
	if len(record) == 1 && strings.TrimSpace(record[0]) == "" {
		return true
	}
	if len(record) != len(r.heads) {
		hint := "a number for each column of the header"
		if len(record) == 2*len(r.heads) {
			hint = "a point, not a comma, before the decimals"
		}
		r.fault(0, hint, "%s for %s", measure.Count(len(record), "number"), measure.Count(len(r.heads), "column"))
		return true
	}
	if r.out.Rows() == MostRows {
		r.fault(0, fmt.Sprintf("at most %d rows", MostRows), "the table is too long")
		return false
	}
	for i, field := range record {
		field = strings.TrimSpace(field)
		_, at := r.csv.FieldPos(i)
		name := r.heads[i].Name
		if r.heads[i].Text {
			r.out.texts[name], r.out.places[name] = append(r.out.texts[name], field), append(r.out.places[name], at)
			continue
		}
		v, ok := r.cell(i, field)
		if !ok {
			continue
		}
		r.out.columns[name], r.out.places[name] = append(r.out.columns[name], v), append(r.out.places[name], at)
	}
	r.out.lines = append(r.out.lines, line)
	return true
}

// cell reads one cell: a length, mm, or a whole number; NaN of an empty one that may be.
func (r *tableReader) cell(i int, text string) (float64, bool) {
	h := r.heads[i]
	if h.Count {
		n, err := measure.ParseCount(text)
		if err != nil {
			r.fault(i, "a whole number such as 0, 1 or 2", "%s is no %s", measure.Quote(text), h.Name)
		}
		return float64(n), err == nil
	}
	if h.Sparse && text == "" {
		return math.NaN(), true
	}
	l, err := measure.ParseLength(text + " " + h.unit)
	if err != nil {
		hint := "a plain number such as 12.5"
		if strings.Contains(text, ",") {
			hint = "a point, not a comma, before the decimals"
		}
		r.fault(i, hint, "%s is no number", measure.Quote(text))
		return 0, false
	}
	if s := l.Step(); r.out.step == 0 || s < r.out.step {
		r.out.step = s
	}
	return l.MM, true
}
