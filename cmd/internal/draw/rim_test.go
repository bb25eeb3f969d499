package draw

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// body is an invented outline with a waist.
func body() RimView {
	v := RimView{Apex: &Point{160, 0}, Braces: [][]Point{{{60, -120}, {330, 95}}}, Blocks: [][]Point{{{2, -30}, {22, -30}, {22, 30}, {2, 30}}}}
	for i := range 120 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 120)
		p := Point{200 - 200*cos, -150 * sin * (1 - 0.25*math.Sin(math.Pi*cos))}
		v.Outline = append(v.Outline, p)
		if i%15 == 0 {
			v.Labels = append(v.Labels, Label{p, fmt.Sprintf("-%d.25", i/15+1)})
		}
	}
	return v
}

// ellipse is an invented body 400 mm long and 300 mm wide, without labels.
func ellipse() RimView {
	var v RimView
	for i := range 400 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 400)
		v.Outline = append(v.Outline, Point{200 - 200*cos, -150 * sin})
	}
	return v
}

func strip() StripView {
	v := StripView{Title: "right side", Marks: []Label{{Point{0, 0}, "tail"}, {Point{200, 0}, "waist"}, {Point{400, 0}, "head"}}}
	for u := 0.0; u <= 400; u += 5 {
		v.Upper = append(v.Upper, Point{u, -3 + 2*math.Cos(u/60)})
		v.Lower = append(v.Lower, Point{u, -90 + u/40 + 3*math.Cos(u/100)})
	}
	return v
}

func sanding() SandingView {
	v := SandingView{Marks: []Label{{Point{0, 0}, "tail"}, {Point{0.5, 0}, "head"}}}
	for i := range 100 {
		v.Left = append(v.Left, 2-1.5*math.Cos(2*math.Pi*float64(i)/100)-float64(i/90))
	}
	for i := range 5 {
		v.Steps = append(v.Steps, SandingStep{float64(i) / 2, float64(i*i) / 16})
	}
	return v
}

func TestRimGolden(t *testing.T) {
	golden(t, "rim", Rim(body(), Options{}))
	golden(t, "rim-narrow", Rim(body(), Options{Width: 40}))
	golden(t, "rim-wide", Rim(body(), Options{Width: 120}))
	golden(t, "rim-blocks", Rim(body(), Options{Width: 60, Blocks: true}))
}

func TestStripGolden(t *testing.T) {
	golden(t, "strip", Strip(strip(), Options{}))
	golden(t, "strip-narrow", Strip(strip(), Options{Width: 40}))
	golden(t, "strip-wide", Strip(strip(), Options{Width: 120}))
	golden(t, "strip-blocks", Strip(strip(), Options{Width: 60, Blocks: true}))
}

func TestSandingGolden(t *testing.T) {
	golden(t, "sanding", Sanding(sanding(), Options{}))
	golden(t, "sanding-narrow", Sanding(sanding(), Options{Width: 40}))
	golden(t, "sanding-wide", Sanding(sanding(), Options{Width: 120}))
}

// fits requires lines that are ended, no wider than asked and without blanks at
// their ends, of printable ASCII unless o has Blocks.
func fits(t require.TestingT, text string, o Options) {
	for line := range strings.Lines(text) {
		require.True(t, strings.HasSuffix(line, "\n"))
		line = strings.TrimSuffix(line, "\n")
		require.LessOrEqual(t, utf8.RuneCountInString(line), o.width(), "%q", line)
		require.Equal(t, strings.TrimRight(line, " "), line, "no blanks at the end")
		for _, r := range line {
			require.True(t, r >= ' ' && (r < 0x7f || o.Blocks), "%q", line)
		}
	}
}

// TestRimFits: whatever is drawn at whatever width, no line is too wide, and every
// number in the drawing is one of the labels, whole: none is cut off or written over
// by its neighbour.
func TestRimFits(t *testing.T) {
	numbers := regexp.MustCompile(`[-0-9.]*[0-9][-0-9.]*`)
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Width: rapid.IntRange(Narrowest, 140).Draw(t, "width"), Blocks: true}
		number := rapid.OneOf(rapid.Float64Range(-500, 500), rapid.Float64(), rapid.Just(math.NaN()), rapid.Just(math.Inf(-1)))
		point := rapid.Custom(func(t *rapid.T) Point { return Point{number.Draw(t, "x"), number.Draw(t, "y")} })
		points := rapid.SliceOfN(point, 0, 5)
		v := ellipse()
		long, wide := rapid.Float64Range(0.01, 20).Draw(t, "long"), rapid.Float64Range(0.01, 20).Draw(t, "wide")
		for i, p := range v.Outline {
			v.Outline[i] = Point{p.X * long, p.Y * wide}
		}
		apex := point.Draw(t, "apex")
		v.Apex, v.Blocks = &apex, rapid.SliceOfN(points, 0, 2).Draw(t, "blocks")
		written := map[string]bool{}
		for i := range rapid.IntRange(0, 60).Draw(t, "labels") {
			text := fmt.Sprintf("%d.%02d", 10+i, i)
			written[text] = true
			v.Labels = append(v.Labels, Label{v.Outline[rapid.IntRange(0, len(v.Outline)-1).Draw(t, "at")], text})
		}
		text := Rim(v, o)
		fits(t, text, o)
		drawing := text[strings.Index(text, "mm\n")+3:]
		for _, n := range numbers.FindAllString(drawing[:strings.LastIndex(drawing, "key:")], -1) {
			if strings.Trim(n, "-") != "" {
				require.True(t, written[n], "%q in\n%s", n, text)
			}
			written[n] = false // no label stands there twice
		}
		v.Braces = rapid.SliceOfN(points, 0, 3).Draw(t, "braces") // their dots would pass for numbers' points
		fits(t, Rim(v, o), o)
	})
}

// TestRimTrue: the outline is as long and as wide in mm as it is, to a cell, and the
// apex lies in its cell.
func TestRimTrue(t *testing.T) {
	size := regexp.MustCompile(`a cell is ([0-9.]+) x ([0-9.]+) mm`)
	for _, width := range []int{40, 80, 120, 200} {
		v := ellipse()
		v.Apex = &Point{150, 30}
		text := Rim(v, Options{Width: width})
		found := size.FindStringSubmatch(strings.Join(strings.Fields(text), " "))
		require.NotNil(t, found)
		var col, row float64
		_, err := fmt.Sscan(found[1]+" "+found[2], &col, &row)
		require.NoError(t, err)
		left, right, top, bottom := math.MaxInt, -1, math.MaxInt, -1
		apexCol, apexRow := -1, -1
		for n, line := range strings.Split(text[:strings.LastIndex(text, "key:")], "\n") {
			if strings.Trim(line, " o+") != "" || line == "" {
				continue // the sentence over the drawing
			}
			left, right = min(left, strings.Index(line, "o")), max(right, strings.LastIndex(line, "o"))
			top, bottom = min(top, n), max(bottom, n)
			if i := strings.Index(line, "+"); i >= 0 {
				apexCol, apexRow = i, n
			}
		}
		require.InDelta(t, 400, float64(right-left+1)*col, 1.01*col, "width %d", width)
		require.InDelta(t, 300, float64(bottom-top+1)*row, 1.01*row, "width %d", width)
		require.InDelta(t, 150, (float64(apexCol-left)+0.5)*col, 1.01*col)
		require.InDelta(t, 150-30, (float64(apexRow-top)+0.5)*row, 1.01*row)
	}
}

// TestRimKey: the key names what is drawn and nothing else.
func TestRimKey(t *testing.T) {
	v := ellipse()
	require.True(t, strings.HasSuffix(Rim(v, Options{}), "\nkey:  o outside of the sides\n"))
	v.Apex = &Point{9000, 0}
	require.NotContains(t, Rim(v, Options{}), "apex", "it lies outside the drawing")
	v.Apex = &Point{math.NaN(), 0}
	require.NotContains(t, Rim(v, Options{}), "apex")
	v.Apex, v.Blocks = &Point{100, 0}, [][]Point{{{2, -30}, {22, -30}, {22, 30}}}
	require.Contains(t, Rim(v, Options{}), "+ apex of the top  - | blocks\n")
	require.Contains(t, Rim(v, Options{Blocks: true}), "─ │ blocks\n")
}

// gutters returns the numbers in the gutter of a strip.
func gutters(text string) (labels []string) {
	for line := range strings.Lines(text) {
		if len(line) > gutter && regexp.MustCompile(`^ *-?[0-9.]+$`).MatchString(strings.TrimRight(line[:gutter], " ")) {
			labels = append(labels, strings.TrimSpace(line[:gutter]))
		}
	}
	return labels
}

// TestStripReaches: either edge goes from its highest to its lowest place, which
// stand in the gutter, and the first line says how much larger heights are drawn:
// an edge takes seven rows of its height, and a row is twice as high as a column is
// wide.
func TestStripReaches(t *testing.T) {
	said := regexp.MustCompile(`heights x ([0-9.]+) at the top's edge, x ([0-9.]+) at the back's, `)
	for _, width := range []int{40, 80, 120} {
		v := strip()
		text := Strip(v, Options{Width: width})
		var want []string
		times := said.FindStringSubmatch(strings.Join(strings.Fields(text), " "))
		require.NotNil(t, times)
		for i, edge := range [][]Point{v.Upper, v.Lower} {
			lo, hi := box(edge)
			want = append(want, fmt.Sprintf("%.1f", hi.Y), fmt.Sprintf("%.1f", lo.Y))
			perColumn, perRow := 400/float64(width-gutter), (hi.Y-lo.Y)/7
			got, err := strconv.ParseFloat(times[i+1], 64)
			require.NoError(t, err)
			require.InDelta(t, 2*perColumn/perRow, got, 0.051, "one decimal")
		}
		require.Equal(t, want, gutters(text))
	}
	level := StripView{Title: "a level side", Upper: []Point{{0, 1}, {100, 1}}, Lower: []Point{{0, -50}, {100, -50}}}
	text := Strip(level, Options{Width: 40})
	require.Equal(t, []string{"1.0", "-50.0"}, gutters(text))
	require.Equal(t, 2, strings.Count(text, strings.Repeat("-", 32)+"\n"), "each edge one level line")
}

// TestStripFits: for any edges and marks no line is too wide, and a name is written
// whole or not at all.
func TestStripFits(t *testing.T) {
	names := []string{"tail", "lower bout", "waist", "upper bout", "head", "größte Breite"}
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Width: rapid.IntRange(Narrowest, 140).Draw(t, "width"), Blocks: true}
		height := rapid.Float64Range(-9999, 9999)
		var v StripView
		u := rapid.Float64Range(-50, 50).Draw(t, "first")
		for range rapid.IntRange(2, 30).Draw(t, "points") {
			v.Upper = append(v.Upper, Point{u, height.Draw(t, "upper")})
			v.Lower = append(v.Lower, Point{u, height.Draw(t, "lower")})
			u += rapid.Float64Range(0.001, 100).Draw(t, "step")
		}
		place := rapid.OneOf(rapid.Float64Range(-100, 3000), rapid.Float64(), rapid.Just(math.NaN()))
		for _, n := range names {
			v.Marks = append(v.Marks, Label{Point{place.Draw(t, "mark"), 0}, n})
		}
		v.Marks = append(v.Marks, Label{v.Upper[0], strings.Repeat("long", 60)})
		text := Strip(v, o)
		fits(t, text, o)
		lines := strings.Split(text, "\n")
		foot := lines[len(lines)-2]
		for _, n := range names {
			foot = strings.Replace(foot, n, "", 1)
		}
		require.Empty(t, strings.TrimSpace(foot))
		for _, n := range gutters(text) {
			var mm float64
			_, err := fmt.Sscan(n, &mm)
			require.NoError(t, err)
		}
	})
}

// TestSandingLine: the character is the share of the most in tenths, and wood that is
// missing anywhere in a column is never passed over.
func TestSandingLine(t *testing.T) {
	var v SandingView
	for i := range 72 {
		v.Left = append(v.Left, float64(i%11)*0.05)
	}
	line := strings.Split(Sanding(v, Options{}), "\n")[2]
	require.Equal(t, strings.Repeat(" ", gutter)+strings.Repeat(".123456789#", 7)[:72], line)
	for i := range 400 {
		v.Left = make([]float64, 400)
		for j := range v.Left {
			v.Left[j] = 1
		}
		v.Left[i] = -0.001
		line := strings.TrimSpace(strings.Split(Sanding(v, Options{}), "\n")[2])
		require.Equal(t, 1, strings.Count(line, "v"), "place %d", i)
		require.InDelta(t, float64(i)*72/400, float64(strings.Index(line, "v")), 1.0)
	}
	level := Sanding(SandingView{Left: make([]float64, 10)}, Options{})
	require.Contains(t, level, strings.Repeat(".", 72))
	require.NotContains(t, level, "touched")
}

// TestSandingFits: for any numbers no line is too wide and every bar ends where the
// others do.
func TestSandingFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Width: rapid.IntRange(Narrowest, 140).Draw(t, "width")}
		v := SandingView{Left: rapid.SliceOfN(rapid.Float64Range(-50, 50), 1, 500).Draw(t, "left"),
			Marks: []Label{{Point{0, 0}, "tail"}, {Point{rapid.Float64().Draw(t, "mark"), 0}, "waist"}, {Point{0.999, 0}, "head"}}}
		shares := rapid.OneOf(rapid.Float64Range(0, 1), rapid.Float64(), rapid.Just(math.NaN()))
		for range rapid.IntRange(0, 6).Draw(t, "steps") {
			v.Steps = append(v.Steps, SandingStep{rapid.Float64Range(0, 9999).Draw(t, "by"), shares.Draw(t, "touched")})
		}
		text := Sanding(v, o)
		fits(t, text, o)
		bars := 0
		for line := range strings.Lines(text) {
			if strings.Contains(line, " mm |") {
				require.Equal(t, o.Width-11, strings.LastIndex(line, "|"))
				bars++
			}
		}
		require.Equal(t, len(v.Steps), bars)
	})
}

// TestNoDrawing: what the comments say panics, panics with a sentence of this
// package; nothing else does.
func TestNoDrawing(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	mistake := func(name string, draw func()) {
		defer func() {
			text, ok := recover().(string)
			require.True(t, ok && strings.HasPrefix(text, "draw: "), "%s: %v", name, text)
		}()
		draw()
	}
	for name, outline := range map[string][]Point{
		"no point": nil, "two points": {{0, 0}, {1, 1}}, "no height": {{0, 0}, {1, 0}, {2, 0}}, "no length": {{0, 0}, {0, 1}, {0, 2}},
		"first no number": {{nan, 0}, {1, 1}, {2, 0}}, "last no number": {{}, {1, 1}, {nan, 2}}, "endless": {{0, 0}, {inf, 1}, {2, 0}},
		"too long to subtract": {{-math.MaxFloat64, 0}, {math.MaxFloat64, 1}, {2, 0}},
	} {
		mistake(name, func() { Rim(RimView{Outline: outline}, Options{}) })
	}
	flat := []Point{{0, 0}, {1, 0}}
	for name, edge := range map[string][]Point{
		"no point": nil, "one point": {{0, 0}}, "no number": {{0, 0}, {1, nan}}, "endless": {{0, 0}, {1, inf}}, "no number along": {{nan, 0}, {1, 0}},
	} {
		mistake(name, func() { Strip(StripView{Upper: edge, Lower: flat}, Options{}) })
		mistake(name, func() { Strip(StripView{Upper: flat, Lower: edge}, Options{}) })
	}
	mistake("no length", func() { Strip(StripView{Upper: []Point{{1, 0}, {1, 5}}, Lower: []Point{{1, 0}, {1, 5}}}, Options{}) })
	for name, left := range map[string][]float64{"nothing": nil, "no number": {1, nan}, "endless": {1, inf}} {
		mistake(name, func() { Sanding(SandingView{Left: left}, Options{}) })
	}
	v := ellipse()
	v.Blocks, v.Braces = [][]Point{nil, {{1, 1}}, {{nan, inf}}}, [][]Point{nil, {{1, 1}}, {{nan, 0}, {inf, 1}}}
	v.Labels = []Label{{Point{nan, inf}, "1.25"}, {Point{0, 0}, ""}, {Point{1e300, 0}, strings.Repeat("9", 500)}}
	require.NotPanics(t, func() { fits(t, Rim(v, Options{Width: 40}), Options{Width: 40}) })
}
