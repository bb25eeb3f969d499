package shop_test

import (
	"math"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// spoken is what a machine's profile says of its controller and its speeds, read by the
// tests themselves.
type spoken struct {
	inches           bool
	decimals         int
	arcs             bool
	mode             string // the line of the path mode; empty where none is written
	dwell            string // seconds, milliseconds or none
	longest          int    // characters of a line
	byHand           bool   // a hand router
	slowest, fastest float64
	start            float64    // s
	feed             [3]float64 // mm/min
}

func (s spoken) unit() float64 { return map[bool]float64{false: 1, true: 25.4}[s.inches] }
func (s spoken) step() float64 { return s.unit() / math.Pow10(s.decimals) }

// speaks reads a profile.
func speaks(profile []byte) spoken {
	var y struct {
		Units    string
		Travel   yaml.Node
		Decimals int
		Arcs     string
		Mode     string `yaml:"path mode"`
		Dwell    string
		Longest  int `yaml:"longest line"`
		Feed     yaml.Node
		Spindle  struct {
			Slowest, Fastest float64
			Start            string
			Hand             yaml.Node `yaml:"hand router"`
		}
	}
	if err := yaml.Unmarshal(profile, &y); err != nil {
		panic("a profile: " + err.Error())
	}
	s := spoken{inches: y.Units == "in", decimals: y.Decimals, arcs: y.Arcs == "yes", mode: y.Mode, dwell: y.Dwell, longest: y.Longest,
		slowest: y.Spindle.Slowest, fastest: y.Spindle.Fastest}
	if y.Units == "" {
		s.inches = inInches(y.Travel)
	}
	if s.decimals == 0 {
		s.decimals = map[bool]int{false: 4, true: 5}[s.inches]
	}
	if s.mode == "none" {
		s.mode = ""
	}
	if s.dwell == "" {
		s.dwell = "seconds"
	}
	if s.longest == 0 {
		s.longest = 80
	}
	if s.start = 5; y.Spindle.Start != "" {
		s.start = number(strings.TrimSuffix(y.Spindle.Start, " s"))
	}
	if dial := y.Spindle.Hand.Content; len(dial) > 0 {
		s.byHand, s.slowest, s.fastest = true, number(dial[1].Value), number(dial[len(dial)-1].Value)
	}
	for i := range s.feed {
		s.feed[i] = feedOf(y.Feed, i)
	}
	return s
}

// inInches is whether a travel is stated in inches.
func inInches(travel yaml.Node) bool {
	for _, n := range travel.Content {
		if strings.HasSuffix(n.Value, " in") {
			return true
		}
	}
	return false
}

// feedOf reads the feed of an axis, in mm/min: a map of three, or one for X and Y, of which
// Z has a third.
func feedOf(n yaml.Node, axis int) float64 {
	if n.Kind != yaml.MappingNode {
		return perMinute(n.Value) / []float64{1, 1, 3}[axis]
	}
	for i := 0; i < len(n.Content); i += 2 {
		if n.Content[i].Value == "xyz"[axis:axis+1] {
			return perMinute(n.Content[i+1].Value)
		}
	}
	panic("a profile without a feed")
}

// perMinute reads "5000 mm/min", "150 in/min", "37 1/2 ipm" in mm/min.
func perMinute(text string) float64 {
	sum := 0.0
	words := strings.Fields(text)
	for _, w := range words[:len(words)-1] {
		over, under, fraction := strings.Cut(w, "/")
		v := number(over)
		if fraction {
			v /= number(under)
		}
		sum += v
	}
	unit, ok := map[string]float64{"mm/min": 1, "in/min": 25.4, "ipm": 25.4}[words[len(words)-1]]
	if !ok {
		panic("a feed: " + text)
	}
	return sum * unit
}

// controller draws how a profile's controller takes programs, in place of what the profile
// says of it. What is not drawn is left to its default.
func (d dice) controller(profile []byte) []byte {
	says := speaks(profile)
	drawn := map[string]string{"decimals": "", "path mode": d.pick("", "none", "G61", "G64"), "dwell": d.pick("", "seconds", "milliseconds", "none")}
	arcs := d.often(40)
	if drawn["arcs"] = d.pick("no", ""); arcs {
		drawn["arcs"] = "yes"
	}
	least := 4
	if says.inches {
		least = 5
	}
	if !arcs && d.often(25) {
		least--
	}
	if d.often(70) {
		drawn["decimals"] = strconv.Itoa(least + d.IntN(7-least))
	}
	if d.often(70) {
		n := 80 + d.IntN(60)
		switch {
		case d.often(20):
			n = 256
		case !arcs && d.often(50):
			n = 64
		case d.often(30):
			n = 80
		}
		drawn["longest line"] = strconv.Itoa(n)
	}
	var l lines
	silent := d.pick("", "", "", "rapid", "acceleration", "holder", "corner rounding", "rapid acceleration holder about hood")
	for _, line := range strings.Split(strings.TrimSuffix(string(profile), "\n"), "\n") {
		key, _, _ := strings.Cut(line, ":")
		if _, again := drawn[key]; key == "longest line" || again || strings.Contains(silent, key) && !strings.HasPrefix(key, "#") {
			continue
		}
		l = append(l, line)
	}
	for _, key := range []string{"path mode", "dwell", "arcs", "decimals", "longest line"} {
		if v := drawn[key]; v != "" {
			l.add("%s: %s", key, v)
		}
	}
	return l.bytes()
}
