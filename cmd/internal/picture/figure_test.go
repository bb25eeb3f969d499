package picture

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
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
