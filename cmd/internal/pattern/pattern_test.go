package pattern_test

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/pattern"
)

// page is a sheet as an XML reader sees it.
type page struct {
	Width   string `xml:"width,attr"`
	Height  string `xml:"height,attr"`
	ViewBox string `xml:"viewBox,attr"`
	Title   string `xml:"title"`
	Desc    string `xml:"desc"`
	Paths   []struct {
		Class string `xml:"class,attr"`
		D     string `xml:"d,attr"`
		Dash  string `xml:"stroke-dasharray,attr"`
	} `xml:"path"`
	Texts []struct {
		X    float64 `xml:"x,attr"`
		Y    float64 `xml:"y,attr"`
		Text string  `xml:",chardata"`
	} `xml:"text"`
}

func read(t *testing.T, data []byte) page {
	var p page
	require.NoError(t, xml.Unmarshal(data, &p))
	return p
}

// runs returns the points of all paths of a class.
func (p page) runs(t *testing.T, class string) (all [][]r2.Vec) {
	for _, one := range p.Paths {
		if one.Class != class {
			continue
		}
		fields := strings.Fields(strings.NewReplacer("M", " ", "L", " ").Replace(one.D))
		var run []r2.Vec
		for i := 1; i < len(fields); i += 2 {
			x, err := strconv.ParseFloat(fields[i-1], 64)
			require.NoError(t, err)
			y, err := strconv.ParseFloat(fields[i], 64)
			require.NoError(t, err)
			run = append(run, r2.Vec{X: x, Y: y})
		}
		all = append(all, run)
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
					for _, run := range (page{Paths: []struct {
						Class string `xml:"class,attr"`
						D     string `xml:"d,attr"`
						Dash  string `xml:"stroke-dasharray,attr"`
					}{one}}).runs(t, one.Class) {
						for _, v := range run {
							require.True(t, v.X >= 10-1e-3 && v.X <= sheet.Width-10+1e-3 && v.Y >= 10 && v.Y <= sheet.Height-10+1e-3, "%s %v", one.Class, v)
						}
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
	for name, change := range map[string]func(*pattern.Pattern){
		"nothing":   func(p *pattern.Pattern) { *p = pattern.Pattern{} },
		"one point": func(p *pattern.Pattern) { p.Upper = p.Upper[:1] },
		"no number": func(p *pattern.Pattern) { p.Lower[3].Y = math.NaN() },
		"backwards": func(p *pattern.Pattern) { p.Upper[3].X = -5 },
		"huge":      func(p *pattern.Pattern) { p.Upper[len(p.Upper)-1].X = 1e9 },
		"long":      func(p *pattern.Pattern) { p.Upper[len(p.Upper)-1].X, p.Lower[len(p.Lower)-1].Y = 9e3, -9e3 },
		"allowance": func(p *pattern.Pattern) { p.Allowance = -1 },
		"trim":      func(p *pattern.Pattern) { p.TrimHead = math.Inf(1) },
	} {
		p := side(200, 60)
		change(&p)
		_, err := pattern.Pages(p, paper(t, "a4"))
		require.Error(t, err, name)
	}
	_, err := pattern.Pages(good, paper(t, "a4"))
	require.NoError(t, err)
	_, err = pattern.PaperNamed("A4")
	require.ErrorContains(t, err, "not known")
}
