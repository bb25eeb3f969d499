package draw

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/dish"
)

// golden compares got with a file of testdata; with UPDATE=1 in the environment
// it writes the file instead.
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

var square = dish.Blank{Shape: dish.Square, Length: 500, Width: 500, Thickness: 25}

// raster returns passes along X, a step apart, within the rim, with a traverse
// between each two.
func raster(rim, step float64) []Pass {
	var passes []Pass
	for y := -rim + step/2; y < rim; y += step {
		x := math.Sqrt(rim*rim - y*y)
		passes = append(passes, Pass{Points: []Point{{-x, y}, {x, y}}},
			Pass{Points: []Point{{x, y}, {-x, y + step}}, Traverse: true})
	}
	return passes
}

func rings(rim, step float64) []Pass {
	var passes []Pass
	for r := step / 2; r < rim; r += step {
		passes = append(passes, Pass{Points: circle(0, 0, r)})
	}
	return passes
}

func spokes(rim float64, n int) []Pass {
	var passes []Pass
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		passes = append(passes, Pass{Points: []Point{{20 * cos, 20 * sin}, {rim * cos, rim * sin}}})
	}
	return passes
}

func TestPlanGolden(t *testing.T) {
	corners := []Disc{{X: 235, Y: 235, Radius: 12}, {X: -235, Y: 235, Radius: 12}, {X: 235, Y: -235, Radius: 12}, {X: -235, Y: -235, Radius: 12}}
	octagon := dish.Blank{Shape: dish.Octagon, Length: 620, Width: 620}
	round := dish.Blank{Shape: dish.Round, Length: 500, Width: 500}
	board := dish.Blank{Shape: dish.Rectangle, Length: 600, Width: 200}
	for _, c := range []struct {
		name string
		view PlanView
		o    Options
	}{
		{"plan-raster-fine", PlanView{square, 230, corners, raster(230, 1.2)}, Options{}},
		{"plan-raster-coarse", PlanView{square, 230, corners, raster(230, 60)}, Options{}},
		{"plan-rings", PlanView{round, 230, nil, rings(230, 2)}, Options{}},
		{"plan-spokes", PlanView{octagon, 300, nil, spokes(300, 48)}, Options{Width: 60}},
		{"plan-board", PlanView{board, 0, nil, raster(90, 4)}, Options{Width: 40}},
		{"plan-blocks", PlanView{square, 230, corners, rings(230, 2)}, Options{Blocks: true}},
		{"plan-empty", PlanView{square, 230, corners, nil}, Options{Width: 40}},
	} {
		t.Run(c.name, func(t *testing.T) { golden(t, c.name, Plan(c.view, c.o)) })
	}
}

// left returns a map of a bowl of scallops: largest at (100, 50).
func left(n int, rim float64) [][]float64 {
	values := make([][]float64, n)
	for j := range values {
		values[j] = make([]float64, n)
		for i := range values[j] {
			x := -rim + 2*rim*(float64(i)+0.5)/float64(n)
			y := -rim + 2*rim*(float64(j)+0.5)/float64(n)
			values[j][i] = 0.1 * math.Exp(-math.Hypot(x-100, y-50)/120)
			if math.Hypot(x, y) > rim {
				values[j][i] = math.NaN()
			}
		}
	}
	return values
}

func TestMapGolden(t *testing.T) {
	view := MapView{Values: left(92, 230), Lo: Point{-230, -230}, Hi: Point{230, 230},
		Levels: []float64{0.02, 0.04, 0.06, 0.08, 0.1}, Unit: "mm", Title: "left after finishing", Digits: 2}
	golden(t, "map", Map(view, Options{}))
	coarse := view
	coarse.Values = left(10, 230)
	golden(t, "map-coarse", Map(coarse, Options{Width: 40}))
	gouged := view
	gouged.Values = left(92, 230)
	for j := 40; j < 50; j++ {
		for i := 20; i < 30; i++ {
			gouged.Values[j][i] = -0.03
		}
	}
	gouged.Levels = []float64{-0.01, 0, 0.05, 0.1}
	golden(t, "map-gouged", Map(gouged, Options{Width: 60}))
}

func profile(f dish.Face, half, lift float64) []Point {
	points := []Point{{-half, 0}, {-f.Rim - 0.001, 0}}
	for i := range 201 {
		x := -f.Rim + 2*f.Rim*float64(i)/200
		points = append(points, Point{x, math.Min(0, f.Height(math.Abs(x))+lift)})
	}
	return append(points, Point{f.Rim + 0.001, 0}, Point{half, 0})
}

func TestSectionGolden(t *testing.T) {
	f, err := dish.NewFace(dish.Hollow, 4572, 230)
	require.NoError(t, err)
	view := SectionView{Lo: Point{-250, -25}, Hi: Point{250, 0}, Wanted: profile(f, 250, 0), Title: "along X"}
	golden(t, "section", Section(view, Options{}))
	view.Left, view.LeftName = profile(f, 250, 1.8), "roughing"
	view.Cutter = []Point{{100, 20}, {100, -3}, {125, -3}, {125, 20}}
	golden(t, "section-rough", Section(view, Options{}))
	golden(t, "section-blocks", Section(view, Options{Blocks: true}))
	golden(t, "section-narrow", Section(view, Options{Width: 40}))
	crown, err := dish.NewFace(dish.Crown, 4572, 180)
	require.NoError(t, err)
	points := []Point{{-200, -crown.Sagitta()}}
	for i := range 101 {
		x := -180 + 3.6*float64(i)
		points = append(points, Point{x, crown.Height(math.Abs(x))})
	}
	points = append(points, Point{200, -crown.Sagitta()})
	golden(t, "section-crown", Section(SectionView{Lo: Point{-200, -18}, Hi: Point{200, 0}, Wanted: points, Title: "along X"}, Options{Width: 100}))
}

// TestFits: no line is wider than asked, every byte is ASCII without Blocks,
// and no escape is written without Colour, for any width and any numbers.
func TestFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Width: rapid.IntRange(Narrowest, 140).Draw(t, "width"),
			Blocks: rapid.Bool().Draw(t, "blocks")}
		number := rapid.OneOf(rapid.Float64Range(-1e3, 1e3), rapid.Float64(), rapid.Just(math.NaN()), rapid.Just(math.Inf(1)))
		point := rapid.Custom(func(t *rapid.T) Point { return Point{number.Draw(t, "x"), number.Draw(t, "y")} })
		pass := rapid.Custom(func(t *rapid.T) Pass {
			return Pass{rapid.SliceOfN(point, 0, 5).Draw(t, "points"), rapid.Bool().Draw(t, "traverse")}
		})
		size := rapid.Float64Range(1, 3000)
		b := dish.Blank{Shape: dish.Rectangle, Length: size.Draw(t, "length"), Width: size.Draw(t, "width"), Thickness: 20}
		texts := []string{
			Plan(PlanView{b, b.InnerRadius() * 0.9, []Disc{{X: number.Draw(t, "dx"), Y: number.Draw(t, "dy"), Radius: 10, DX: number.Draw(t, "to x"), DY: number.Draw(t, "to y")}},
				rapid.SliceOfN(pass, 0, 20).Draw(t, "passes")}, o),
			Section(SectionView{Lo: Point{-b.Length / 2, -20}, Hi: Point{b.Length / 2, 0},
				Wanted: rapid.SliceOfN(point, 0, 9).Draw(t, "wanted"), Left: rapid.SliceOfN(point, 0, 9).Draw(t, "left"),
				Cutter: rapid.SliceOfN(point, 0, 9).Draw(t, "cutter"), LeftName: "roughing", Title: "along X"}, o),
			Map(MapView{Values: [][]float64{{number.Draw(t, "m"), 1, 2}, {0, math.NaN(), number.Draw(t, "n")}},
				Lo: Point{-b.Length / 2, -b.Width / 2}, Hi: Point{b.Length / 2, b.Width / 2},
				Levels: []float64{0, 1}, Unit: "mm", Title: "left", Digits: 1}, o),
		}
		for _, text := range texts {
			for line := range strings.Lines(text) {
				require.True(t, strings.HasSuffix(line, "\n"))
				line = strings.TrimSuffix(line, "\n")
				if !strings.HasPrefix(line, "X largest") { // numbers may be of any length here
					require.LessOrEqual(t, utf8.RuneCountInString(line), o.Width, line)
				}
				for _, r := range line {
					require.True(t, o.Blocks || r < 0x7f, line)
					require.GreaterOrEqual(t, r, ' ', line)
				}
			}
		}
	})
}

// TestRound: a round rim is drawn round, one row for two columns.
func TestRound(t *testing.T) {
	for _, width := range []int{40, 60, 80, 120} {
		text := Plan(PlanView{Blank: square, Rim: 200}, Options{Width: width})
		first, last, left, right, row := -1, -1, width, -1, 0
		for line := range strings.Lines(text) {
			if strings.HasPrefix(line, "key") || strings.HasPrefix(line, "plan") {
				continue
			}
			if i := strings.Index(line, "o"); i >= 0 && !strings.HasPrefix(line, "no") {
				if first < 0 {
					first = row
				}
				last, left, right = row, min(left, i), max(right, strings.LastIndex(line, "o"))
			}
			row++
		}
		rows, columns := last-first+1, right-left+1
		require.InDelta(t, columns, 2*rows, 3, "width %d: %d rows, %d columns", width, rows, columns)
	}
}

func TestColourOnlyAdds(t *testing.T) {
	view := PlanView{square, 230, []Disc{{X: 235, Y: 235, Radius: 12}}, raster(230, 60)}
	plain := Plan(view, Options{})
	coloured := Plan(view, Options{Colour: true})
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
	require.Equal(t, plain, b.String())
}

func TestEveryPass(t *testing.T) {
	require.Contains(t, Plan(PlanView{square, 230, nil, raster(230, 60)}, Options{}), "every pass drawn (8)")
	require.Regexp(t, `every \d+(nd|rd|th) pass drawn \(\d+ of 383\)`, Plan(PlanView{square, 230, nil, raster(230, 1.2)}, Options{}))
	for n, want := range map[int]string{1: "1st", 2: "2nd", 3: "3rd", 4: "4th", 11: "11th", 12: "12th", 13: "13th", 21: "21st", 112: "112th"} {
		require.Equal(t, want, ordinal(n))
	}
}

func TestMapKeepsPeaks(t *testing.T) {
	values := make([][]float64, 500)
	for j := range values {
		values[j] = make([]float64, 500)
	}
	values[123][456] = 7
	text := Map(MapView{Values: values, Lo: Point{-250, -250}, Hi: Point{250, 250}, Levels: []float64{1}, Unit: "mm", Title: "left"}, Options{})
	require.Contains(t, text, "X largest: 7.0 mm at X 206.5 Y -126.5\n")
	require.Equal(t, 2, strings.Count(text, "X")-strings.Count(text, "at X"), "once in the map and once under it")
}

// TestBands: a level belongs to the band below it, and bands at or under zero
// share a character that stands for nothing else.
func TestBands(t *testing.T) {
	v := MapView{Levels: []float64{-0.01, 0, 0.1}}
	for m, want := range map[float64]string{-1: "v", -0.01: "v", -0.005: "v", 0: "v", 0.05: ".", 0.1: ".", math.Nextafter(0.1, 1): ":", math.Inf(1): ":"} {
		require.Equal(t, want, string(v.cell(v.band(m)).glyph), "%g", m)
	}
	seen := map[rune]bool{'v': true, 'X': true, ' ': true}
	for _, b := range bands {
		require.False(t, seen[b.glyph], "%c", b.glyph)
		seen[b.glyph] = true
	}
}

func TestMistakesPanic(t *testing.T) {
	good := MapView{Values: [][]float64{{0}}, Lo: Point{-1, -1}, Hi: Point{1, 1}, Levels: []float64{0.1}}
	Map(good, Options{})
	for name, spoil := range map[string]func(*MapView){
		"no values":       func(v *MapView) { v.Values = nil },
		"no size":         func(v *MapView) { v.Hi = v.Lo },
		"ragged":          func(v *MapView) { v.Values = [][]float64{{0}, {0, 1}} },
		"no levels":       func(v *MapView) { v.Levels = nil },
		"too many levels": func(v *MapView) { v.Levels = make([]float64, 9) },
		"equal levels":    func(v *MapView) { v.Levels = []float64{1, 1} },
	} {
		v := good
		spoil(&v)
		require.Panics(t, func() { Map(v, Options{}) }, name)
	}
	require.Panics(t, func() { Plan(PlanView{}, Options{}) })
	require.Panics(t, func() { Section(SectionView{}, Options{}) })
}

func TestDetect(t *testing.T) {
	utf8 := func(name string) string { return map[string]string{"LANG": "en_GB.UTF-8"}[name] }
	require.Equal(t, Options{Width: 80}, Detect(&strings.Builder{}, utf8), "no terminal")
	f, err := os.Create(filepath.Join(t.TempDir(), "file"))
	require.NoError(t, err)
	defer f.Close()
	require.Equal(t, Options{Width: 80}, Detect(f, utf8), "a file is no terminal")
	require.True(t, unicodeLocale(utf8))
	require.False(t, unicodeLocale(func(name string) string { return map[string]string{"LC_ALL": "C", "LANG": "en_GB.UTF-8"}[name] }))
}

func BenchmarkPlan(b *testing.B) {
	view := PlanView{square, 230, nil, raster(230, 1.2)}
	for b.Loop() {
		Plan(view, Options{})
	}
}
