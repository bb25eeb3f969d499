package dial_test

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	plan "dishwright/cam/dial"
	"dishwright/cam/job"
	"dishwright/cmd/internal/dial"
	"dishwright/cmd/internal/shop"
	"dishwright/dish/measure"
)

// shelf are invented cutters.
const shelf = "shelf:\n  flat: {shape: flat, diameter: 1/2 in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.1 mm, depth of cut: 3 mm}\n"

func load(t require.TestingT, text string) job.Job {
	j, err := job.Source{File: "testdata/job.yaml", Data: []byte(text + shelf)}.Load()
	require.NoError(t, err, text)
	return j
}

func length(t require.TestingT, text string) measure.Length {
	l, err := measure.ParseLength(text)
	require.NoError(t, err)
	return l
}

func gauge(t require.TestingT, travel, press string) dial.Gauge {
	return dial.Gauge{Travel: length(t, travel), Press: length(t, press)}
}

const dish = "name: a\nradius: 7000 mm\ndiameter: 400 mm\nblank: {size: 460 mm, thickness: 25 mm}\nmachine: bench-600\n"

// words are the moves and stops of a text, read anew by the plainest of readers: G0 and G1 of
// absolute places, in mm of a machine whose programs are in mm or inches.
type word struct {
	stop    bool
	fed     bool
	x, y, z float64
	feed    float64
}

var axis = regexp.MustCompile(`([XYZF])(-?[\d.]+)`)

func wordsOf(t require.TestingT, text string) (list []word) {
	unit, at := 1.0, word{x: math.NaN(), y: math.NaN(), z: math.NaN()}
	for _, line := range strings.Split(text, "\n") {
		switch {
		case strings.HasPrefix(line, "("):
		case line == "M0":
			list = append(list, word{stop: true, x: at.x, y: at.y, z: at.z})
		case line == "G20":
			unit = 25.4
		case strings.HasPrefix(line, "G0 "), strings.HasPrefix(line, "G1 "):
			for _, m := range axis.FindAllStringSubmatch(line, -1) {
				v, err := strconv.ParseFloat(m[2], 64)
				require.NoError(t, err)
				*map[string]*float64{"X": &at.x, "Y": &at.y, "Z": &at.z, "F": &at.feed}[m[1]] = v * unit
			}
			at.fed = line[1] == '1'
			list = append(list, at)
		default:
			require.Contains(t, []string{"", "G21", "G90", "G94", "M2"}, line)
		}
	}
	return list
}

// Over drawn jobs: the program is read again by a reader of its own, and nowhere is the gauge
// pressed further than its travel, nor less than its press where the dial is read; it moves
// sideways above everything alone, and fast only where it is free. The proof of the bytes says
// so too. A gauge that is a hundredth too short is refused with the travel that is enough.
func TestProgramsKeepToTheTravel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := "name: drawn\n"
		machine := rapid.SampledFrom([]string{"bench-600", "inch-24", "off.machine.yaml"}).Draw(t, "machine")
		text += "machine: " + machine + "\n"
		wide := rapid.Float64Range(120, 480).Draw(t, "wide")
		radius := rapid.Float64Range(4000, 12000).Draw(t, "radius")
		form := rapid.SampledFrom([]string{"dish", "caul", "board"}).Draw(t, "form")
		text += fmt.Sprintf("form: %s\nradius: %.1f mm\n", form, radius)
		long, short := wide, wide
		if form == "board" {
			short = rapid.Float64Range(30, 120).Draw(t, "width")
			text += fmt.Sprintf("length: %.1f mm\nwidth: %.1f mm\nblank: {shape: rectangle, length: %.1f mm, width: %.1f mm, thickness: 30 mm}\n", long, short, long+90, short+90)
		} else {
			text += fmt.Sprintf("diameter: %.1f mm\nblank: {size: %.1f mm, thickness: 30 mm}\n", wide, wide+80)
		}
		if rapid.Bool().Draw(t, "bed") {
			text += "zero: centre-bed\n"
		}
		if form != "board" && rapid.Bool().Draw(t, "hole") {
			text += "extras: {centre hole: 14 mm}\n"
		}
		if rapid.Bool().Draw(t, "leans") {
			text += "top points: [{x: -100 mm, y: -90 mm, z: 0.9 mm}, {x: 110 mm, y: -80 mm, z: 0 mm}, {x: 0 mm, y: 100 mm, z: -0.7 mm}]\n"
		}
		if rapid.Bool().Draw(t, "held") {
			h := rapid.Float64Range(2, 30).Draw(t, "high")
			text += fmt.Sprintf("hold downs:\n  - {x: %.1f mm, y: %.1f mm, radius: 8 mm, height: %.1f mm}\n", long/2+29, short/2+29, h)
		}
		of := rapid.SampledFrom(dial.Whats()).Draw(t, "of")
		press := rapid.SampledFrom([]string{"0.5 mm", "1 mm", "0.04 in", "2 mm"}).Draw(t, "press")
		j := load(t, text)
		p, err := dial.PlacesOf(j, of)
		require.NoError(t, err, text)
		need := plan.Need(p.List, length(t, press).MM)
		enough := fmt.Sprintf("%.3f mm", math.Ceil(need*1000)/1000)
		_, err = dial.Make(j, dial.Asked{Of: of, Gauge: gauge(t, fmt.Sprintf("%.3f mm", need-0.01), press)})
		require.ErrorContains(t, err, "is too short")
		s, err := dial.Make(j, dial.Asked{Of: of, Gauge: gauge(t, enough, press)})
		require.NoError(t, err, text)
		require.Empty(t, s.Report.Broken, text)
		follow(t, s, need, length(t, press).MM)
		v, _, err := shop.Prove(j, []shop.Source{{Name: s.Name, Text: bytes.NewReader(s.Text)}})
		require.NoError(t, err)
		require.Empty(t, v.Findings, text)
		require.True(t, v.Proven)
		require.Equal(t, len(p.List), v.Readings.Places)
	})
}

// follow holds the program of a set against its travel, with nothing but its text and the
// heights at which the free tip touches.
func follow(t require.TestingT, s *dial.Set, travel, press float64) {
	zero, w := s.Job.Work.ProgramZero(), &s.Job.Work
	rest := func(x, y float64) float64 {
		for _, p := range s.List {
			if math.Abs(p.X-x) < 1e-3 && math.Abs(p.Y-y) < 1e-3 {
				return p.Rest - zero
			}
		}
		require.Fail(t, "no place there")
		return 0
	}
	top := 0.0
	for _, h := range w.HoldDowns {
		top = max(top, h.Height)
	}
	list, stops := wordsOf(t, string(s.Text)), 0
	require.True(t, list[0].stop, "a stop before anything moves")
	at := list[1]
	require.True(t, math.IsNaN(at.x) && math.IsNaN(at.y), "straight up first")
	for _, m := range list[2:] {
		switch {
		case m.stop:
			stops++
			require.GreaterOrEqual(t, rest(m.x, m.y)-m.z, press-1e-3)
			continue
		case m.x != at.x || m.y != at.y:
			require.Equal(t, at.z, m.z, "level")
			require.Greater(t, m.z+zero, top+4, "above everything")
		default:
			touches := rest(m.x, m.y)
			require.LessOrEqual(t, (touches-m.z)*(1+max(0, w.Machine.Errors.Scale.Z)), travel)
			if min(m.z, at.z) < touches {
				require.True(t, m.fed, "slowly where it touches")
				require.LessOrEqual(t, m.feed, 120.0)
			}
		}
		at = m
	}
	require.Equal(t, len(s.List), stops)
	require.Greater(t, at.z+zero, top+4)
	for _, word := range []string{"\nM3", "\nM4", "\nS", "\nM6", "\nM7", "\nM8"} {
		require.NotContains(t, string(s.Text), word)
	}
}

// What a hand would doctor in such a program is found, each by its kind.
func TestDoctoredReadings(t *testing.T) {
	j := load(t, dish+"hold downs:\n  - {x: 218 mm, y: 0 mm, radius: 5 mm, height: 24 mm}\n")
	s, err := dial.Make(j, dial.Asked{Of: plan.Face, Gauge: gauge(t, "8 mm", "1 mm")})
	require.NoError(t, err)
	good := string(s.Text)
	level := regexp.MustCompile(`\nG1 (Z-[\d.]+) F120\n`).FindStringSubmatch(good)[1]
	free := regexp.MustCompile(`\nG0 (Z[\d.]+)\nG1 ` + level).FindStringSubmatch(good)[1]
	clear := regexp.MustCompile(`\nG0 (Z[\d.]+)\n`).FindStringSubmatch(good)[1]
	message := func(n int) string {
		return regexp.MustCompile(`\(MSG, place ` + fmt.Sprint(n) + ` of[^\n]*\n`).FindString(good)
	}
	across := regexp.MustCompile(`\nG0 X[^\n]*\n`).FindAllString(good, -1)
	prove := func(text string) shop.Verdict {
		v, _, err := shop.Prove(j, []shop.Source{{Name: "1.ngc", Text: strings.NewReader(text)}})
		require.NoError(t, err)
		return v
	}
	require.True(t, prove(good).Proven, "%v", prove(good).Findings)
	nth := func(old, by string, n int) string {
		parts := strings.Split(good, old)
		require.Greater(t, len(parts), n, old)
		return strings.Join(parts[:n], old) + by + strings.Join(parts[n:], old)
	}
	for name, k := range map[string]struct{ text, kind, says string }{
		"deeper":              {nth(level+"\n", "Z-9.5\n", 8), "contact", "the gauge would be pressed"},
		"deeper everywhere":   {strings.ReplaceAll(good, level, "Z-12"), "contact", "its travel is"},
		"too little":          {strings.ReplaceAll(good, level, "Z-2.5"), "contact", "less than its press"},
		"another height":      {nth(level+"\n(MSG", "Z-6.75\n(MSG", 4), "order", "at another height"},
		"sideways pressed":    {nth("M0\nG1 "+free, "M0\nG1 X10\nG1 "+free, 2), "traverse", "sideways"},
		"slanting up":         {nth("M0\nG1 "+free, "M0\nG1 X3 "+free, 2), "traverse", "sideways"},
		"slanting clear":      {nth("M0\nG1 "+free, "M0\nG1 X3 "+clear, 2), "traverse", "sideways"},
		"traverse low":        {nth("\nG0 "+clear+"\nG0 X", "\nG0 X", 2), "traverse", "sideways"},
		"fast":                {strings.ReplaceAll(good, "F120", "F600"), "feed", "pressed or let go"},
		"dropped":             {nth("\nG1 "+level, "\nG0 "+level, 3), "feed", "a traverse where the gauge touches"},
		"let go fast":         {nth("M0\nG1 "+free, "M0\nG0 "+free, 4), "feed", "a traverse where the gauge touches"},
		"spindle":             {nth("\nG0 X", "\nS9000\nM3\nG0 X", 2), "spindle", "switched on"},
		"coolant":             {nth("\nG0 X", "\nM7\nG0 X", 2), "order", "coolant"},
		"no stop":             {nth("M0\n", "", 5), "order", "is read elsewhere"},
		"last stop gone":      {nth("M0\n", "", strings.Count(good, "M0\n")), "order", "is not read"},
		"optional":            {nth("M0\n", "M1\n", 5), "order", "may be switched off"},
		"no first stop":       {nth("M0\n", "", 1), "order", "moves before the first stop"},
		"renumbered":          {strings.Replace(good, message(3), strings.Replace(message(3), "place 3", "place 4", 1), 1), "order", "the stop at place 3 says"},
		"messages swapped":    {strings.NewReplacer(message(3), message(4), message(4), message(3)).Replace(good), "order", "the stop at place 3 says"},
		"places swapped":      {strings.NewReplacer(across[2], across[3], across[3], across[2]).Replace(good), "order", "is read elsewhere"},
		"place aside":         {strings.Replace(good, across[2], "\nG0 X12 Y80\n", 1), "order", "is read elsewhere"},
		"once more":           {nth("\n(Done", "\nM0\n(Done", 1), "order", "more stops"},
		"ends pressed":        {good[:strings.LastIndex(good, "G1 "+free)] + "M2\n", "order", "not clear of everything"},
		"not lifted first":    {nth("\nG0 "+clear+"\n", "\n", 1), "order", "not lifted"},
		"arc":                 {nth("\nG0 "+clear+"\nG0 X", "\nG0 "+clear+"\nG17\nG2 X0 Y0 I5 J5 F100\nG0 X", 3), "", ""},
		"another travel":      {strings.Replace(good, "travel 8 mm", "travel 7 mm", 1), "", ""},
		"a smaller press":     {strings.Replace(good, "press 1 mm", "press 0.5 mm", 1), "order", "the dial is read 0.5 mm lower than a press of 0.5 mm makes it"},
		"a larger press":      {strings.Replace(good, "press 1 mm", "press 1.5 mm", 1), "order", "the dial is read 0.5 mm higher than a press of 1.5 mm makes it"},
		"no travel":           {strings.Replace(good, "travel 8 mm", "travel", 1), "order", "cannot be made out"},
		"other set":           {strings.Replace(good, s.ID+")", "01234567)", 1), "order", "says that it is set"},
		"other job":           {strings.Replace(good, j.Mark(), "01234567", 1), "order", "for another job"},
		"a sentence left out": {strings.Replace(good, "(Hood off.)\n", "", 1), "order", "does not say"},
	} {
		t.Run(name, func(t *testing.T) {
			require.NotEqual(t, good, k.text)
			v := prove(k.text)
			require.False(t, v.Proven)
			var said []string
			for _, f := range v.Findings {
				said = append(said, fmt.Sprintf("%s: %s", f.Kind, f.Message))
				require.Positive(t, f.Line)
			}
			all := strings.Join(said, "\n")
			if k.kind != "" {
				require.Contains(t, all, k.kind+": ")
				require.Contains(t, all, k.says)
			}
		})
	}
}

// A clamp that stands where the gauge's body comes down moves its place aside; the proof finds
// one that the job did not know of.
func TestGaugeClearsWhatStands(t *testing.T) {
	free := load(t, dish)
	held := load(t, dish+"hold downs:\n  - {x: 215 mm, y: 0 mm, radius: 8 mm, height: 24 mm}\n")
	asked := dial.Asked{Of: plan.Face, Gauge: gauge(t, "8 mm", "1 mm")}
	a, err := dial.Make(free, asked)
	require.NoError(t, err)
	b, err := dial.Make(held, asked)
	require.NoError(t, err)
	require.NotEqual(t, a.ID, b.ID)
	for _, p := range b.List {
		require.GreaterOrEqual(t, held.Work.HoldDowns[0].Clear(p.X, p.Y), plan.Body+2)
	}
	v, _, err := shop.Prove(held, []shop.Source{{Name: "1.ngc", Text: bytes.NewReader(a.Text)}})
	require.NoError(t, err)
	require.Contains(t, fmt.Sprint(v.Findings), "comes down beside what stands")
}
