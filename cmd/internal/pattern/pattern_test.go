package pattern_test

import (
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/cmd/internal/pattern"
)

// line is a path of straight lines on a sheet.
type line struct {
	Class string `xml:"class,attr"`
	D     string `xml:"d,attr"`
	Dash  string `xml:"stroke-dasharray,attr"`
}

// text is a text on a sheet.
type text struct {
	X      float64 `xml:"x,attr"`
	Y      float64 `xml:"y,attr"`
	Anchor string  `xml:"text-anchor,attr"`
	Size   float64 `xml:"font-size,attr"`
	Text   string  `xml:",chardata"`
}

// page is a sheet as an XML reader sees it.
type page struct {
	XMLName xml.Name `xml:"http://www.w3.org/2000/svg svg"`
	Width   string   `xml:"width,attr"`
	Height  string   `xml:"height,attr"`
	ViewBox string   `xml:"viewBox,attr"`
	Title   string   `xml:"title"`
	Desc    string   `xml:"desc"`
	Ground  []struct {
		Fill string `xml:"fill,attr"`
	} `xml:"rect"`
	Marks struct {
		Transform string `xml:"transform,attr"`
		Paths     []line `xml:"path"`
		Texts     []text `xml:"text"`
		Others    []struct {
			XMLName xml.Name
		} `xml:",any"`
	} `xml:"g"`
	Others []struct {
		XMLName xml.Name
	} `xml:",any"`

	Paths []line
	Texts []text // in mm
	Size  float64
}

// read reads a sheet; it holds nothing but a title, a description, a white ground, paths and
// texts, these in thousandths of a millimetre.
func read(t require.TestingT, data []byte) page {
	var p page
	require.NoError(t, xml.Unmarshal(data, &p))
	require.Empty(t, p.Others)
	require.Empty(t, p.Marks.Others)
	require.Equal(t, "scale(.001)", p.Marks.Transform)
	require.Len(t, p.Ground, 1)
	p.Paths = p.Marks.Paths
	for _, x := range p.Marks.Texts {
		x.X, x.Y, p.Size = x.X/1000, x.Y/1000, x.Size/1000
		if x.Anchor == "" {
			x.Anchor = "start"
		}
		p.Texts = append(p.Texts, x)
	}
	return p
}

var move = regexp.MustCompile(`^([ml]?) ?(-?\d+) ?(-?\d+)`)

// points returns the corners of a path, mm: each is written as the way from the last, in
// thousandths.
func (l line) points(t require.TestingT) (run []r2.Vec) {
	x, y := 0, 0
	for d := l.D; d != ""; {
		m := move.FindStringSubmatch(d)
		require.NotNil(t, m, d)
		require.Equal(t, len(run) == 0, m[1] == "m", "one line a path")
		d = d[len(m[0]):]
		dx, err := strconv.Atoi(m[2])
		require.NoError(t, err)
		dy, err := strconv.Atoi(m[3])
		require.NoError(t, err)
		x, y = x+dx, y+dy
		run = append(run, r2.Vec{X: float64(x) / 1000, Y: float64(y) / 1000})
	}
	return run
}

// runs returns the points of all paths of a class.
func (p page) runs(t require.TestingT, class string) (all [][]r2.Vec) {
	for _, one := range p.Paths {
		if one.Class == class {
			all = append(all, one.points(t))
		}
	}
	return all
}

func length(run []r2.Vec) float64 {
	sum := 0.0
	for i := 1; i < len(run); i++ {
		sum += r2.Norm(r2.Sub(run[i], run[i-1]))
	}
	return sum
}

// side is an invented side.
func side(long, high float64) pattern.Pattern {
	p := pattern.Pattern{Name: "a <side> & more", Allowance: 1.5, TrimTail: 5, TrimHead: 12, Marks: []pattern.Mark{{0, "tail"}, {long / 3, "lower bout"}, {long, "head"}}, Notes: []string{"Seen from outside."}}
	for i := range 121 {
		u := long * float64(i) / 120
		p.Upper = append(p.Upper, r2.Vec{X: u, Y: -3 + 2*math.Sin(u/90)})
		p.Lower = append(p.Lower, r2.Vec{X: u, Y: -high - 3*math.Cos(u/120)})
	}
	return p
}

func paper(t *testing.T, name string) pattern.Paper {
	p, err := pattern.PaperNamed(name)
	require.NoError(t, err)
	return p
}

// The sheets are put together by their register marks, as a builder does it, and
// the edges measured: length and heights are those given.
func TestSheetsPutTogether(t *testing.T) {
	for _, tt := range []struct {
		paper      string
		long, high float64
		mirrored   bool
		sheets     int
	}{{"a4", 600, 95, false, 3}, {"letter", 600, 95, true, 3}, {"a4", 690, 200, false, 6}, {"letter", 200, 60, true, 1}} {
		t.Run(fmt.Sprint(tt), func(t *testing.T) {
			p := side(tt.long, tt.high)
			p.Mirrored = tt.mirrored
			sheet := paper(t, tt.paper)
			pages, err := pattern.Pages(p, sheet)
			require.NoError(t, err)
			require.Len(t, pages, tt.sheets)
			crosses := map[string]r2.Vec{} // by their number, in the whole drawing
			upper, lower := 0.0, 0.0
			lo, hi := math.Inf(1), math.Inf(-1)
			for i, one := range pages {
				g := read(t, one.SVG)
				require.Equal(t, fmt.Sprintf("%gmm", sheet.Width), g.Width)
				require.Equal(t, fmt.Sprintf("%gmm", sheet.Height), g.Height)
				require.Equal(t, fmt.Sprintf("0 0 %g %g", sheet.Width, sheet.Height), g.ViewBox)
				require.Contains(t, g.Title, fmt.Sprintf("sheet %d of %d", i+1, tt.sheets))
				require.Contains(t, g.Title, "a <side> & more")
				require.NotEmpty(t, g.Desc)
				// Where this sheet lies: by the crosses that it has in common with those before.
				shift, known := r2.Vec{}, i == 0
				marks := map[string]r2.Vec{}
				reg := g.runs(t, "register")
				for k := 1; k < len(reg); k += 2 {
					m := r2.Vec{X: (reg[k-1][0].X + reg[k-1][1].X) / 2, Y: reg[k-1][0].Y}
					require.InDelta(t, m.X, reg[k][0].X, 1e-9)
					name := ""
					for _, x := range g.Texts {
						if math.Abs(x.X-m.X) < 0.002 && math.Abs(x.Y-m.Y-7) < 0.002 {
							name = x.Text
						}
					}
					require.NotEmpty(t, name)
					marks[name] = m
					if at, ok := crosses[name]; ok {
						s := r2.Sub(at, m)
						if known && i > 0 {
							require.InDelta(t, 0, r2.Norm(r2.Sub(s, shift)), 0.003, "all crosses agree")
						}
						shift, known = s, true
					}
				}
				require.True(t, known, "sheet %d meets none of those before", i+1)
				for name, m := range marks {
					crosses[name] = r2.Add(m, shift)
				}
				for class, sum := range map[string]*float64{"upper": &upper, "lower": &lower} {
					for _, run := range g.runs(t, class) {
						*sum += length(run)
						for _, v := range run {
							v = r2.Add(v, shift)
							lo, hi = math.Min(lo, v.X), math.Max(hi, v.X)
						}
					}
				}
				for _, one := range g.Paths {
					for _, v := range one.points(t) {
						require.True(t, v.X >= 10-1e-3 && v.X <= sheet.Width-10+1e-3 && v.Y >= 10 && v.Y <= sheet.Height-10+1e-3, "%s %v", one.Class, v)
					}
				}
				for _, x := range g.Texts {
					require.True(t, x.X >= 10 && x.X <= sheet.Width-10 && x.Y >= 10 && x.Y <= sheet.Height-10)
				}
				bars := g.runs(t, "bar")
				require.InDelta(t, 50, length(bars[0]), 1e-9)
				require.InDelta(t, 50.8, length(bars[1]), 1e-9)
			}
			columns, rows := float64(tt.sheets), 1.0
			if tt.sheets == 6 {
				columns, rows = 3, 2
			}
			// Each overlap of 10 mm is drawn twice; the edges are nearly level.
			require.InDelta(t, length(p.Upper)+(columns-1)*10, upper, 0.02)
			if rows == 1 {
				require.InDelta(t, length(p.Lower)+(columns-1)*10, lower, 0.02)
				require.InDelta(t, tt.long, hi-lo, 0.003)
			}
		})
	}
}

// Drawn places agree with the given ones to a micrometre, and the line to cut to
// lies the allowance outside, dashed.
func TestLines(t *testing.T) {
	p := side(200, 60)
	pages, err := pattern.Pages(p, paper(t, "a4"))
	require.NoError(t, err)
	require.Len(t, pages, 1)
	g := read(t, pages[0].SVG)
	up, cut := g.runs(t, "upper")[0], g.runs(t, "cut-upper")[0]
	low, cutLow := g.runs(t, "lower")[0], g.runs(t, "cut-lower")[0]
	require.Len(t, up, len(p.Upper))
	for i, v := range up {
		require.InDelta(t, p.Upper[i].X-p.Upper[0].X, v.X-up[0].X, 0.0011)
		require.InDelta(t, p.Upper[i].Y-p.Upper[0].Y, up[0].Y-v.Y, 0.0011)
		require.InDelta(t, 1.5, v.Y-cut[i].Y, 0.0011)
		require.InDelta(t, 1.5, cutLow[i].Y-low[i].Y, 0.0011)
		require.InDelta(t, p.Upper[i].Y-p.Lower[i].Y, low[i].Y-v.Y, 0.0011)
	}
	for _, one := range g.Paths {
		if strings.HasPrefix(one.Class, "cut") {
			require.NotEmpty(t, one.Dash)
		}
	}
	require.Len(t, g.runs(t, "cut-end"), 2)
	require.InDelta(t, 200+17, g.runs(t, "cut-end")[1][0].X-g.runs(t, "cut-end")[0][0].X, 0.002)
	var ticks int
	for _, run := range g.runs(t, "tick") {
		require.InDelta(t, 3, length(run), 0.002)
		ticks++
	}
	require.Equal(t, 10, ticks, "at 0, 50, …, 200 on either edge")
	again, err := pattern.Pages(p, paper(t, "a4"))
	require.NoError(t, err)
	require.Equal(t, pages, again)
}

func TestWrongPatterns(t *testing.T) {
	good := side(200, 60)
	for _, tt := range []struct {
		name, message string
		change        func(*pattern.Pattern)
	}{
		{"nothing", "needs two points", func(p *pattern.Pattern) { *p = pattern.Pattern{} }},
		{"one point", "needs two points", func(p *pattern.Pattern) { p.Upper = p.Upper[:1] }},
		{"more than the memory has room for", "needs two points", func(p *pattern.Pattern) { p.Lower = make([]r2.Vec, 200_001) }},
		{"no number", "in numbers", func(p *pattern.Pattern) { p.Lower[3].Y = math.NaN() }},
		{"no number along", "in numbers", func(p *pattern.Pattern) { p.Upper[0].X = math.NaN() }},
		{"endless", "in numbers", func(p *pattern.Pattern) { p.Upper[9].Y = math.Inf(-1) }},
		{"backwards", "from the tail to the head", func(p *pattern.Pattern) { p.Upper[3].X = -5 }},
		{"huge", "up to 10 m", func(p *pattern.Pattern) { p.Upper[len(p.Upper)-1].X = 1e9 }},
		{"many sheets", "sheets; at most 200", func(p *pattern.Pattern) {
			p.Upper[len(p.Upper)-1].X, p.Lower[len(p.Lower)-1] = 9e3, r2.Vec{X: 9e3, Y: -9e3}
		}},
		{"one edge longer", "the same for all", func(p *pattern.Pattern) { p.Lower[len(p.Lower)-1].X = 201 }},
		{"one edge further off", "the same for all", func(p *pattern.Pattern) { p.Lower[0].X = -1 }},
		{"a line to saw to that is longer", "the same for all", func(p *pattern.Pattern) { p.Saw[0] = []r2.Vec{p.Upper[0], {X: 201}} }},
		{"no length", "run over one length", func(p *pattern.Pattern) {
			p.Upper, p.Lower, p.Marks = []r2.Vec{{X: 1}, {X: 1}}, []r2.Vec{{X: 1, Y: -1}, {X: 1, Y: -2}}, nil
		}},
		{"a place before the tail", `"tail" does not lie on the side`, func(p *pattern.Pattern) { p.Marks[0].U = -1 }},
		{"a place nowhere", `"head" does not lie on the side`, func(p *pattern.Pattern) { p.Marks[2].U = math.NaN() }},
		{"allowance", "zero or more", func(p *pattern.Pattern) { p.Allowance = -1 }},
		{"allowance without a number", "zero or more", func(p *pattern.Pattern) { p.Allowance = math.NaN() }},
		{"trim", "zero or more", func(p *pattern.Pattern) { p.TrimHead = math.Inf(1) }},
		{"trim at the tail", "zero or more", func(p *pattern.Pattern) { p.TrimTail = -0.1 }},
	} {
		p := side(200, 60)
		tt.change(&p)
		pages, err := pattern.Pages(p, paper(t, "a4"))
		require.ErrorContains(t, err, tt.message, tt.name)
		require.Nil(t, pages, tt.name)
	}
	for _, sheet := range []pattern.Paper{{}, {Width: 189, Height: 210}, {Width: 297, Height: 119}, {Width: math.NaN(), Height: 210}, {Width: 297, Height: math.Inf(1)}, {Width: -297, Height: -210}} {
		_, err := pattern.Pages(good, sheet)
		require.ErrorContains(t, err, "a paper has at least 190 by 120 mm", "%v", sheet)
	}
	_, err := pattern.Pages(good, paper(t, "a4"))
	require.NoError(t, err)
}

// TestPapers: ISO 216 has A4 as 210 mm by 297 mm; letter paper is 8 1/2 in by 11 in.
func TestPapers(t *testing.T) {
	a4, letter := paper(t, "a4"), paper(t, "letter")
	require.Equal(t, []float64{297, 210}, []float64{a4.Width, a4.Height})
	require.InDeltaSlice(t, []float64{11 * 25.4, 8.5 * 25.4}, []float64{letter.Width, letter.Height}, 1e-9)
	for _, name := range []string{"A4", "a5", ""} {
		_, err := pattern.PaperNamed(name)
		require.ErrorContains(t, err, "not known")
		var h interface{ Hints() []string }
		require.ErrorAs(t, err, &h)
		require.NotEmpty(t, h.Hints()[0])
	}
}

// TestNeverPanics: any numbers at all give pages that an XML reader takes, the same
// bytes twice, or an error.
func TestNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		odd := rapid.SampledFrom([]float64{0, -1, 1, 50, 1e-300, 300, 9999, 1e4, 1e300, math.MaxFloat64, math.NaN(), math.Inf(1), math.Inf(-1)})
		number := rapid.OneOf(rapid.Float64Range(0, 500), rapid.Float64Range(0, 500), rapid.Float64Range(0, 500), odd)
		p := invented(t)
		for range rapid.IntRange(1, 3).Draw(t, "changes") {
			at := rapid.IntRange(0, len(p.Upper)-1).Draw(t, "at")
			to := []*float64{&p.Upper[at].X, &p.Upper[at].Y, &p.Lower[at].X, &p.Lower[at].Y, &p.Allowance, &p.TrimTail, &p.TrimHead}
			if len(p.Marks) > 0 {
				to = append(to, &p.Marks[0].U)
			}
			*to[rapid.IntRange(0, len(to)-1).Draw(t, "what")] = number.Draw(t, "number")
		}
		p.Name, p.Notes = rapid.String().Draw(t, "name"), []string{rapid.String().Draw(t, "note")}
		sheet := pattern.Paper{Width: 297, Height: 210}
		if rapid.IntRange(0, 9).Draw(t, "odd paper") == 0 {
			sheet.Width, sheet.Height = number.Draw(t, "width"), number.Draw(t, "height")
		}
		pages, err := pattern.Pages(p, sheet)
		again, errAgain := pattern.Pages(p, sheet)
		require.Equal(t, err, errAgain)
		require.Equal(t, pages, again)
		require.True(t, (err == nil) != (len(pages) == 0))
		require.LessOrEqual(t, len(pages), 200)
		for _, one := range pages {
			for _, l := range read(t, one.SVG).Paths {
				for _, v := range l.points(t) {
					require.True(t, math.Abs(v.X) <= 1e4 && math.Abs(v.Y) <= 1e4)
				}
			}
		}
	})
}

// TestMost: the most points on the most sheets take memory for each point once for
// every line it is drawn in.
func TestMost(t *testing.T) {
	const n = 200_000
	p := pattern.Pattern{Name: "the most", Allowance: 1, Upper: make([]r2.Vec, n), Lower: make([]r2.Vec, n)}
	for i := range n {
		u := 5000 * float64(i) / (n - 1)
		p.Upper[i], p.Lower[i] = r2.Vec{X: u, Y: 0}, r2.Vec{X: u, Y: -1300}
	}
	pages, err := pattern.Pages(p, paper(t, "a4"))
	require.NoError(t, err)
	require.Len(t, pages, 19*9)
	size := 0
	for _, one := range pages {
		size += len(one.SVG)
	}
	// At most 17 letters for a point: "9999.999 9999.999", and a blank; and a sheet's rest.
	require.Less(t, size, 2*4*n*18+len(pages)*20_000)
}
