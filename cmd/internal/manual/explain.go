package manual

import (
	"fmt"
	"slices"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/machines"
)

// jobs is the catalogue of a job file.
var jobs = job.Keys()

// Files returns the catalogue of each sort of file: that of a job first.
func Files() []*keys.Catalogue { return []*keys.Catalogue{jobs, machines.Keys()} }

// Entry is a key with the catalogue that it is in.
type Entry struct {
	keys.Key
	In *keys.Catalogue
}

// job reports whether the key is one of a job file.
func (e Entry) job() bool { return e.In.File == jobs.File }

// Entries returns every key of every sort of file.
func Entries() (list []Entry) {
	for _, c := range Files() {
		for _, k := range c.All() {
			list = append(list, Entry{k, c})
		}
	}
	return list
}

// OfMachine stands before the path of a profile's key where that of a job is not meant.
const OfMachine = "machine/"

// Lookup returns the keys that a word means: those of that path, with or without its
// * and #, or else every one whose path ends in it. Behind machine/ only those of a profile
// are meant.
func Lookup(word string) (found []Entry) {
	word = strings.Trim(strings.TrimSpace(word), "/")
	among := Files()
	if rest, ok := strings.CutPrefix(word, OfMachine); ok {
		word, among = rest, []*keys.Catalogue{machines.Keys()}
	}
	for _, c := range among {
		if k, ok := exactly(c, word); ok {
			found = append(found, Entry{k, c})
		}
	}
	if len(found) > 0 {
		return found
	}
	for _, c := range among {
		for _, k := range c.All() {
			if strings.HasSuffix(k.Path, "/"+c.Current(word)) {
				found = append(found, Entry{k, c})
			}
		}
	}
	return found
}

// exactly returns the key of a path, with or without its * and #.
func exactly(c *keys.Catalogue, word string) (keys.Key, bool) {
	bare := strings.NewReplacer("*/", "", "#/", "")
	for _, k := range c.All() {
		if bare.Replace(k.Path) == c.Current(word) {
			return k, true
		}
	}
	return c.Find(word)
}

// Paths returns the path of every key, as Lookup takes it.
func Paths() (list []string) {
	for _, e := range Entries() {
		if e.job() {
			list = append(list, e.Path)
		} else {
			list = append(list, OfMachine+e.Path)
		}
	}
	return list
}

// Takes says what may stand under a key.
func Takes(k keys.Key) string {
	var list []string
	for _, kind := range k.Kinds {
		switch kind {
		case key.Length:
			list = append(list, "a length"+bounds(k, "mm"))
		case key.Number:
			list = append(list, "a number"+bounds(k, ""))
		case key.Whole:
			list = append(list, "a whole number"+bounds(k, ""))
		case key.Angle:
			list = append(list, "an angle"+bounds(k, "deg"))
		case keys.Feed:
			list = append(list, "a feed"+bounds(k, "mm/min"))
		case keys.Acceleration:
			list = append(list, "an acceleration"+bounds(k, "mm/s2"))
		case keys.YesNo:
			list = append(list, "yes or no")
		case key.Slope:
			list = append(list, "a slope, such as 0.1 mm per 100 mm")
		case key.Time:
			list = append(list, "a time"+bounds(k, "s"))
		case key.Text:
			list = append(list, "words")
		case key.Word:
			list = append(list, strings.Join(k.Words, ", "))
		case key.Map:
			list = append(list, "keys of its own")
		case key.List:
			list = append(list, "a list")
		case key.Place:
			list = append(list, "a place, [along, across]")
		}
	}
	if !k.Is(key.Word) {
		list = append(list, k.Words...)
	}
	return strings.Join(list, "; or ")
}

// bounds writes the range of a key's value.
func bounds(k keys.Key, unit string) string {
	if k.Most == 0 {
		return ""
	}
	n := func(v float64) string {
		return strings.TrimSpace(measure.TrimZeros(measure.FormatFixed(v, 4)) + " " + unit)
	}
	return " from " + n(k.Least) + " to " + n(k.Most)
}

// Absent says what is taken where a key is left out.
func Absent(k keys.Key) string {
	switch {
	case k.Needed && k.Parent() == "":
		return "required"
	case k.Needed:
		return "required, in " + k.Parent()
	case k.Default != "":
		return k.Taken() + ": " + k.Reason()
	}
	return "nothing"
}

// Explain writes all that the catalogue says of a key, in lines of at most width.
func Explain(k Entry, width int) string {
	var b strings.Builder
	file := ""
	if !k.job() {
		file = "of " + k.In.File
	}
	b.WriteString(k.Path + "\n")
	for _, row := range [...][2]string{
		{"", k.About}, {"takes", Takes(k.Key)}, {"left out", Absent(k.Key)}, {"written", k.Name() + ": " + k.Example}, {"formerly", k.Former}, {"forms", strings.Join(k.Forms, ", ")}, {"shop file", inShop(k.Key)}, {"file", file},
	} {
		value := row[1]
		if value == "" { // most keys have no former name, and those of a profile no forms
			continue
		}
		if row[0] == "written" && (k.Name() == "#" || k.Name() == "*") {
			value = k.Example
		}
		lead := "  "
		if row[0] != "" {
			lead = fmt.Sprintf("  %-10s", row[0])
		}
		b.WriteString(fold(lead, value, width))
	}
	if under := k.In.Under(k.Path); len(under) > 0 {
		b.WriteString(foldList("  in it     ", under, width))
	}
	return b.String()
}

// inShop says whether a key may stand in a shop file; empty where not.
func inShop(k keys.Key) string {
	if k.Shop {
		return "may hold it for all jobs"
	}
	return ""
}

// Index writes the name of every key, by what it is about, in lines of at most width:
// those of the file itself first, then what stands in each that holds others.
func Index(width int) string {
	var b strings.Builder
	for _, c := range Files() {
		for _, g := range c.Groups() {
			b.WriteString(heading(c, g) + "\n" + indexOf(g, width))
		}
	}
	return b.String()
}

// heading says what a group of keys is about; of a file that is no job which file's they are.
func heading(c *keys.Catalogue, g keys.Group) string {
	if c == jobs {
		return g.About
	}
	return c.File + ": " + g.About
}

func indexOf(g keys.Group, width int) string {
	var b strings.Builder
	var holders []string
	in := map[string][]string{}
	for _, k := range g.Keys {
		holder := k.Parent()
		if k.Name() == "*" || k.Name() == "#" {
			continue
		}
		if in[holder] == nil {
			holders = append(holders, holder)
		}
		in[holder] = append(in[holder], k.Name())
	}
	for _, holder := range holders {
		lead := "  "
		if holder != "" {
			lead = "    in " + holder + ": "
		}
		b.WriteString(foldList(lead, in[holder], width))
	}
	return b.String()
}

// Text writes the reference of every key as plain text, in lines of at most width.
func Text(width int) string {
	var b strings.Builder
	for _, c := range Files() {
		for _, g := range c.Groups() {
			if b.Len() > 0 {
				b.WriteString("\n")
			}
			b.WriteString(strings.ToUpper(heading(c, g)) + "\n")
			for _, k := range g.Keys {
				b.WriteString("\n" + Explain(Entry{k, c}, width))
			}
		}
	}
	return b.String()
}

// fold writes a paragraph behind a lead, later lines under its beginning.
func fold(lead, text string, width int) string {
	return foldWords(lead, strings.Fields(text), width)
}

// foldList writes a list behind a lead, its entries in one piece each.
func foldList(lead string, entries []string, width int) string {
	words := slices.Clone(entries)
	for i := range words[:len(words)-1] {
		words[i] += ","
	}
	return foldWords(lead, words, width)
}

func foldWords(lead string, words []string, width int) string {
	var b strings.Builder
	line, indent := lead, strings.Repeat(" ", len([]rune(lead)))
	for i, word := range words {
		switch {
		case i == 0:
		case len([]rune(line))+1+len([]rune(word)) > width:
			b.WriteString(line + "\n")
			line = indent
		default:
			line += " "
		}
		line += word
	}
	return b.String() + line + "\n"
}

// Keys writes the reference of every key as Markdown.
func Keys() []byte {
	var b strings.Builder
	b.WriteString(`# The keys of a job file

Made from the program's own catalogue by ` + "`dishwright manual --keys`" + `; a test sees that
it is. ` + "`dishwright explain KEY`" + ` shows one of them. A ` + "`*`" + ` stands for a name of your own,
a ` + "`#`" + ` for each entry of a list. Lengths are written with their unit: ` + "`25 ft`, `6 1/2 in`,\n`460 mm`, `0.05 mm`" + `.
`)
	for _, c := range Files() {
		forms := func(k keys.Key) string { return "\n- forms: " + strings.Join(k.Forms, ", ") }
		if c != jobs {
			forms = func(keys.Key) string { return "" }
			fmt.Fprintf(&b, "\n# The keys of %s\n\n`name`, `travel`, `feed` and `spindle` are needed; `check` tells what is taken for the others.\n", c.File)
		}
		for _, k := range c.All() {
			fmt.Fprintf(&b, "\n%s %s\n\n%s\n- takes: %s\n- left out: %s\n- written: `%s`%s\n", map[bool]string{true: "##", false: "###"}[k.Parent() == ""],
				strings.ReplaceAll(k.Path, "*", `\*`), fold("", k.About, 86), Takes(k), Absent(k), strings.TrimPrefix(k.Name()+": "+k.Example, "#: "), forms(k))
			if k.Former != "" {
				fmt.Fprintf(&b, "- formerly: `%s`, still read\n", k.Former)
			}
		}
	}
	return []byte(b.String())
}
