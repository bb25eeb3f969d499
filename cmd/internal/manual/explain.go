package manual

import (
	"fmt"
	"slices"
	"strings"

	"dishwright/cam/job/key"
	"dishwright/dish/measure"
)

// Lookup returns the keys that a word means: the one of that path, with or without its
// * and #, or every one whose path ends in it.
func Lookup(word string) (found []key.Key) {
	word = key.Current(strings.Trim(strings.TrimSpace(word), "/"))
	bare := strings.NewReplacer("*/", "", "#/", "")
	for _, k := range key.All() {
		if bare.Replace(k.Path) == word {
			return []key.Key{k}
		}
	}
	if k, ok := key.Find(word); ok {
		return []key.Key{k}
	}
	for _, k := range key.All() {
		if strings.HasSuffix(k.Path, "/"+word) {
			found = append(found, k)
		}
	}
	return found
}

// Paths returns the path of every key.
func Paths() (list []string) {
	for _, k := range key.All() {
		list = append(list, k.Path)
	}
	return list
}

// Takes says what may stand under a key.
func Takes(k key.Key) string {
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
func bounds(k key.Key, unit string) string {
	if k.Most == 0 {
		return ""
	}
	n := func(v float64) string {
		return strings.TrimSpace(measure.TrimZeros(measure.FormatFixed(v, 4)) + " " + unit)
	}
	return " from " + n(k.Least) + " to " + n(k.Most)
}

// Absent says what is taken where a key is left out.
func Absent(k key.Key) string {
	switch {
	case k.Needed && k.Parent() == "":
		return "required"
	case k.Needed:
		return "required, in " + k.Parent()
	case k.Default != "":
		return k.Default + ": " + k.Why
	}
	return "nothing"
}

// Explain writes all that the catalogue says of a key, in lines of at most width.
func Explain(k key.Key, width int) string {
	var b strings.Builder
	b.WriteString(k.Path + "\n")
	for _, row := range [...][2]string{
		{"", k.About}, {"takes", Takes(k)}, {"left out", Absent(k)}, {"written", k.Name() + ": " + k.Example}, {"formerly", k.Former}, {"forms", strings.Join(k.Forms, ", ")}, {"shop file", inShop(k)},
	} {
		value := row[1]
		if value == "" && (row[0] == "formerly" || row[0] == "shop file") {
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
	if under := key.Under(k.Path); len(under) > 0 {
		b.WriteString(foldList("  in it     ", under, width))
	}
	return b.String()
}

// inShop says whether a key may stand in a shop file; empty where not.
func inShop(k key.Key) string {
	if k.Shop {
		return "may hold it for all jobs"
	}
	return ""
}

// Index writes the name of every key, by what it is about, in lines of at most width:
// those of the file itself first, then what stands in each that holds others.
func Index(width int) string {
	var b strings.Builder
	for _, g := range key.Groups() {
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
		b.WriteString(g.About + "\n")
		for _, holder := range holders {
			lead := "  "
			if holder != "" {
				lead = "    in " + holder + ": "
			}
			b.WriteString(foldList(lead, in[holder], width))
		}
	}
	return b.String()
}

// Text writes the reference of every key as plain text, in lines of at most width.
func Text(width int) string {
	var b strings.Builder
	for i, g := range key.Groups() {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(strings.ToUpper(g.About) + "\n")
		for _, k := range g.Keys {
			b.WriteString("\n" + Explain(k, width))
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
	for _, k := range key.All() {
		if k.Parent() == "" {
			fmt.Fprintf(&b, "\n## %s\n\n", k.Path)
		} else {
			fmt.Fprintf(&b, "\n### %s\n\n", strings.ReplaceAll(k.Path, "*", `\*`))
		}
		fmt.Fprintf(&b, "%s\n\n- takes: %s\n- left out: %s\n- written: `%s`\n- forms: %s\n", fold("", k.About, 86)[:len(fold("", k.About, 86))-1], Takes(k), Absent(k), strings.TrimPrefix(k.Name()+": "+k.Example, "#: "), strings.Join(k.Forms, ", "))
		if k.Former != "" {
			fmt.Fprintf(&b, "- formerly: `%s`, still read\n", k.Former)
		}
	}
	return []byte(b.String())
}
