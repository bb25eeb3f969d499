package sketch

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// MostRows is the most rows of a table, or points of a path.
const MostRows = 100_000

// mostFaults are listed of one table: more of the same help nobody.
const mostFaults = 50

// Column is a column of a table: a length, its unit the ending of its name in the
// table's header, such as x_mm or x_in.
type Column struct {
	Name   string
	Needed bool
}

// Values are the columns of a table.
type Values struct {
	Inches bool // is a column in inches or feet?

	columns map[string][]float64
	lines   []int
}

// Rows returns how many rows there are.
func (v *Values) Rows() int { return len(v.lines) }

// MM returns a column in mm, nil where the table has none of that name.
func (v *Values) MM(name string) []float64 { return v.columns[name] }

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

type head struct{ name, unit string }

// Table reads a table with a header line: the names of the columns with their
// units. Lines that begin with # and empty lines are left out; the separator is a
// comma, or the semicolon or tab that the header has instead. The error is a
// strict.Faults.
func Table(file string, data []byte, columns ...Column) (*Values, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	r := &tableReader{file: file, csv: csv.NewReader(bytes.NewReader(data)), out: Values{columns: map[string][]float64{}}}
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

// separator returns what stands between the names of the header.
func separator(data []byte) rune {
	for line := range bytes.Lines(data) {
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		for _, s := range [...]rune{',', ';', '\t'} {
			if bytes.ContainsRune(line, s) {
				return s
			}
		}
		break
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
	var example, known []string
	for _, c := range columns {
		example = append(example, c.Name+"_mm")
		for _, u := range units {
			known = append(known, c.Name+"_"+u)
		}
	}
	record, ok := r.next()
	if !ok {
		if len(r.faults) == 0 {
			r.fault(-1, "a header line such as "+strings.Join(example, ",")+", and a line for each place", "the table is empty")
		}
		return false
	}
	for i, field := range record {
		field = strings.TrimSpace(field)
		cut := strings.LastIndexByte(field, '_')
		if !slices.Contains(known, field) {
			hint := strict.Suggest(field, known, "the columns are")
			if slices.ContainsFunc(columns, func(c Column) bool { return c.Name == field }) { // no guess is safe
				hint = "its name ends in its unit: " + field + "_mm or " + field + "_in"
			}
			r.fault(i, hint, "the column %s is not known", measure.Quote(field))
			continue
		}
		h := head{field[:cut], field[cut+1:]}
		if slices.ContainsFunc(r.heads, func(other head) bool { return other.name == h.name }) {
			r.fault(i, "each column once", "the column %s comes twice", h.name)
		}
		r.heads = append(r.heads, h)
	}
	for _, c := range columns {
		if c.Needed && len(r.faults) == 0 && !slices.ContainsFunc(r.heads, func(h head) bool { return h.name == c.Name }) {
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
		l, err := measure.ParseLength(strings.TrimSpace(field) + " " + r.heads[i].unit)
		if err != nil {
			hint := "a plain number such as 12.5"
			if strings.Contains(field, ",") {
				hint = "a point, not a comma, before the decimals"
			}
			r.fault(i, hint, "%s is no number", measure.Quote(field))
			continue
		}
		r.out.columns[r.heads[i].name] = append(r.out.columns[r.heads[i].name], l.MM)
	}
	r.out.lines = append(r.out.lines, line)
	return true
}
