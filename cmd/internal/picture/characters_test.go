package picture

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawn is a drawing of some columns and rows as characters.
func drawn(columns, rows int, look Look, draw func(f *Figure)) string {
	f := New(2*float64(columns), 4*float64(rows), "")
	draw(f)
	return "\n" + f.Characters(look)
}

// Lines read as lines: by their direction, one character wide, whole, and with a cross
// where two of them meet.
func TestLinesAsCharacters(t *testing.T) {
	at := func(col, row float64) Point { return Point{X: 2*col + 1, Y: 4*row + 2} }
	require.Equal(t, `
  |-----
  | \
  |  \
  |   \  /
  |    \/
  |    /\
`, drawn(10, 6, Look{}, func(f *Figure) {
		f.Line(Medium, at(2, 0), at(2, 6))
		f.Line(Medium, at(3, 0), at(7, 0))
		f.Lines(Medium, [][]Point{{at(4, 1), at(8, 5)}, {at(9, 3), at(7, 5)}})
	}), "%s", "see the drawing")
	require.Equal(t, `
              ___-
        __--''
 ___--''
'
`, drawn(18, 4, Look{}, func(f *Figure) { f.Line(Medium, Point{X: 0, Y: 13}, Point{X: 36, Y: 2}) }))
	require.Equal(t, `
- - - + - - -
########
`, drawn(13, 2, Look{}, func(f *Figure) {
		f.Lines(Dashed, [][]Point{{at(0, 0), at(12, 0)}, {at(6, -1), at(6, 0.4)}})
		f.Line(Bold, at(0, 1), at(7, 1))
	}))
}

// A shade keeps its peaks however small it is drawn, and what is missing goes before what
// is left.
func TestShadeKeepsPeaks(t *testing.T) {
	s := Shade{Hi: Point{X: 12, Y: 8}, Levels: []float64{1, 2}, Over: 1, Missing: -0.1}
	for range 50 {
		s.Values = append(s.Values, make([]float64, 120))
	}
	s.Values[10][100], s.Values[40][5] = 1.5, 9
	require.Equal(t, "\n.....%\n#.....\n", drawn(6, 2, Look{}, func(f *Figure) { f.Shade(s) }))
	s.Values[41][6] = -1
	require.Equal(t, "\n.....%\nv.....\n", drawn(6, 2, Look{}, func(f *Figure) { f.Shade(s) }))
	s.Bare = true
	require.Equal(t, "\n     %\nv\n", drawn(6, 2, Look{}, func(f *Figure) { f.Shade(s) }))
	require.Equal(t, []int{0, 1, 1, 2, 2, -1}, []int{s.Tone(-0.05), s.Tone(1.5), s.Tone(2), s.Tone(2.5), s.Tone(99), s.Tone(-0.2)})
}

// Texts are whole or left out.
func TestTextsAsCharacters(t *testing.T) {
	got := drawn(20, 2, Look{}, func(f *Figure) {
		f.Text(Point{X: 0, Y: 3}, Start, "one")
		f.Text(Point{X: 4, Y: 3}, Start, "two")
		f.Text(Point{X: 40, Y: 3}, End, "three")
		f.Text(Point{X: 20, Y: 7}, Middle, "four and far too long for it")
	})
	require.Equal(t, "\none            three\n", got)
}

func TestColourOnlyAdds(t *testing.T) {
	draw := func(f *Figure) {
		f.Circle(Rim, Point{X: 20, Y: 20}, 18)
		f.Circle(Holding, Point{X: 20, Y: 20}, 5)
	}
	coloured := drawn(20, 10, Look{Colour: true}, draw)
	require.Contains(t, coloured, "\x1b[31m@")
	var b strings.Builder
	for i := 0; i < len(coloured); i++ {
		if coloured[i] == 0x1b {
			for coloured[i] != 'm' {
				i++
			}
			continue
		}
		b.WriteByte(coloured[i])
	}
	require.Equal(t, drawn(20, 10, Look{}, draw), b.String())
}

// Whatever is drawn, at whatever width, no line is too wide and all is printable.
func TestCharactersFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		look := Look{Width: rapid.IntRange(0, 250).Draw(t, "width"), Blocks: rapid.Bool().Draw(t, "blocks")}
		f := New(rapid.Float64Range(0, 300).Draw(t, "wide"), rapid.Float64Range(0, 200).Draw(t, "high"), rapid.StringMatching(`[ -~]{0,99}`).Draw(t, "title"))
		number := rapid.OneOf(rapid.Float64Range(-50, 300), rapid.Float64())
		var points []Point
		for range rapid.IntRange(1, 9).Draw(t, "points") {
			points = append(points, Point{X: number.Draw(t, "x"), Y: number.Draw(t, "y")})
		}
		f.Line(rapid.SampledFrom([]Pen{Bold, Medium, Dashed, Air, Rim}).Draw(t, "pen"), points...)
		f.Ring(Thin, points...)
		f.Area(rapid.Float64Range(0, 1).Draw(t, "grey"), points...)
		f.Hatch(points...)
		f.Dots(2, points)
		f.Circle(Holding, points[0], number.Draw(t, "radius"))
		f.Shade(Shade{Lo: points[0], Hi: points[len(points)-1], Values: [][]float64{{1, 2}, {number.Draw(t, "value"), 3}}, Levels: []float64{2}})
		f.Text(points[0], Middle, rapid.StringMatching(`[ -~]{0,40}`).Draw(t, "text"))
		text := f.Characters(look)
		for line := range strings.Lines(text) {
			require.True(t, strings.HasSuffix(line, "\n"))
			line = strings.TrimSuffix(line, "\n")
			require.LessOrEqual(t, utf8.RuneCountInString(line), look.Columns())
			for _, r := range line {
				require.True(t, r >= ' ' && (r < 0x7f || look.Blocks), "%q", line)
			}
		}
		require.Equal(t, text, f.Characters(look))
	})
}

// A sentence keeps all but its blanks.
func TestSentence(t *testing.T) {
	o := Look{Width: 40}
	require.Equal(t, "\n", Sentence("", o))
	require.Equal(t, "one two\n", Sentence("one  two ", o))
	require.Equal(t, strings.Repeat("x", 40)+"\nxx yy\n", Sentence(strings.Repeat("x", 42)+" yy", o))
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`([a-zé]{1,90} ?){0,8}`).Draw(t, "text")
		got := Sentence(s, Look{Width: rapid.IntRange(Narrowest, 100).Draw(t, "width")})
		bare := func(s string) string { return strings.Join(strings.Fields(s), "") }
		require.Equal(t, bare(s), bare(got))
	})
}

func TestDetect(t *testing.T) {
	utf8 := func(name string) string { return map[string]string{"LANG": "en_GB.UTF-8"}[name] }
	require.Equal(t, Look{Width: 80}, Detect(&strings.Builder{}, utf8), "no terminal")
	f, err := os.Create(filepath.Join(t.TempDir(), "file"))
	require.NoError(t, err)
	defer f.Close()
	require.Equal(t, Look{Width: 80}, Detect(f, utf8), "a file is no terminal")
	require.True(t, unicodeLocale(utf8))
	require.False(t, unicodeLocale(func(name string) string { return map[string]string{"LC_ALL": "C", "LANG": "en_GB.UTF-8"}[name] }))
}
