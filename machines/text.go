package machines

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"

	"gonum.org/v1/gonum/spatial/r3"
)

// Text writes the machine as a profile in its own unit, every key with a comment. What
// the profile left out is written out; read again the text is the same machine, with no
// defaults.
func (m Machine) Text() []byte { return m.text(false) }

// Start writes a profile to go on from: what the machine's own profile states, and below
// it, as comments, what is taken for the rest and what else may be said. Read again the
// text is the same machine, with the same defaults.
func (m Machine) Start() []byte { return m.text(true) }

func (m Machine) text(start bool) []byte {
	var said, rest strings.Builder
	fmt.Fprintf(&said, "# What a machine can do, for dishwright. Lengths and feeds have their unit.\n")
	for _, name := range catalogue.Under("") {
		k := key(name)
		value := m.value(name, start)
		about, _, _ := strings.Cut(k.About, ". ")
		switch {
		case value == "" && start:
			fmt.Fprintf(&rest, "\n%s#%s: %s\n", comment(k.About+" Not known, and nothing is taken."), name, k.Example)
		case value == "":
		case m.Took(name) && start:
			fmt.Fprintf(&rest, "\n%s#%s: %s\n", comment(k.About+" Taken: "+m.why(name)+"."), name, value)
		case m.Took(name):
			fmt.Fprintf(&said, "%s: %s  # taken: %s\n", name, value, m.why(name))
		default:
			fmt.Fprintf(&said, "%s: %s  # %s\n", name, value, strings.TrimSuffix(about, "."))
		}
	}
	if start {
		said.WriteString("\n# What follows is taken, or not known. Where yours differs, take the # before the key\n# away and write what it is.\n")
		said.WriteString(rest.String())
	}
	return []byte(said.String())
}

// comment writes a text as lines of a comment.
func comment(text string) string {
	const width = 88
	var b strings.Builder
	line := "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > width {
			b.WriteString(line + "\n")
			line = "#"
		}
		line += " " + word
	}
	return b.String() + line + "\n"
}

// value writes what stands under a key of the profile itself; nothing where it is not
// known. With start, parts that the profile leaves out are left out.
func (m Machine) value(name string, start bool) string {
	u := m.Unit
	length := func(v float64) string {
		if v == 0 {
			return ""
		}
		return u.exact(key(name), v)
	}
	pair := func(first string, a float64, second string, b float64) string {
		return fmt.Sprintf("{%s: %s, %s: %s}", first, u.exact(key("hood/diameter"), a), second, u.exact(key("hood/diameter"), b))
	}
	switch name {
	case "name":
		return plain(m.Name)
	case "about":
		if m.About == "" {
			return ""
		}
		return plain(m.About)
	case "units":
		return u.String()
	case "travel":
		return u.vector(name, m.Travel)
	case "under gantry":
		return length(m.UnderGantry)
	case "between uprights":
		return length(m.BetweenUprights)
	case "feed":
		if start && m.Took("feed/z") {
			return u.exact(key("feed/x"), m.Feed.X)
		}
		return u.vector(name, m.Feed)
	case "rapid":
		return u.vector(name, m.Rapid)
	case "acceleration":
		return u.vector(name, m.Acceleration)
	case "spindle":
		return m.Spindle.text(!start || !m.Took("spindle/start"))
	case "collets":
		return u.list(m.Collets)
	case "holder":
		if m.Holder == (Holder{}) {
			return "none"
		}
		return pair("diameter", m.Holder.Diameter, "length", m.Holder.Length)
	case "hood":
		if m.Hood == nil {
			return ""
		}
		return pair("diameter", m.Hood.Diameter, "above tip", m.Hood.AboveTip)
	case "corner rounding":
		return u.exact(key(name), m.CornerRounding)
	case "path mode":
		if m.PathMode == "" {
			return "none"
		}
		return m.PathMode
	case "dwell":
		return m.Dwell.String()
	case "longest line":
		return strconv.Itoa(m.LongestLine)
	case "arcs":
		return yesNo(m.Arcs)
	case "decimals":
		return strconv.Itoa(m.Decimals)
	case "errors":
		return m.Errors.text(u)
	case "bed":
		return u.places(m.Bed)
	}
	panic("machines: the key " + name + " cannot be written")
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// text writes a spindle, its start where that is asked for.
func (s Spindle) text(start bool) string {
	var parts []string
	if len(s.Dial) > 0 {
		var dial []string
		for _, d := range s.Dial {
			dial = append(dial, plain(d.Mark)+": "+number(d.Speed))
		}
		parts = append(parts, "hand router: {"+strings.Join(dial, ", ")+"}")
	} else {
		parts = append(parts, "slowest: "+number(s.Slowest), "fastest: "+number(s.Fastest))
	}
	if start {
		parts = append(parts, "start: "+Millimetres.exact(key("spindle/start"), s.StartTime))
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// text writes what is known to be wrong; nothing where nothing is.
func (e GeometryErrors) text(u Unit) string {
	if e == (GeometryErrors{}) {
		return ""
	}
	slopes := func(v r3.Vec) string { return "{x: " + slope(v.X) + ", y: " + slope(v.Y) + ", z: " + slope(v.Z) + "}" }
	return "{scale: " + slopes(e.Scale) + ", lean: " + slope(e.Lean) + ", backlash: " + u.vector("errors/backlash", e.Backlash) +
		", known within: " + slope(e.Uncertainty) + ", corrected: " + yesNo(e.Corrected) + "}"
}

// places writes where the bed was read; nothing where it was not.
func (u Unit) places(list []r3.Vec) string {
	var all []string
	for _, p := range list {
		all = append(all, u.vector("bed/#", p))
	}
	if all == nil {
		return ""
	}
	return "[" + strings.Join(all, ", ") + "]"
}

// list writes shanks: whole millimetres as such and others as fractions of an inch, where
// they are, as they are sold.
func (u Unit) list(lengths []float64) string {
	var all []string
	for _, v := range lengths {
		in := Inches
		if v == math.Trunc(v) {
			in = Millimetres
		}
		text := in.exact(key("collets/#"), v)
		if in == Inches && !strings.Contains(text, "/") {
			text = u.exact(key("collets/#"), v)
		}
		all = append(all, text)
	}
	return "[" + strings.Join(all, ", ") + "]"
}

// plainText is a text that YAML reads as it stands.
var plainText = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9 .-]*$`)

// plain writes a text, in quotes where YAML needs them.
func plain(s string) string {
	if plainText.MatchString(s) && !strings.EqualFold(s, "null") {
		return s
	}
	return strconv.Quote(s) // of printable characters, which YAML reads as they are
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// exact writes a value of a key in the unit, so that it is read back as it is: as a
// fraction of an inch, or with the fewest decimals; in mm where inches cannot hold it.
func (u Unit) exact(k keys.Key, v float64) string {
	kind, name, size := u.quantity(k)
	read := quantities[kind].read
	if kind == keys.Length && u == Inches {
		if text, _ := measure.Fraction(v, 64); same(text, v, read) {
			return text
		}
	}
	if text, ok := shortest(v/size, name, v, read); ok {
		return text
	}
	return brief(v, quantities[kind].units[0])
}

// slope writes a slope, so that it is read back as it is.
func slope(v float64) string {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	if text, ok := shortest(float64(100*v), "mm per 100 mm", v, measure.ParseSlope); ok {
		return sign + text
	}
	return sign + brief(v, "mm per 1 mm") // where 100 v is rounded
}

// brief writes a number that is read back as it is, or to twelve decimals where that
// would be too long to be read: it is then nothing that a machine could tell from that.
func brief(v float64, unit string) string {
	text := number(v) + " " + unit
	if len(text) > measure.MaxText {
		text = measure.FormatShort(v, 12) + " " + unit
	}
	return text
}

// shortest writes a number in a unit with the fewest decimals that are read as v.
func shortest(n float64, unit string, v float64, read func(string) (float64, error)) (string, bool) {
	const digits = 20 // more than tell two numbers apart, from 0.001 up
	for d := range digits + 1 {
		if text := measure.FormatShort(n, d) + " " + unit; same(text, v, read) {
			return text, true
		}
	}
	return "", false
}

// same reports whether a text is read as v.
func same(text string, v float64, read func(string) (float64, error)) bool {
	got, err := read(text)
	return err == nil && got == v
}
