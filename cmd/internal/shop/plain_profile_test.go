package shop_test

import (
	"fmt"
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
	start            float64    // s; 0 where it is not said
	feed             [3]float64 // mm/min
}

func (s spoken) unit() float64 { return map[bool]float64{false: 1, true: 25.4}[s.inches] }
func (s spoken) step() float64 { return s.unit() / math.Pow10(s.decimals) }

// speaks reads a profile.
func speaks(profile []byte) spoken {
	var y struct {
		Units    string
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
	if y.Spindle.Start != "" {
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

// feedOf reads the feed of an axis, in mm/min: one for all, or a map of three.
func feedOf(n yaml.Node, axis int) float64 {
	if n.Kind != yaml.MappingNode {
		return perMinute(n.Value)
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

// controllers are what controllers differ in, as lines of a profile.
type controller struct {
	mode, dwell string
	longest     int
}

// of writes it into a profile, in place of what the profile says of it.
func (c controller) of(profile []byte) []byte {
	var l lines
	for _, line := range strings.Split(strings.TrimSuffix(string(profile), "\n"), "\n") {
		key, _, _ := strings.Cut(line, ":")
		if key != "path mode" && key != "dwell" && key != "longest line" {
			l = append(l, line)
		}
	}
	add := func(key, value string) {
		if value != "" && value != "0" {
			l.add("%s: %s", key, value)
		}
	}
	add("path mode", c.mode)
	add("dwell", c.dwell)
	add("longest line", strconv.Itoa(c.longest))
	return l.bytes()
}

func (c controller) String() string { return fmt.Sprintf("%s, %s, %d", c.mode, c.dwell, c.longest) }

// controller draws one for a profile: what is not drawn is left to its default.
func (d dice) controller(profile []byte) []byte {
	c := controller{mode: d.pick("", "none", "G61", "G64"), dwell: d.pick("", "seconds", "milliseconds", "none")}
	if d.often(60) {
		c.longest = 80 + d.IntN(60)
		if d.often(20) {
			c.longest = 256
		}
		if d.often(40) && !speaks(profile).arcs {
			c.longest = 64
		}
	}
	return c.of(profile)
}
