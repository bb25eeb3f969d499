package job

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"
	"dishwright/dish/scrap"
)

// Default is a value that the job file left out and that was chosen for it.
type Default = keys.Default

// Job is a job file as it was understood.
type Job struct {
	File     string
	Form     Form
	Work     work.Work
	Radius   measure.Length   // as asked for, in the builder's unit
	Diameter measure.Length   // of a dish or a caul
	Length   measure.Length   // of a board or a gauge
	Width    measure.Length   // of a board
	Plate    measure.Length   // of a caul: the thickness of the plate between it and its dish
	Radii    []measure.Length // of a gauge
	Swing    float64          // of a board, from side to side along its length, mm
	Spans    float64          // of a board: how far apart the sides may be, mm
	Bends    float64          // of a board: under the hand, mm
	Covered  []float64        // the covering in the places where it was measured, mm
	Layout   *CoveringLayout  // how the covering is cut; nil where the job does not ask
	Paired   bool             // is this the caul of a pair?
	Marks    *scrap.Layout    // of a scrap cut; nil for another form
	Mate     *Job             // the caul of a pair; nil for another form
	Ruler    measure.Ruler    // in what it is told: in inches where fractions are asked for, or the size of face, blank or body is in inches or feet
	Defaults []Default
	Warnings []work.Warning
	Shop     string  // the shop file that it was read with; empty for none
	Values   []Value // every value that counts, and where it comes from

	places map[string]strict.Pos
}

// Fault returns a fault at a key of the file.
func (j Job) Fault(key, message, hint string) error {
	return strict.Faults{j.place(key).Fault(j.File, message, hint)}
}

// Written returns a length as the builder wrote it, or in the job's unit where that is not known.
func (j Job) Written(key string, mm float64) string { return lengthAt(j.Values, j.Ruler, key, mm) }

// Written is as of a Job.
func (r Rim) Written(key string, mm float64) string { return lengthAt(r.Values, r.Ruler, key, mm) }

func lengthAt(values []Value, u measure.Ruler, key string, mm float64) string {
	for _, v := range values {
		if l, err := measure.ParseLength(v.Value); v.Key == key && err == nil && l.MM == mm {
			return l.String()
		}
	}
	return u.Length(mm, 3)
}

// SizeInInches reports whether the size of the face was given in inches or feet.
func (j Job) SizeInInches() bool {
	return j.Diameter.Unit.Imperial() || j.Length.Unit.Imperial()
}

// located is problems as the faults of a job file.
type located struct {
	strict.Faults
	problems work.Problems
}

// Unwrap returns the faults, for those who read, and the problems, for what is decided.
func (l located) Unwrap() []error { return []error{l.Faults, l.problems} }

// Locate turns the Problems of package cam into faults of the job file, each at
// the key it is about; other errors come back as they are. The problems stay in the error.
func (j Job) Locate(err error) error {
	var ps work.Problems
	if !errors.As(err, &ps) {
		return err
	}
	faults := make(strict.Faults, 0, len(ps))
	for _, p := range ps {
		hint := p.Would(func(k work.Key, mm float64) bool { return Keys().Expected(string(k)).Holds(mm) })
		faults = append(faults, j.place(string(p.Key)).Fault(j.File, p.Message.In(j.Ruler), hint.In(j.Ruler)+j.taken(string(p.Key))))
	}
	return located{faults, ps}
}

// taken says what was taken for a key that the job does not state; nothing of what is
// found out by trying.
func (j Job) taken(key string) string {
	for _, d := range j.Defaults {
		if d.Key == key && d.Value != work.Auto {
			return fmt.Sprintf("; the job states no %s: %s is taken", d.Key, measure.Written(d.Value).In(j.Ruler))
		}
	}
	return ""
}

// place returns where a key stands in the file, or where the key it lies under
// does, or the start of the file.
func (j Job) place(key string) strict.Pos {
	for key != "" {
		if p, ok := j.places[key]; ok {
			return p
		}
		i := strings.LastIndexByte(key, '/')
		key = key[:max(i, 0)]
	}
	return strict.Pos{Line: 1, Column: 1}
}

// Reader reads one document.
type Reader struct {
	*keys.Reader
	Root *keys.Section // the file itself
	Job  Job           // what was read so far

	noSize, noThickness bool // of the blank: does the job leave it out?
}

// newReader returns the reader of a document of the catalogue, in which keys of the forms may
// stand. Until its form is read it is taken for a dish.
func newReader(file string, doc *strict.Document, in *keys.Catalogue, forms ...string) Reader {
	r := keys.NewReader(doc, in)
	return Reader{Reader: r, Root: r.Root(forms...), Job: Job{File: file, Form: Dish{}, Work: work.Work{Region: dish.Disc{}}}}
}

// finish puts what was noted while reading into the job.
func (l *Reader) finish() {
	l.Job.Defaults, l.Job.places = l.Taken, l.Places
	l.Job.Ruler.Inches = l.Inches || l.Job.Ruler.Parts > 0
	if l.Job.Mate != nil {
		l.Job.Mate.Ruler = l.Job.Ruler
	}
}

// all reads the whole file, going on after every fault.
func (l *Reader) all(forms []Form) {
	w := &l.Job.Work
	l.form(forms)
	w.Name = l.name()
	l.machine(w)
	l.Job.Ruler.Parts = l.fractions()
	l.Job.Form.Read(l)
}

// cutting reads what follows the machine and the face, the blank first: see Cut.
func (l *Reader) cutting(w *work.Work, shape string, land float64) {
	l.blank(w, shape)
	l.holdDowns(w)
	l.obstacles(w)
	w.Floor = l.Root.Amount("floor")
	l.soldBlank(w, land)
	if l.Root.Has("support") {
		w.Support = l.Root.Word("support")
	}
	switch ribs := w.Support == work.OnRibs; {
	case ribs:
		w.Ribs = l.Root.Amount("rib spacing")
	case l.Root.Has("rib spacing") && l.Root.Amount("rib spacing") > 0:
		l.Root.FaultAtKey("rib spacing", "the dish does not lie on ribs", "support: ribs beside it, or leave it out")
	}
	w.ZeroAtBed = l.Root.Word("zero") == "centre-bed"
	w.ZeroError = l.Root.Amount("zero error")
	l.touchOff(w)
	w.Tilt = l.Root.Amount("spindle tilt")
	l.topPoints(w)
	l.corrected(w)
	w.Scallop = l.Root.Amount("scallop")
	w.Allowance = l.Root.Amount("allowance")
	l.pattern(w)
	l.direction(w)
	l.shelf(w)
	l.undersize(w)
	l.skimDepth(w)
	w.Rough = l.cutterName("rough", w)
	w.Finish = l.cutterName("finish", w)
}

// name reads the name; it goes into file names and comments, where it is made harmless.
func (l *Reader) name() string {
	usual := l.Root.Key("name").Default
	if !l.Root.Has("name") {
		l.Root.Took("name", usual)
	}
	return l.title(usual)
}

// title reads the name, made fit to be shown anywhere, or takes another.
func (l *Reader) title(instead string) string {
	v, ok := l.Root.Value("name")
	if !ok {
		return instead
	}
	text, changed, ok := v.Title(strict.MaxTextLength)
	if !ok {
		return instead
	}
	if changed {
		l.Job.Warnings = append(l.Job.Warnings, work.Warning{Kind: "name", Message: measure.Say("the name was made one line of at most 200 characters that can be printed"), Hint: measure.Say("a short name in plain letters reads best in the programs")})
	}
	return text
}

// fractions reads into how many parts the builder's rule divides an inch; 0 where no
// fractions are asked for.
func (l *Reader) fractions() int {
	return map[string]int{"1/64 in": 64, "1/32 in": 32}[l.Root.Word("fractions")]
}

// undersize reads how much the cutters may lack of their diameters.
func (l *Reader) undersize(w *work.Work) {
	v := l.Root.Amount("undersize")
	for _, c := range w.Shelf {
		if v > 0 && c.Diameter > 0 && v >= c.Diameter {
			l.Root.Fault("undersize", fmt.Sprintf("an undersize of %s leaves nothing of %s, %s across", l.writes(v), measure.Quote(c.Name), l.writes(c.Diameter)), l.like("about 0.05 mm")+" for a cutter that was ground or worn")
			return
		}
	}
	w.Undersize = v
}

// formerPatterns are those that are no longer made.
var formerPatterns = []string{"gores"}

// pattern reads how the finishing passes run. A former pattern leaves it to the planner.
func (l *Reader) pattern(w *work.Work) {
	if was := l.Root.Written("pattern"); slices.Contains(formerPatterns, was) {
		w.Pattern = work.Auto
		l.Job.Warnings = append(l.Job.Warnings, work.Warning{Kind: "former-pattern", Message: measure.Say("%s are no longer made: the quickest pattern that keeps the bound is taken", was), Hint: measure.Say("write pattern: auto, which is the same")})
		return
	}
	w.Pattern = l.Root.Word("pattern")
}

// direction reads what the passes may do.
func (l *Reader) direction(w *work.Work) {
	word := l.Root.Word("direction")
	for _, d := range [...]work.Direction{work.Both, work.Uphill, work.AlongX, work.AlongY} {
		if word == d.String() {
			w.Direction = d
		}
	}
}
