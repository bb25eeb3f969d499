package pattern_test

import (
	"fmt"
	"math"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/cmd/internal/pattern"
)

// placed is a sheet that was read, with its place among the others.
type placed struct {
	page
	column, row int
	to          func(v r2.Vec) r2.Vec // from the sheet to the side's own frame
}

// laid makes the pages of a side and lays them where they belong: margins of 10 mm,
// under the upper one 14 mm for the title, over the lower one 16 mm for the bars,
// sheets that overlap by 10 mm, and 2 mm beyond the outermost lines. A mirrored side
// is turned back.
func laid(t require.TestingT, p pattern.Pattern, sheet pattern.Paper) []placed {
	first, last := p.Upper[0].X, p.Upper[len(p.Upper)-1].X
	high, low := math.Inf(-1), math.Inf(1)
	for _, edge := range [][]r2.Vec{p.Upper, p.Lower, p.Saw[0], p.Saw[1]} {
		for _, v := range edge {
			high, low = math.Max(high, v.Y), math.Min(low, v.Y)
		}
	}
	across, down := sheet.Width-30, sheet.Height-60 // from one sheet to the next
	count := func(size, step float64) int { return max(1, int(math.Ceil((size-10)/step))) }
	columns := count(last-first+p.TrimTail+p.TrimHead+4, across)
	rows := count(high-low+2*p.Allowance+4, down)
	pages, err := pattern.Pages(p, sheet)
	require.NoError(t, err)
	require.Len(t, pages, columns*rows)
	var out []placed
	for i, one := range pages {
		c, r := i%columns, i/columns
		require.Equal(t, fmt.Sprintf("%0*d", len(fmt.Sprint(len(pages))), i+1), one.Name)
		to := func(v r2.Vec) r2.Vec {
			along := v.X - 10 + float64(c)*across - 2 // from the outermost line at the left
			u := first - p.TrimTail + along
			if p.Mirrored {
				u = last + p.TrimHead - along
			}
			return r2.Vec{X: u, Y: high + p.Allowance + 2 - float64(r)*down - (v.Y - 24)}
		}
		out = append(out, placed{read(t, one.SVG), c, r, to})
	}
	return out
}

// wanted returns all lines of a side, by their class.
func wanted(p pattern.Pattern) map[string][][]r2.Vec {
	lift := func(edge []r2.Vec, by float64) (out []r2.Vec) {
		for _, v := range edge {
			out = append(out, r2.Vec{X: v.X, Y: v.Y + by})
		}
		return out
	}
	n := len(p.Upper) - 1
	m := len(p.Lower) - 1
	upright := func(u, up, low float64) []r2.Vec { return []r2.Vec{{X: u, Y: up}, {X: u, Y: low}} }
	want := map[string][][]r2.Vec{
		"upper": {p.Upper}, "lower": {p.Lower},
		"end": {upright(p.Upper[0].X, p.Upper[0].Y, p.Lower[0].Y), upright(p.Upper[n].X, p.Upper[n].Y, p.Lower[m].Y)},
	}
	a := p.Allowance
	if a > 0 {
		want["cut-upper"], want["cut-lower"] = [][]r2.Vec{lift(p.Upper, a)}, [][]r2.Vec{lift(p.Lower, -a)}
	}
	for i, class := range []string{"saw-upper", "saw-lower"} {
		if p.Saw[i] != nil {
			want[class] = [][]r2.Vec{p.Saw[i]}
		}
	}
	if p.TrimTail > 0 {
		want["cut-end"] = append(want["cut-end"], upright(p.Upper[0].X-p.TrimTail, p.Upper[0].Y+a, p.Lower[0].Y-a))
	}
	if p.TrimHead > 0 {
		want["cut-end"] = append(want["cut-end"], upright(p.Upper[n].X+p.TrimHead, p.Upper[n].Y+a, p.Lower[m].Y-a))
	}
	for _, k := range p.Marks {
		want["mark"] = append(want["mark"], upright(k.U, height(p.Upper, k.U), height(p.Lower, k.U)))
	}
	return want
}

// height returns an edge's height at u.
func height(edge []r2.Vec, u float64) float64 {
	for i := 1; i < len(edge); i++ {
		if a, b := edge[i-1], edge[i]; u <= b.X {
			share := (u - a.X) / (b.X - a.X)
			return (1-share)*a.Y + share*b.Y
		}
	}
	return edge[len(edge)-1].Y
}

// away returns the distance of a place from the nearest of some lines.
func away(v r2.Vec, lines [][]r2.Vec) float64 {
	least := math.Inf(1)
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			d := r2.Sub(l[i], l[i-1])
			share := 0.0
			if n := r2.Norm2(d); n > 0 {
				share = math.Max(0, math.Min(1, r2.Dot(r2.Sub(v, l[i-1]), d)/n))
			}
			least = math.Min(least, r2.Norm(r2.Sub(v, r2.Add(l[i-1], r2.Scale(share, d)))))
		}
	}
	return least
}

// invented draws a side of any size with edges that wander.
func invented(t *rapid.T) pattern.Pattern {
	mm := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	p := pattern.Pattern{Name: "an invented side", Mirrored: rapid.Bool().Draw(t, "mirrored")}
	if rapid.Bool().Draw(t, "oversize") {
		p.Allowance, p.TrimTail, p.TrimHead = mm("allowance", 0.1, 5), mm("trim at the tail", 0.1, 30), mm("trim at the head", 0.1, 30)
	}
	saw := 0.0
	if p.Allowance == 0 && rapid.Bool().Draw(t, "saw") {
		saw = mm("saw to", 0.1, 5)
	}
	u, high := mm("first", -100, 100), mm("high", 20, 400)
	up, low := mm("upper", -20, 20), mm("lower", -20, 20)-high
	n := rapid.IntRange(2, 12).Draw(t, "points")
	step := mm("long", 20, 900) / float64(n)
	for range n {
		p.Upper, p.Lower = append(p.Upper, r2.Vec{X: u, Y: up}), append(p.Lower, r2.Vec{X: u, Y: low})
		if saw > 0 {
			p.Saw[0] = append(p.Saw[0], r2.Vec{X: u, Y: up + saw})
			p.Saw[1] = append(p.Saw[1], r2.Vec{X: u, Y: low - mm("less", 0, saw)})
		}
		u += step * mm("step", 0.1, 1.9)
		up, low = up+mm("up", -5, 5), low+mm("down", -5, 5)
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "marks") {
		at := mm("mark", 0, 1)
		first, last := p.Upper[0].X, p.Upper[n-1].X
		p.Marks = append(p.Marks, pattern.Mark{U: math.Min(last, first+at*(last-first)), Name: fmt.Sprintf("place %c", 'A'+rune(i))})
	}
	return p
}

// TestUnion: the pieces of all sheets together are the lines of the side, no less and
// no more, to a micrometre: a coordinate is rounded to half of one.
func TestUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		sheet := pattern.Paper{Name: "any", Width: rapid.Float64Range(190, 400).Draw(t, "paper's width"), Height: rapid.Float64Range(120, 300).Draw(t, "height")}
		want, got := wanted(p), map[string][][]r2.Vec{}
		for _, s := range laid(t, p, sheet) {
			for _, one := range s.Paths {
				var run []r2.Vec
				for _, v := range one.points(t) {
					require.True(t, v.X >= 9.9995 && v.X <= sheet.Width-9.9995 && v.Y >= 9.9995 && v.Y <= sheet.Height-9.9995, "%s at %v leaves the margins", one.Class, v)
					run = append(run, s.to(v))
				}
				got[one.Class] = append(got[one.Class], run)
			}
		}
		for class, lines := range want {
			require.NotEmpty(t, got[class], class)
			for _, l := range lines { // nothing is left out
				for i := 1; i < len(l); i++ {
					for k := range 11 {
						v := r2.Add(l[i-1], r2.Scale(float64(k)/10, r2.Sub(l[i], l[i-1])))
						require.LessOrEqual(t, away(v, got[class]), 0.001, "%s at %v", class, v)
					}
				}
			}
			for _, run := range got[class] { // nothing is added
				for _, v := range run {
					require.LessOrEqual(t, away(v, lines), 0.001, "%s at %v", class, v)
				}
			}
		}
		for class := range got {
			switch class {
			case "register", "bar", "bar-end", "tick", "key", "key-cut":
			default:
				require.Contains(t, want, class)
			}
		}
	})
}

// TestTicks: ticks stand every 50 mm from the tail on either edge, 3 mm long, inward.
func TestTicks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		var want, got [][]r2.Vec
		for u := p.Upper[0].X; u <= p.Upper[len(p.Upper)-1].X; u += 50 {
			up, low := height(p.Upper, u), height(p.Lower, u)
			want = append(want, []r2.Vec{{X: u, Y: up}, {X: u, Y: up - 3}}, []r2.Vec{{X: u, Y: low}, {X: u, Y: low + 3}})
		}
		for _, s := range laid(t, p, pattern.Paper{Width: 297, Height: 210}) {
			for _, run := range s.runs(t, "tick") {
				for i := range run {
					run[i] = s.to(run[i])
				}
				got = append(got, run)
			}
		}
		for _, l := range want {
			require.LessOrEqual(t, away(l[0], got), 0.001)
			require.LessOrEqual(t, away(l[1], got), 0.001)
		}
		for _, l := range got {
			require.LessOrEqual(t, away(l[0], want), 0.001)
			require.LessOrEqual(t, away(l[1], want), 0.001)
		}
	})
}

// crosses returns the register marks of a sheet by their numbers: the middle of two
// lines that halve each other, square, and the number under it.
func crosses(t require.TestingT, p page) map[string]r2.Vec {
	runs := p.runs(t, "register")
	require.Zero(t, len(runs)%2)
	found := map[string]r2.Vec{}
	for i := 0; i < len(runs); i += 2 {
		level, upright := runs[i], runs[i+1]
		require.InDelta(t, 8, length(level), 0.0011)
		require.InDelta(t, 8, length(upright), 0.0011)
		require.Equal(t, level[0].Y, level[1].Y)
		require.Equal(t, upright[0].X, upright[1].X)
		m := r2.Scale(0.5, r2.Add(level[0], level[1]))
		require.InDelta(t, 0, r2.Norm(r2.Sub(m, r2.Scale(0.5, r2.Add(upright[0], upright[1])))), 0.0011)
		number := regexp.MustCompile(`^[0-9]+\.[0-9]+[abcd]$`)
		names := 0
		for _, x := range p.Texts {
			if number.MatchString(x.Text) && math.Abs(x.Y-m.Y-7) < 0.002 && math.Abs(x.X-m.X) < 4.002 {
				require.NotContains(t, found, x.Text)
				found[x.Text], names = m, names+1
			}
		}
		require.Equal(t, 1, names, "each cross has its number")
	}
	return found
}

// TestCrosses: two sheets that meet have two crosses in common, far apart, each at
// one place of the side and with one number; others have none.
func TestCrosses(t *testing.T) {
	for _, tt := range []struct {
		long, high float64
		mirrored   bool
		paper      string
		sheets     int
	}{
		{250, 90, false, "a4", 1}, {600, 95, true, "a4", 3}, {600, 95, true, "letter", 3}, {690, 240, false, "letter", 6},
		{690, 430, true, "a4", 9}, {2700, 1500, false, "a4", 110}, // 11 by 10: numbers with two figures each
	} {
		t.Run(fmt.Sprint(tt), func(t *testing.T) {
			p := side(tt.long, tt.high)
			p.Mirrored = tt.mirrored
			sheets := laid(t, p, paper(t, tt.paper))
			require.Len(t, sheets, tt.sheets)
			all := make([]map[string]r2.Vec, len(sheets))
			for i, s := range sheets {
				all[i] = crosses(t, s.page)
			}
			for i, a := range sheets {
				for k, b := range sheets[:i] {
					var shared []r2.Vec
					for name, m := range all[i] {
						if other, ok := all[k][name]; ok {
							require.InDelta(t, 0, r2.Norm(r2.Sub(a.to(m), b.to(other))), 0.002, name)
							shared = append(shared, a.to(m))
						}
					}
					meet := math.Abs(float64(a.column-b.column))+math.Abs(float64(a.row-b.row)) == 1
					if !meet {
						require.Empty(t, shared)
						continue
					}
					require.Len(t, shared, 2)
					require.Greater(t, r2.Norm(r2.Sub(shared[0], shared[1])), 100.0, "far apart, so that they fix the angle")
				}
			}
		})
	}
}
