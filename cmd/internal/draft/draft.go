// Package draft writes the text of a new job: in comes what a builder asks for, out goes a
// job file with a comment on every line, its blank as boards are sold and its shelf as the
// machine can hold and run it.
package draft

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"dishwright/cam/job"
	"dishwright/dish/measure"
)

// Line is one key of the root with its value as it is written.
type Line struct{ Key, Value string }

// Job is a job that is to be written.
type Job struct {
	Lines  []Line // what was asked for, in any order
	Blank  Blank
	Setups bool            // does the face need several?
	Gauge  bool            // is it a sheet of templates?
	Shelf  []Cutter        // what is suggested; not written where the shop file holds a shelf
	Held   map[string]bool // what the shop file says: keys of the root, and blank/thickness and the like
	Shop   string          // its name; empty for none
	Unit   measure.Ruler   // of what it suggests
}

// Blank is the blank, its sizes as they are written; Keys are those of its sizes.
type Blank struct {
	Shape     string
	Keys      []Line
	Thickness string
	Asked     bool // by the builder, not suggested
}

// Text returns the file.
func (j Job) Text() []byte {
	var b strings.Builder
	b.WriteString("# A new job: hold every line against what stands in your shop, then run\n# dishwright check on it. dishwright explain KEY tells more of each.\n")
	if j.Shop != "" {
		fmt.Fprintf(&b, "# What is not here stands in the shop file %s.\n", plain(j.Shop))
	}
	b.WriteString("\n")
	said := map[string]string{}
	for _, l := range j.Lines {
		said[l.Key] = l.Value
	}
	for _, name := range [...]string{"name", "form", "radius", "radii", "diameter", "length", "width", "plate", "covering", "machine"} {
		if v, ok := said[name]; ok {
			b.WriteString(commented("", name, v))
		}
	}
	j.blank(&b)
	if j.Setups {
		b.WriteString("\n" + commented("", "setups", "auto"))
		if !j.Held["index error"] {
			b.WriteString(commentedAs("", Line{"index error", j.Unit.Like("0.1 mm, 0.05 deg, height 0.02 mm")}, "how well it lies again: aside, turned, in height"))
		}
	}
	if !j.Held["shelf"] {
		b.WriteString("\n" + commentedAs("", Line{"shelf", ""}, "invented: write the cutters that you own"))
		for i, c := range j.Shelf {
			why := [...]string{"clears, and finishes where the slope lets it", "finishes; cuts to its middle"}
			if j.Gauge {
				why = [...]string{"cuts the templates out", "cuts their letters"}
			}
			fmt.Fprintf(&b, "  # %s\n  %s: %s\n", why[min(i, 1)], c.Name, c.Text)
		}
	}
	return []byte(b.String())
}

// blank writes what the shop file does not hold of the blank.
func (j Job) blank(b *strings.Builder) {
	b.WriteString("\n")
	about := brief("blank")
	if !j.Blank.Asked {
		about = "suggested, as boards are sold; measure yours"
	}
	b.WriteString(commentedAs("", Line{"blank", ""}, about))
	b.WriteString(commented("blank", "shape", j.Blank.Shape))
	for _, l := range j.Blank.Keys {
		b.WriteString(commented("blank", l.Key, l.Value))
	}
	if j.Blank.Thickness != "" {
		about := brief("blank/thickness")
		if j.Gauge {
			about = "of the sheet"
		}
		b.WriteString(commentedAs("  ", Line{"thickness", j.Blank.Thickness}, about))
	}
	if !j.Held["blank/material"] {
		b.WriteString(commented("blank", "material", map[bool]string{false: "mdf", true: "acrylic"}[j.Gauge]))
	}
}

// column is where comments begin, where the line leaves room for them.
const column = 27

// commented writes a line with what the catalogue says of its key in short.
func commented(holder, name, value string) string {
	if holder == "" {
		return commentedAs("", Line{name, value}, brief(name))
	}
	return commentedAs("  ", Line{name, value}, brief(holder+"/"+name))
}

// brief is what the catalogue says of a key in short.
func brief(path string) string {
	k, _ := job.Keys().Find(path)
	return k.Brief
}

// commentedAs writes a line with its comment.
func commentedAs(indent string, l Line, about string) string {
	text := strings.TrimRight(indent+l.Key+": "+l.Value, " ")
	return fmt.Sprintf("%-*s # %s\n", column-1, text, about)
}

// bare are the texts that YAML reads as they stand.
var bare = regexp.MustCompile(`^[A-Za-z0-9.][A-Za-z0-9 ._/-]*[A-Za-z0-9]$`)

// Quoted returns a text as YAML reads it back, in quotes where it must be.
func Quoted(text string) string {
	switch strings.ToLower(text) {
	case "null", "auto":
	default:
		if bare.MatchString(text) {
			return text
		}
	}
	return strconv.Quote(text) // whose escapes are YAML's too
}

// plain makes a name fit for a comment.
func plain(name string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, name)
}

// Needs returns the keys of the root that a job of the form cannot be without, beside its
// machine.
func Needs(form string) (names []string) {
	for _, k := range job.Keys().All() {
		if k.Parent() == "" && k.As(form).Needed && !k.Shop && k.For(form) {
			names = append(names, k.Path)
		}
	}
	return names
}
