package dial

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	plan "dishwright/cam/dial"
	"dishwright/cam/job"
	"dishwright/cmd/internal/sketch"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/post"

	"gonum.org/v1/gonum/spatial/r3"
)

// columns are those of the table.
var columns = []sketch.Column{{Name: "place", Needed: true, Count: true}, {Name: "x", Needed: true}, {Name: "y", Needed: true},
	{Name: "dial", Needed: true, Sparse: true}, {Name: "readings", Needed: true, Text: true}}

// decimals of a millimetre in the table's places, and how far a place in it may lie beside the
// one that it is, mm.
const (
	decimals = 4
	placeOff = 0.05
)

// CSV is the table to fill in.
func (s *Set) CSV() []byte {
	var b bytes.Buffer
	u := s.Job.Ruler
	fmt.Fprintf(&b, "# %s: set %s, %s; read at the program's stops, fill in dial_%s, whole turns counted\n", post.CommentText(s.Job.Work.Name), s.ID, s.Gauge.told(), u.Unit())
	fmt.Fprintf(&b, "place,x_%[1]s,y_%[1]s,dial_%[1]s,readings\n", u.Unit())
	for i, p := range s.List {
		fmt.Fprintf(&b, "%d,%s,%s,,%s\n", i+1, u.Short(p.X, decimals), u.Short(p.Y, decimals), s.ID)
	}
	return b.Bytes()
}

// Filled is a table as it was filled in.
type Filled struct {
	Places
	File   string
	Dial   []float64 // at each place, mm
	Inches bool
	Step   float64 // the finest figure that a dial's was written to, mm
}

// IsTable reports whether a file's header is that of such a table, though a column be missing.
func IsTable(data []byte) bool {
	h := sketch.Header(data)
	return bytes.Contains(h, []byte("dial_")) || bytes.Contains(h, []byte("readings"))
}

// reader reads a table against the job's places.
type reader struct {
	file   string
	t      *sketch.Values
	job    job.Job
	faults strict.Faults
}

func (r *reader) fault(column string, row int, hint, format string, args ...any) {
	line, at := r.t.At(column, row)
	r.faults = append(r.faults, strict.Fault{File: r.file, Line: line, Column: at, Message: fmt.Sprintf(format, args...), Hint: hint})
}

// Read reads a filled table of a job; all its faults at once.
func Read(file string, data []byte, j job.Job) (Filled, error) {
	t, err := sketch.Table(file, data, columns...)
	if err != nil {
		return Filled{}, err
	}
	r := &reader{file: file, t: t, job: j}
	places, err := r.set()
	if err != nil {
		return Filled{}, err
	}
	f := Filled{Places: places, File: file, Inches: t.Inches, Dial: slices.Repeat([]float64{math.NaN()}, len(places.List))}
	seen := r.rows(places, f.Dial)
	var missing []string
	for i, row := range seen {
		if row == 0 {
			missing = append(missing, fmt.Sprint(i+1))
		}
	}
	if len(missing) > 0 {
		last := max(0, t.Rows()-1)
		line := 1
		if t.Rows() > 0 {
			line = t.Line(last)
		}
		r.faults = append(r.faults, strict.Fault{File: file, Line: line, Column: 1, Message: fmt.Sprintf("there is no reading of place %s", strings.Join(missing, ", ")), Hint: fmt.Sprintf("a row for each of the %d places, as the table had them", len(places.List))})
	}
	if !r.unit(f) {
		r.bounds(f, seen, gaugeOf(data))
	}
	slices.SortStableFunc(r.faults, func(a, b strict.Fault) int { return a.Line - b.Line })
	if len(r.faults) > 0 {
		return Filled{}, r.faults
	}
	return f, nil
}

// set finds out whose readings they are: those of the face or of the top, of this job.
func (r *reader) set() (Places, error) {
	sets := r.t.Text("readings")
	if len(sets) == 0 {
		return Places{}, strict.Faults{{File: r.file, Line: 1, Column: 1, Message: "the table holds no readings", Hint: "a row for each place, as dishwright readings wrote it"}}
	}
	var known []string
	var found Places
	var first error
	for _, of := range Whats() {
		for _, j := range pieces(r.job) {
			p, err := PlacesOf(j, of)
			if err != nil {
				if first == nil {
					first = err
				}
				continue
			}
			known = append(known, p.ID)
			for _, s := range sets {
				if found.ID == "" && strings.EqualFold(s, p.ID) {
					found = p
				}
			}
		}
	}
	if len(known) == 0 {
		return Places{}, first
	}
	want, hint := found.ID, "the rows of one set in one table"
	if want == "" {
		hint = "the job as it was when its program was made: readings of another job, or of this one with other places, say nothing of it"
	}
	for row, s := range sets {
		if want != "" && strings.EqualFold(s, want) {
			continue
		}
		switch {
		case s == "":
			r.fault("readings", row, "the set's sign in every row, as the table had it", "this row does not say to which set it belongs")
		case want == "":
			r.fault("readings", row, hint, "these readings are of set %s; the job's are %s", measure.Quote(s), strings.Join(known, ", "))
		default:
			r.fault("readings", row, hint, "this row is of set %s, others of %s", measure.Quote(s), want)
		}
		if want == "" {
			break
		}
	}
	if want == "" {
		return Places{}, r.faults
	}
	return found, nil
}

// pieces are the job, or the dish and the caul of a pair.
func pieces(j job.Job) []job.Job {
	if j.Mate != nil {
		return []job.Job{j, *j.Mate}
	}
	return []job.Job{j}
}

// rows reads the rows into the dial's figures; seen is the row, from 1, that each place has.
func (r *reader) rows(p Places, dial []float64) (seen []int) {
	seen = make([]int, len(p.List))
	number, x, y, d := r.t.MM("place"), r.t.MM("x"), r.t.MM("y"), r.t.MM("dial")
	u := measure.Ruler{Inches: r.t.Inches}
	for row := range r.t.Rows() {
		n := int(number[row])
		switch {
		case n < 1 || n > len(p.List):
			r.fault("place", row, fmt.Sprintf("places 1 to %d", len(p.List)), "the set has no place %d", n)
			continue
		case seen[n-1] > 0:
			r.fault("place", row, fmt.Sprintf("place %d stands in line %d already", n, r.t.Line(seen[n-1]-1)), "place %d comes twice", n)
			continue
		}
		seen[n-1] = row + 1
		want := p.List[n-1]
		if exact.Dist(x[row]-want.X, y[row]-want.Y) > placeOff {
			hint := fmt.Sprintf("place %d is at %s", n, u.Place(want.X, want.Y))
			for k, q := range p.List {
				if exact.Dist(x[row]-q.X, y[row]-q.Y) <= placeOff {
					hint += fmt.Sprintf("; what stands here is place %d: were two rows swapped?", k+1)
					break
				}
			}
			r.fault("x", row, hint, "%s is not where place %d is", u.Place(x[row], y[row]), n)
		}
		if math.IsNaN(d[row]) {
			r.fault("dial", row, "what the dial showed there, whole turns counted", "place %d has no reading", n)
			continue
		}
		dial[n-1] = d[row]
	}
	return seen
}

// expected is what a dial would show of the face as the job has it, each mm, but for a height
// that all have in common: how high the face stands above the tip.
func (p Places) expected() (list []float64) {
	w := &p.Job.Work
	warp := plan.Warp(w, p.Of)
	low := math.Inf(1)
	for _, q := range p.List {
		low = min(low, q.Rest-1)
	}
	for _, q := range p.List {
		at := plan.Touched(w, p.Of, warp, q.X, q.Y)
		list = append(list, at.Z-warp.Actual(r3.Vec{X: q.X, Y: q.Y, Z: low}).Z)
	}
	return list
}

// unit finds figures that rather are in another unit, or of a dial that counts the other way:
// over a face whose depth is known they rise as the face does.
func (r *reader) unit(f Filled) bool {
	expected := f.expected()
	if span(expected) < 0.5 {
		return false
	}
	slope := slopeOf(expected, f.Dial)
	hint, what := "", ""
	near := func(v float64) bool { return math.Abs(slope/v-1) < 0.25 }
	switch {
	case near(1 / 25.4):
		what, hint = "are rather inches", "dial_in in the header, if the dial shows inches"
	case near(25.4):
		what, hint = "are rather millimetres", "dial_mm in the header, if the dial shows millimetres"
	case near(-1):
		what, hint = "fall where the face rises", "a dial that shows more where it is pressed more: take each from a round number"
	case near(0.1), near(10), near(0.01), near(100):
		what, hint = "are off by a power of ten from the face's depth", "lengths such as 3.25, not divisions of the dial"
	default:
		return false
	}
	r.fault("dial", 0, hint, "these figures %s: the face differs by %s over the places, they by %s", what,
		r.job.Ruler.Length(span(expected), 2), r.job.Ruler.Length(span(f.Dial), 3))
	return true
}

func span(list []float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range list {
		if !math.IsNaN(v) {
			low, high = min(low, v), max(high, v)
		}
	}
	return high - low
}

// slopeOf is how fast b rises with a: the middle one of the slopes between two that differ, which
// some wrong figures leave as it is.
func slopeOf(a, b []float64) float64 {
	var list []float64
	far := span(a) / 2
	for i := range a {
		for k := range i {
			if by := a[i] - a[k]; math.Abs(by) > far && !math.IsNaN(b[i]-b[k]) {
				list = append(list, (b[i]-b[k])/by)
			}
		}
	}
	if len(list) == 0 {
		return math.NaN()
	}
	slices.Sort(list)
	return list[len(list)/2]
}
