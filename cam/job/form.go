package job

import (
	"fmt"
	"slices"
	"strings"

	"dishwright/cam/job/key"
	"dishwright/cam/pass"
	"dishwright/cam/work"
	"dishwright/dish/measure/keys"
)

// Form is what a job makes. Each form is one file, which holds how it is read and what is worth
// saying of it. Most build on Dish.
type Form interface {
	// Word is what the key form says.
	Word() string
	// Keys are the keys of its own, and the form whose keys it shares beside them; nothing is
	// looked at where the catalogue knows the form.
	Keys() (like string, own []key.Key)
	// Read reads what follows the name and the machine. Whatever is wrong is a fault of the
	// document. What the form has to remember it leaves in the job, in a Form of its own or in
	// the job's fields.
	Read(r *Reader)
	// Words are what is worth saying of a job; own writes a length in the unit of its programs.
	Words(j Job, own func(mm float64) string) Words
}

// known are the forms that a job may be of, but for the rim, which is read by LoadRim.
var known = []Form{Dish{}, caul{}, board{}, gauge{}, pair{}}

// usual is the catalogue of the known forms and patterns.
var usual, patterns = catalogue(known), pass.Patterns()

// Keys returns the catalogue of the keys that a job may have, with those of more forms. It
// knows the patterns that there are.
func Keys(more ...Form) *keys.Catalogue {
	if len(more) == 0 && slices.Equal(patterns, pass.Patterns()) {
		return usual
	}
	return catalogue(append(slices.Clone(known), more...))
}

// catalogue returns the catalogue that knows the forms.
func catalogue(forms []Form) *keys.Catalogue {
	c := key.Worded(key.Jobs(), "pattern", slices.Sorted(slices.Values(pass.Patterns()))...)
	for _, f := range forms {
		if !slices.Contains(wordsIn(c), f.Word()) {
			like, own := f.Keys()
			c = key.With(c, f.Word(), like, own...)
		}
	}
	return c
}

// FormWords returns the words of the forms that a job may state, the rim among them.
func FormWords() []string { return wordsIn(Keys()) }

func wordsIn(c *keys.Catalogue) []string {
	k, _ := c.Find("form")
	return k.Words
}

// Words are what is worth saying of what a job makes, in programs, reports and sheets.
type Words interface {
	// Product describes it in a few words, Depth says how deep it is cut, empty of what has
	// no face, and Heading is a heading for both.
	Product() string
	Depth() string
	Heading() string
	// Sizes are those that a report tells.
	Sizes() Sizes
	// Warnings are what the builder should know of it before cutting.
	Warnings() []work.Warning
	// Head are more sentences for the head of each of its programs.
	Head() []string
	// Caution is what is said of it wherever hands come near; empty for most.
	Caution() string
	// Lies says how its blank is called and how that lies on the bed, beside what its
	// shape says; along is empty where the shape says all.
	Lies() (name, along string)
	// Apex is what X0 Y0 is found by on its blank, empty for the blank's own middle.
	Apex() string
	// Checks are how it is checked when it is cut; empty where the depths of its face are
	// measured.
	Checks() []string
	// Use is what is done with it, under a title; the title is empty where a rim is sanded
	// with it.
	Use() (title string, practice bool, list []string)
	// Sanding says what is moved by hand while a rim is sanded with it, and how.
	Sanding(own func(mm float64) string) (moved, how string)
}

// Sizes are the sizes that only some forms have, mm; 0 where one has none.
type Sizes struct {
	Length, Width, Diameter float64
	Radius                  float64 // that the wood is cut to
	Band                    float64 // width of a mould's edge
	Spans, Bends            float64 // of a board: see Job
	OffSphere               float64 // of a cylinder, across its width
	Radii                   []float64
}

// form reads which tool is made, and finds keys that it does not have.
func (l *Reader) form(forms []Form) {
	l.Form = l.Root.Word("form")
	if l.Form == key.Rim {
		l.Root.Fault("form", "a rim is worked out, not cut as a dish is", "dishwright rim JOB")
		return
	}
	for _, f := range forms {
		if f.Word() == l.Form {
			l.Job.Form = f
		}
	}
	for _, name := range l.Root.Keys() {
		if k, ok := l.In.Find(name); ok && k.Instead != "" && l.Form != "" && !k.For(l.Form) {
			l.Root.FaultAtKey(name, fmt.Sprintf("a %s has no %s", l.Form, name), k.Instead)
		}
	}
}

// lower writes the first letter small.
func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }
