package job

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"
)

// Default is a value that the job file left out and that was chosen for it.
type Default = keys.Default

// Job is a job file as it was understood.
type Job struct {
	File     string
	Form     string
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
	Layout   *CoveringLayout  // how the covering is cut; nil where the job does not ask
	Paired   bool             // is this the caul of a pair?
	Mate     *Job             // the caul of a pair; nil for another form
	Parts    int              // of an inch, where the job asks for fractions: 32 or 64, else 0
	Inches   bool             // is the radius, the diameter, the blank or the machine in inches or feet?
	Rule     bool             // is anything but the radius: does the builder's rule show inches?
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

// PlateOf returns the thickness of the plate that lies between a caul and its dish,
// by which its radius is less than the one asked for; 0 for another form.
func (j Job) PlateOf() float64 {
	if j.Form == "caul" {
		return j.Plate.MM
	}
	return 0
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
		faults = append(faults, j.place(string(p.Key)).Fault(j.File, p.Message, p.Hint+j.taken(string(p.Key))))
	}
	return located{faults, ps}
}

// taken says what was taken for a key that the job does not state; nothing of what is
// found out by trying.
func (j Job) taken(key string) string {
	for _, d := range j.Defaults {
		if d.Key == key && d.Value != work.Auto {
			return fmt.Sprintf("; the job states no %s: %s is taken", d.Key, d.Value)
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

// loader reads one document.
type loader struct {
	*keys.Reader
	root *keys.Section
	job  Job

	noSize, noThickness bool // of the blank: does the job leave it out?
}

// newLoader returns the loader of a document in which keys of the forms may stand.
func newLoader(file string, doc *strict.Document, forms ...string) loader {
	r := keys.NewReader(doc, key.Jobs())
	return loader{Reader: r, root: r.Root(forms...), job: Job{File: file, Work: work.Work{Region: dish.Disc{}}}}
}

// finish puts what was noted while reading into the job.
func (l *loader) finish() {
	l.job.Defaults, l.job.places = l.Taken, l.Places
	l.job.Inches, l.job.Rule = l.job.Inches || l.Inches, l.Inches
}

// all reads the whole file, going on after every fault.
func (l *loader) all() {
	w := &l.job.Work
	w.Name = l.name()
	l.form()
	l.machine(w)
	l.job.Parts = l.fractions()
	if l.job.Form == "gauge" {
		l.templates(w)
		return
	}
	l.face(w)
	l.cuttingRest(w)
	l.stiff(w)
	l.layout(w)
	l.extras(w)
	l.touchable(w)
	l.setups(w)
	if l.job.Form == "pair" {
		l.mate(w)
	}
}

// cutting reads everything about cutting but the face.
func (l *loader) cutting(w *work.Work) {
	l.machine(w)
	l.cuttingRest(w)
}

// cuttingRest reads what follows the machine and the face.
func (l *loader) cuttingRest(w *work.Work) {
	l.blank(w)
	l.holdDowns(w)
	l.obstacles(w)
	w.Floor = l.root.Amount("floor")
	l.soldBlank(w)
	if l.root.Has("support") {
		w.Support = l.root.Word("support")
	}
	w.ZeroAtBed = l.root.Word("zero") == "centre-bed"
	w.ZeroError = l.root.Amount("zero error")
	l.touchOff(w)
	w.Tilt = l.root.Amount("spindle tilt")
	l.topPoints(w)
	l.corrected(w)
	w.Scallop = l.root.Amount("scallop")
	w.Allowance = l.root.Amount("allowance")
	l.pattern(w)
	l.direction(w)
	l.shelf(w)
	l.undersize(w)
	l.skimDepth(w)
	w.Rough = l.cutterName("rough", w)
	w.Finish = l.cutterName("finish", w)
}

// name reads the name; it goes into file names and comments, where it is made harmless.
func (l *loader) name() string {
	usual := l.root.Key("name").Default
	if !l.root.Has("name") {
		l.root.Took("name", usual)
	}
	return l.title(usual)
}

// title reads the name, made fit to be shown anywhere, or takes another.
func (l *loader) title(instead string) string {
	v, ok := l.root.Value("name")
	if !ok {
		return instead
	}
	text, changed, ok := v.Title(strict.MaxTextLength)
	if !ok {
		return instead
	}
	if changed {
		l.job.Warnings = append(l.job.Warnings, work.Warning{Kind: "name", Message: "the name was made one line of at most 200 characters that can be printed", Hint: "a short name in plain letters reads best in the programs"})
	}
	return text
}

// fractions reads into how many parts the builder's rule divides an inch; 0 where no
// fractions are asked for.
func (l *loader) fractions() int {
	return map[string]int{"1/64 in": 64, "1/32 in": 32}[l.root.Word("fractions")]
}

// radii notes the units of radii: domes are named in feet wherever they are made.
func (l *loader) radii(lengths ...measure.Length) {
	for _, v := range lengths {
		l.job.Inches = l.job.Inches || v.Unit.Imperial()
	}
}

// undersize reads how much the cutters may lack of their diameters.
func (l *loader) undersize(w *work.Work) {
	v := l.root.Amount("undersize")
	for _, c := range w.Shelf {
		if v > 0 && c.Diameter > 0 && v >= c.Diameter {
			l.root.Fault("undersize", fmt.Sprintf("an undersize of %s leaves nothing of %s, %s across", measure.Length{MM: v}, measure.Quote(c.Name), measure.Length{MM: c.Diameter}), "a few hundredths of a millimetre for a cutter that was ground or worn")
			return
		}
	}
	w.Undersize = v
}

// formerPatterns are those that are no longer made.
var formerPatterns = []string{"gores"}

// pattern reads how the finishing passes run. A former pattern leaves it to the planner.
func (l *loader) pattern(w *work.Work) {
	if was := l.root.Written("pattern"); slices.Contains(formerPatterns, was) {
		w.Pattern = work.Auto
		l.job.Warnings = append(l.job.Warnings, work.Warning{Kind: "former-pattern", Message: was + " are no longer made: the quickest pattern that keeps the bound is taken", Hint: "write pattern: auto, which is the same"})
		return
	}
	w.Pattern = l.root.Word("pattern")
}

// direction reads what the passes may do.
func (l *loader) direction(w *work.Work) {
	word := l.root.Word("direction")
	for _, d := range [...]work.Direction{work.Both, work.Uphill, work.AlongX, work.AlongY} {
		if word == d.String() {
			w.Direction = d
		}
	}
}
