package figure

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/cmd/internal/picture"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// golden compares got with a file of testdata; with UPDATE=1 in the environment it writes
// the file instead.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name+".txt")
	if os.Getenv("UPDATE") == "1" {
		require.NoError(t, os.MkdirAll("testdata", 0o777))
		require.NoError(t, os.WriteFile(file, []byte(got), 0o666))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "run the test with UPDATE=1 to make it")
	require.Equal(t, string(want), got)
}

// wellFormed reads a drawing as XML: it has a title, a description, and no number that is
// none.
func wellFormed(t require.TestingT, svg []byte) {
	seen := map[string]int{}
	for d := xml.NewDecoder(bytes.NewReader(svg)); ; {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
		if e, ok := token.(xml.StartElement); ok {
			seen[e.Name.Local]++
			for _, a := range e.Attr {
				require.NotContains(t, a.Value, "NaN")
				require.NotContains(t, a.Value, "Inf")
			}
		}
	}
	require.Equal(t, []int{1, 1, 1}, []int{seen["svg"], seen["title"], seen["desc"]})
}

// fits requires lines that are ended, no wider than asked and without blanks at their
// ends, of printable ASCII unless the look has blocks.
func fits(t require.TestingT, text string, o picture.Look) {
	for line := range strings.Lines(text) {
		require.True(t, strings.HasSuffix(line, "\n"))
		line = strings.TrimSuffix(line, "\n")
		require.LessOrEqual(t, utf8.RuneCountInString(line), o.Columns(), "%q", line)
		require.Equal(t, strings.TrimRight(line, " "), line, "no blanks at the end")
		for _, r := range line {
			require.True(t, r >= ' ' && (r < 0x7f || o.Blocks), "%q", line)
		}
	}
}

// No view makes a drawing panic, leave the paper's numbers or the columns, or lack its
// alternative.
func TestAnyViewIsDrawn(t *testing.T) {
	odd := rapid.OneOf(rapid.Float64Range(-600, 600), rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e-300}))
	rapid.Check(t, func(t *rapid.T) {
		points := func(name string) (list []Point) {
			for range rapid.IntRange(0, 12).Draw(t, name) {
				list = append(list, Point{X: odd.Draw(t, "x"), Y: odd.Draw(t, "y")})
			}
			return list
		}
		length := rapid.Float64Range(20, 3000).Draw(t, "size")
		blank := dish.Blank{Shape: rapid.SampledFrom([]dish.BlankShape{dish.Square, dish.Rectangle, dish.Round, dish.Octagon}).Draw(t, "outline"), Length: length, Width: length, Thickness: 20}
		name := rapid.StringMatching(`[ -~]{0,90}`).Draw(t, "name")
		look := picture.Look{Width: rapid.IntRange(picture.Narrowest, 140).Draw(t, "width"), Blocks: rapid.Bool().Draw(t, "blocks")}
		size := rapid.SampledFrom([]Size{Page, SizeOf(look, 40), SizeOf(look, 20)}).Draw(t, "paper")
		field := MapView{Values: [][]float64{{odd.Draw(t, "m"), 1, 2}, {0, math.NaN(), odd.Draw(t, "n")}}, Lo: Point{X: -length / 2, Y: -length / 2}, Hi: Point{X: length / 2, Y: length / 2}, Levels: []float64{0.5, 1}, Allowed: 0.5, Digits: 1}
		side := []Point{{X: 0, Y: 0}, {X: length, Y: rapid.Float64Range(-9, 9).Draw(t, "rise")}}
		figures := []*Figure{
			Plan(PlanView{Blank: blank, Rim: length / 3, Depth: &field, HoldDowns: []Disc{{X: odd.Draw(t, "at"), Radius: 10, DX: odd.Draw(t, "to")}},
				Passes: []Pass{{Points: points("pass")}, {Points: points("link"), Link: true}, {Points: points("jump"), Traverse: true}}}, name, size),
			Map(field, name, size),
			Blank(BlankView{Blank: blank, Rim: length / 3, Touch: &Point{X: 10, Y: 10}}, name),
			Section(SectionView{Lo: Point{X: -length, Y: -10}, Hi: Point{X: length}, Wanted: points("wanted"), Left: points("left")}, name, size),
			Residuals([]Residual{{1, odd.Draw(t, "r"), false}, {2, odd.Draw(t, "s"), true}}, name, measure.Ruler{Inches: odd.Draw(t, "unit") > 0}),
			RimPlan(RimView{Outline: append(side, Point{Y: length}), Labels: []Label{{side[0], "-1.25"}}}, name, size),
			Placed(PlacedView{Outline: append(side, Point{Y: length}), Apex: &Point{X: odd.Draw(t, "apex")}, Dishes: []Disc{{X: length / 2, Radius: rapid.Float64Range(0, 900).Draw(t, "dish")}, {Y: length, Radius: length}}, Used: &Disc{Radius: length / 2},
				Boards: [][]Point{side}, Swung: [][]Point{append(side, Point{Y: -length})}, Labels: []Label{{Point{X: odd.Draw(t, "middle")}, "10 mm"}}}, name, size),
			Strip(StripView{Upper: side, Lower: side, Marks: []Label{{Text: "tail"}}}, name, size),
			Sanding(SandingView{Left: []float64{0, rapid.Float64Range(-5, 50).Draw(t, "off"), 3}}, name, size),
			Touched(SandingView{Steps: []SandingStep{{By: 1, Touched: odd.Draw(t, "share")}}}, name, size),
		}
		for _, f := range [...]*Figure{rapid.SampledFrom(figures).Draw(t, "figure"), picture.Stack(name, figures...)} {
			wellFormed(t, f.SVG("f", false))
			require.NotEmpty(t, f.About)
			text := f.Characters(look)
			fits(t, text, look)
			require.NotContains(t, text, "NaN")
		}
	})
}

// A map shows every place of the face once, in its tone.
func TestMapCounts(t *testing.T) {
	const n = 66 // places of 1.6 mm across the paper
	v := MapView{Lo: Point{X: -100, Y: -100}, Hi: Point{X: 100, Y: 100}, Levels: []float64{0.1, 0.2}, Allowed: 0.1, Digits: 2}
	want := [3]int{}
	for j := range n {
		row := make([]float64, n)
		for i := range row {
			switch {
			case (i-n/2)*(i-n/2)+(j-n/2)*(j-n/2) > n*n/4:
				row[i] = math.NaN()
			case i == 20 && j == 30:
				row[i] = 0.25
				want[2]++
			case i == 21 && j == 30:
				row[i] = -0.5
			case i%7 == 0:
				row[i] = 0.15
				want[1]++
			default:
				row[i] = 0.05
				want[0]++
			}
		}
		v.Values = append(v.Values, row)
	}
	f := Map(v, "a map", Size{Width: 1.6*n + 4, Height: 200})
	require.Contains(t, f.About, fmt.Sprintf("up to 0.1 mm in %d places; to 0.2 mm in %d places; over 0.2 mm in %d place; missing in 1 place", want[0], want[1], want[2]))
	require.Contains(t, f.About, "most left: 0.25 mm at X -37.9 mm Y 7.6 mm.")
	dots := 0
	for line := range strings.Lines(string(f.SVG("m", true))) {
		if c := strings.Count(line, "h0"); c > 3 { // the key has three
			dots += c
		}
	}
	require.Equal(t, want[0], dots, "dots up to what is allowed; squares above")
}

// A round rim is drawn round, and as it is wide whatever the columns.
func TestRound(t *testing.T) {
	for _, width := range []int{40, 60, 80, 120} {
		look := picture.Look{Width: width}
		text := Plan(PlanView{Blank: square, Rim: 200}, "", SizeOf(look, 40)).Characters(look)
		left, right, first, last, row := width, -1, -1, -1, 0
		for line := range strings.Lines(text) {
			line = strings.TrimLeft(line, " ")
			if strings.HasPrefix(line, "#") && !strings.HasPrefix(line, "##") {
				line = line[:2+strings.Index(line[2:], "#")] // what is beyond the edge is the key
				if i := strings.Index(line, "o"); i > 0 {
					if first < 0 {
						first = row
					}
					last, left, right = row, min(left, i), max(right, strings.LastIndex(line, "o"))
				}
			}
			row++
		}
		require.InDelta(t, right-left+1, 2*(last-first+1), 3, "%d columns\n%s", width, text)
	}
}

func TestEasy(t *testing.T) {
	for v, want := range map[float64]float64{0.3: 1, 1: 1, 1.7: 1.5, 7.9: 6, 99: 80, 100: 100, math.NaN(): 1, math.Inf(1): 1} {
		require.Equal(t, want, easy(v))
	}
}

var square = dish.Blank{Shape: dish.Square, Length: 500, Width: 500, Thickness: 25}

// raster returns passes along X, a step apart, within the rim, with a link between each two.
func raster(rim, step float64) (passes []Pass) {
	for y := -rim + step/2; y < rim; y += step {
		x := math.Sqrt(rim*rim - y*y)
		passes = append(passes, Pass{Points: []Point{{X: -x, Y: y}, {X: x, Y: y}}}, Pass{Points: []Point{{X: x, Y: y}, {X: x, Y: y + step}}, Link: true})
	}
	return passes
}

func rings(rim, step float64) (passes []Pass) {
	var all []Point
	for a := 0.0; a*step/(2*math.Pi) < rim; a += 0.1 {
		sin, cos := math.Sincos(a)
		all = append(all, r2.Scale(a*step/(2*math.Pi), Point{X: cos, Y: sin}))
	}
	return []Pass{{Points: all}}
}

func spokes(rim float64, n int) (passes []Pass) {
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		from := rim * 0.6
		if i%3 == 0 {
			from = 20
		}
		passes = append(passes, Pass{Points: []Point{{X: from * cos, Y: from * sin}, {X: rim * cos, Y: rim * sin}}})
	}
	return passes
}

func TestPlans(t *testing.T) {
	corners := []Disc{{X: 235, Y: 235, Radius: 12}, {X: -235, Y: 235, Radius: 12}, {X: 235, Y: -235, Radius: 12}, {X: -235, Y: -235, Radius: 12}}
	board := dish.Blank{Shape: dish.Rectangle, Length: 600, Width: 200}
	for _, c := range []struct {
		name string
		view PlanView
		look picture.Look
		rows int
	}{
		{"raster-80", PlanView{Blank: square, Rim: 230, HoldDowns: corners, Passes: raster(230, 2.4)}, picture.Look{}, 20},
		{"spiral-80", PlanView{Blank: dish.Blank{Shape: dish.Round, Length: 500, Width: 500}, Rim: 230, Passes: rings(230, 3)}, picture.Look{}, 20},
		{"spokes-60", PlanView{Blank: dish.Blank{Shape: dish.Octagon, Length: 620, Width: 620}, Rim: 300, Passes: spokes(300, 90)}, picture.Look{Width: 60}, 24},
		{"spokes-120", PlanView{Blank: square, Rim: 230, Passes: spokes(230, 90)}, picture.Look{Width: 120}, 30},
		{"board-60", PlanView{Blank: board, Passes: raster(90, 30)}, picture.Look{Width: 60}, 20},
		{"blocks-60", PlanView{Blank: square, Rim: 230, HoldDowns: corners, Passes: spokes(230, 90)}, picture.Look{Width: 60, Blocks: true}, 20},
	} {
		golden(t, c.name, Plan(c.view, "a plan of "+c.name, SizeOf(c.look, c.rows)).Characters(c.look))
	}
}

func TestSections(t *testing.T) {
	f, err := dish.NewFace(dish.Hollow, 4572, 230)
	require.NoError(t, err)
	v := SectionView{Lo: Point{X: -250, Y: -10}, Hi: Point{X: 250}, Title: "along X"}
	for x := -250.0; x <= 250; x += 2 {
		z := 0.0
		if math.Abs(x) <= 230 {
			z = f.Height(math.Abs(x))
		}
		v.Wanted = append(v.Wanted, Point{X: x, Y: z})
		v.Left = append(v.Left, Point{X: x, Y: min(0, z+1.8)})
	}
	for _, width := range []int{60, 80, 120} {
		look := picture.Look{Width: width}
		golden(t, fmt.Sprintf("section-%d", width), Section(v, "a section along X", SizeOf(look, 12)).Characters(look))
	}
	golden(t, "section-blocks", Section(v, "a section along X", SizeOf(picture.Look{Width: 60}, 12)).Characters(picture.Look{Width: 60, Blocks: true}))
}

// A rim's labels are whole or left out, whatever the width.
func TestRims(t *testing.T) {
	v := RimView{Apex: &Point{X: 160}, Braces: [][]Point{{{X: 60, Y: -120}, {X: 330, Y: 95}}}, Blocks: [][]Point{{{X: 2, Y: -30}, {X: 22, Y: -30}, {X: 22, Y: 30}, {X: 2, Y: 30}}}}
	known := map[string]bool{}
	for i := range 120 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 120)
		p := Point{X: 200 - 200*cos, Y: -150 * sin * (1 - 0.25*math.Sin(math.Pi*cos))}
		v.Outline = append(v.Outline, p)
		if i%15 == 0 {
			v.Labels = append(v.Labels, Label{p, fmt.Sprintf("-%d.25", i/15+1)})
			known[v.Labels[len(v.Labels)-1].Text] = true
		}
	}
	for _, width := range []int{40, 60, 80, 120} {
		look := picture.Look{Width: width}
		text := RimPlan(v, "", SizeOf(look, 30)).Characters(look)
		fits(t, text, look)
		found := 0
		for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !strings.ContainsRune("-.0123456789", r) }) {
			if strings.ContainsAny(word, "0123456789") {
				require.True(t, known[strings.TrimLeft(word, ".")], "%q in\n%s", word, text)
				found++
			}
		}
		require.GreaterOrEqual(t, found, 6, text)
		if width == 60 {
			golden(t, "rim-60", text)
		}
	}
}
