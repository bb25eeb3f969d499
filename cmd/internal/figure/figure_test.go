package figure

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/png"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/cmd/internal/draw"
	"dishwright/dish"
)

// read parses a drawing and returns its texts and the paths' data.
func read(t require.TestingT, svg []byte) (texts, paths []string) {
	d := xml.NewDecoder(bytes.NewReader(svg))
	in := ""
	for {
		token, err := d.Token()
		if err == io.EOF {
			return texts, paths
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			in = e.Name.Local
			for _, a := range e.Attr {
				require.NotContains(t, a.Value, "NaN")
				require.NotContains(t, a.Value, "Inf")
				if a.Name.Local == "d" {
					paths = append(paths, a.Value)
				}
			}
		case xml.EndElement:
			in = ""
		case xml.CharData:
			if in == "text" || in == "title" || in == "desc" {
				texts = append(texts, string(e))
			}
		}
	}
}

var step = regexp.MustCompile(`([mlhz]?) ?(-?\d+)(?: ?(-?\d+))?|z`)

// walk follows a path's data by its own reading of it: relative moves in fiftieths of
// a millimetre.
func walk(t require.TestingT, d string) (lines [][]Point) {
	var x, y, x0, y0 int
	letter := ""
	for d != "" {
		m := step.FindStringSubmatch(d)
		require.NotNil(t, m, d)
		require.True(t, strings.HasPrefix(d, m[0]), d)
		d = d[len(m[0]):]
		if m[0] == "z" {
			x, y = x0, y0
			continue
		}
		if m[1] != "" {
			letter = m[1]
		}
		a, err := strconv.Atoi(m[2])
		require.NoError(t, err)
		b := 0
		if letter != "h" {
			b, err = strconv.Atoi(m[3])
			require.NoError(t, err)
		}
		x, y = x+a, y+b
		at := Point{X: float64(x) / 50, Y: float64(y) / 50}
		if letter == "m" {
			x0, y0 = x, y
			lines = append(lines, nil)
		}
		lines[len(lines)-1] = append(lines[len(lines)-1], at)
	}
	return lines
}

// What is drawn is what was asked for, to a fiftieth of a millimetre and what is left
// out as too fine to see.
func TestLinesAreTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Float64Range(0, 120)
		var lines [][]Point
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			var l []Point
			for range rapid.IntRange(2, 30).Draw(t, "points") {
				l = append(l, Point{X: place.Draw(t, "x"), Y: place.Draw(t, "y")})
			}
			lines = append(lines, l)
		}
		f := New(120, 120, "lines")
		f.Lines(Thin, lines)
		_, paths := read(t, f.SVG("a", true))
		require.Len(t, paths, 1)
		drawn := walk(t, paths[0])
		require.Len(t, drawn, len(lines))
		for i, l := range lines {
			for _, p := range l {
				near := math.Inf(1)
				for k := 1; k < len(drawn[i]); k++ {
					near = math.Min(near, off(drawn[i][k-1], drawn[i][k], p))
				}
				if len(drawn[i]) == 1 {
					near = off(drawn[i][0], drawn[i][0], p)
				}
				require.Less(t, near, 0.03+0.02)
			}
			require.InDelta(t, l[0].X, drawn[i][0].X, 0.011)
			require.InDelta(t, l[len(l)-1].Y, drawn[i][len(drawn[i])-1].Y, 0.011)
		}
	})
}

// No view makes a drawing panic, leave the paper's numbers, or lack its alternative.
func TestAnyViewIsDrawn(t *testing.T) {
	odd := rapid.OneOf(rapid.Float64Range(-600, 600), rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e-300}))
	rapid.Check(t, func(t *rapid.T) {
		points := func(name string) (list []draw.Point) {
			for range rapid.IntRange(0, 12).Draw(t, name) {
				list = append(list, draw.Point{X: odd.Draw(t, "x"), Y: odd.Draw(t, "y")})
			}
			return list
		}
		size := rapid.Float64Range(20, 3000).Draw(t, "size")
		blank := dish.Blank{Shape: rapid.SampledFrom([]dish.BlankShape{dish.Square, dish.Rectangle, dish.Round, dish.Octagon}).Draw(t, "outline"), Length: size, Width: size, Thickness: 20}
		name := rapid.String().Draw(t, "name")
		figures := []*Figure{
			Plan(draw.PlanView{Blank: blank, Rim: size / 3, Passes: []draw.Pass{{Points: points("pass")}, {Points: points("jump"), Traverse: true}}}, name),
			Blank(BlankView{Blank: blank, Rim: size / 3, Touch: &draw.Point{X: 10, Y: 10}, Length: func(v float64) string { return fmt.Sprint(v) }}, name),
			Section(draw.SectionView{Lo: draw.Point{X: -size, Y: -10}, Hi: draw.Point{X: size}, Wanted: points("wanted"), Left: points("left")}, name),
			Residuals([]Residual{{1, odd.Draw(t, "r"), false}, {2, odd.Draw(t, "s"), true}}, name),
			Scallops([]Choice{{0.1, 3, rapid.Float64Range(0, 1e5).Draw(t, "minutes"), true}}, name),
			Sanding(draw.SandingView{Left: []float64{0, rapid.Float64Range(-5, 50).Draw(t, "off"), 3}}, name),
			Touched(draw.SandingView{Steps: []draw.SandingStep{{By: 1, Touched: odd.Draw(t, "share")}}}, name),
		}
		all := Stack(name, figures...)
		for _, f := range append(figures, all) {
			texts, paths := read(t, f.SVG("f", false))
			require.GreaterOrEqual(t, len(texts), 1)
			require.NotEmpty(t, f.About)
			for _, p := range paths {
				walk(t, p)
			}
		}
	})
}

// A map shows every place of the face once, in its band.
func TestMapCounts(t *testing.T) {
	const n = mapCells
	v := draw.MapView{Lo: draw.Point{X: -100, Y: -100}, Hi: draw.Point{X: 100, Y: 100}, Levels: []float64{0.1, 0.2}, Allowed: 0.1, Unit: "mm", Digits: 2}
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
	f := Map(v, "a map")
	require.Contains(t, f.About, fmt.Sprintf("to 0.10 mm in %d places; 0.10 to 0.20 mm in %d places; over 0.20 mm in %d place", want[0], want[1], want[2]))
	require.Contains(t, f.About, "ringed: the largest, 0.250 mm; x: wood is missing")
	_, paths := read(t, f.SVG("m", true))
	dots := 0
	for _, p := range paths {
		if c := strings.Count(p, "h0"); c > 3 { // the legend has three
			dots += c
		}
	}
	require.Equal(t, want[0], dots, "dots up to what is allowed; squares above")
}

func TestPictureIsTheDrawing(t *testing.T) {
	f := New(20, 10, "a square")
	f.Area(0, Point{X: 2, Y: 2}, Point{X: 8, Y: 2}, Point{X: 8, Y: 8}, Point{X: 2, Y: 8})
	f.Line(Bold, Point{X: 12, Y: 5}, Point{X: 18, Y: 5})
	f.Circle(Thin, Point{X: 15, Y: 5}, 2)
	data, err := f.PNG(10)
	require.NoError(t, err)
	img, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	require.Equal(t, 200, img.Bounds().Dx())
	grey := func(x, y int) uint32 { r, _, _, _ := img.At(x, y).RGBA(); return r >> 8 }
	require.Equal(t, uint32(0), grey(50, 50), "inside the area")
	require.Equal(t, uint32(255), grey(100, 50), "beside it")
	require.Less(t, grey(125, 50), uint32(60), "on the line")
	require.Less(t, grey(150, 30), uint32(160), "on the circle")
	_, err = f.PNG(1e6)
	require.Error(t, err)
	_, err = New(0, 0, "").PNG(10)
	require.Error(t, err)
}

func TestDashes(t *testing.T) {
	got := dashed([]Point{{}, {X: 10}}, []float64{2, 1})
	require.Len(t, got, 4)
	require.InDelta(t, 9, got[3][0].X, 1e-12)
	require.Equal(t, [][]Point{{{}, {X: 10}}}, dashed([]Point{{}, {X: 10}}, nil))
}

func TestEasy(t *testing.T) {
	for v, want := range map[float64]float64{0.3: 1, 1: 1, 1.7: 1.5, 7.9: 6, 99: 80, 100: 100, math.NaN(): 1, math.Inf(1): 1} {
		require.Equal(t, want, easy(v))
	}
}

func BenchmarkMap(b *testing.B) {
	v := draw.MapView{Lo: draw.Point{X: -100, Y: -100}, Hi: draw.Point{X: 100, Y: 100}, Levels: []float64{0.1, 0.2}, Unit: "mm"}
	for range 160 {
		v.Values = append(v.Values, make([]float64, 160))
	}
	for b.Loop() {
		Map(v, "a map").SVG("m", false)
	}
}
