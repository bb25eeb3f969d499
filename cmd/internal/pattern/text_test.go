package pattern_test

import (
	"encoding/xml"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/cmd/internal/pattern"
	"dishwright/dish/measure"
)

// advances are the widths of the letters of DejaVu Sans, one of the widest of the
// common sans-serif faces, in thousandths of its size (from the face's own table).
var advances = map[float64]string{
	275: "'", 278: "ijl", 295: "IJ", 318: " ,.", 337: "/:;\\|", 352: "f", 361: "-", 390: "()[]", 392: "t", 401: "!", 411: "r", 460: `"`,
	500: "*_`", 521: "s", 525: "z", 531: "?", 550: "c", 557: "L", 575: "F", 579: "k", 592: "vxy", 603: "P", 611: "TY", 612: "o", 613: "a", 615: "e",
	632: "E", 634: "hnu", 635: "Sbdgpq", 636: "$0123456789{}", 656: "K", 684: "AV", 685: "XZ", 686: "B", 695: "R", 698: "C", 732: "U", 748: "N",
	752: "H", 770: "D", 775: "G", 780: "&", 787: "OQ", 818: "w", 838: "#+<=>^~", 863: "M", 950: "%", 974: "m", 989: "W", 1000: "@",
}

// box returns what a text takes of its sheet: the letters reach 0.76 of their size
// above the line and 0.24 below it in that face.
func (x text) box(t require.TestingT, size float64) r2.Box {
	w := 0.0
	for _, c := range x.Text {
		known := false
		for mille, letters := range advances {
			if strings.ContainsRune(letters, c) {
				w += size * mille / 1000
				known = true
			}
		}
		require.True(t, known, "%q", c)
	}
	left, ok := map[string]float64{"start": x.X, "middle": x.X - w/2, "end": x.X - w}[x.Anchor]
	require.True(t, ok, x.Anchor)
	return r2.Box{Min: r2.Vec{X: left, Y: x.Y - 0.76*size}, Max: r2.Vec{X: left + w, Y: x.Y + 0.24*size}}
}

// apart requires that every text lies within the margins, on no other and on no cross
// or measuring bar.
func apart(t require.TestingT, p page, sheet pattern.Paper) {
	var boxes []r2.Box
	var names []string
	for _, x := range p.Texts {
		b := x.box(t, p.Size)
		require.True(t, b.Min.X >= 9.999 && b.Max.X <= sheet.Width-9.999 && b.Min.Y >= 9.999 && b.Max.Y <= sheet.Height-9.999, "%q is cut off", x.Text)
		boxes, names = append(boxes, b), append(names, x.Text)
	}
	texts := len(boxes)
	for _, class := range [...]string{"register", "bar", "bar-end"} {
		for _, run := range p.runs(t, class) {
			boxes, names = append(boxes, r2.NewBox(run[0].X, run[0].Y, run[1].X, run[1].Y)), append(names, class)
		}
	}
	for i, a := range boxes[:texts] {
		for k, b := range boxes {
			require.False(t, i != k && a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y, "%q lies on %q", names[i], names[k])
		}
	}
}

// TestTexts: whatever side it is, no text is cut off or lies on another, and each is
// a whole one: a height as it is at its tick, a place with its length from the tail.
func TestTexts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := invented(t)
		sheet := pattern.Paper{Width: rapid.Float64Range(190, 400).Draw(t, "paper's width"), Height: rapid.Float64Range(120, 300).Draw(t, "height")}
		for _, s := range laid(t, p, sheet) {
			apart(t, s.page, sheet)
			for _, x := range s.Texts {
				at := s.to(r2.Vec{X: x.X, Y: x.Y})
				var along, z float64
				var place rune
				switch {
				case scan(x.Text, "%f mm: side %f mm", &along, &z):
					tick := p.Upper[0].X + along
					require.InDelta(t, math.Round(along/50)*50, along, 0)
					require.InDelta(t, height(p.Upper, tick)-height(p.Lower, tick), z, 0.0051)
					require.InDelta(t, tick, at.X, 1.002)
				case scan(x.Text, "%f mm", &along) && x.Text != "50 mm: measure it on the print":
					require.InDelta(t, p.Upper[0].X+along, at.X, 1.007)
				case scan(x.Text, "place %c", &place):
					require.InDelta(t, p.Marks[place-'A'].U, at.X, 1.002)
				}
			}
		}
	})
}

func scan(text, format string, to ...any) bool {
	n, err := fmt.Sscanf(text, format, to...)
	return err == nil && n == len(to)
}

// TestEveryText: nothing that should be read is left out on a side of the usual size,
// not at its ends and not where a sheet ends.
func TestEveryText(t *testing.T) {
	for _, name := range []string{"a4", "letter"} {
		for _, mirrored := range []bool{false, true} {
			for tail := 0.0; tail < 60; tail += 1.5 { // the places wander over the sheets' ends
				p := side(640, 90)
				p.Mirrored, p.TrimTail, p.TrimHead = mirrored, tail, 60-tail
				p.Marks = append(p.Marks, pattern.Mark{U: 330, Name: "waist"}, pattern.Mark{U: 332, Name: "narrowest"}, pattern.Mark{U: 500, Name: "upper bout"})
				found := map[string]bool{}
				for _, s := range laid(t, p, paper(t, name)) {
					apart(t, s.page, paper(t, name))
					for _, x := range s.Texts {
						found[x.Text] = true
					}
				}
				for u := 0.0; u <= 640; u += 50 {
					side := "side " + measure.TrimZeros(fmt.Sprintf("%.2f", height(p.Upper, u)-height(p.Lower, u))) + " mm"
					require.True(t, found[fmt.Sprintf("%.0f mm: %s", u, side)], "tick %g", u)
				}
				for _, k := range p.Marks {
					require.True(t, found["side "+measure.TrimZeros(fmt.Sprintf("%.2f", height(p.Upper, k.U)-height(p.Lower, k.U)))+" mm"], k.Name)
				}
				for _, want := range []string{"tail", "0 mm", "lower bout", "213.33 mm", "waist", "330 mm", "narrowest", "332 mm", "upper bout", "500 mm", "head", "640 mm"} {
					require.True(t, found[want], "%s, trim %g, mirrored %v", want, tail, mirrored)
				}
			}
		}
	}
}

// The texts of a side in inches are in inches, their ticks 2 in apart; the bars are of both rules.
func TestTextsInInches(t *testing.T) {
	p := side(640, 90)
	p.Ruler = measure.Ruler{Inches: true}
	found := map[string]bool{}
	for _, s := range laid(t, p, paper(t, "a4")) {
		require.True(t, strings.HasPrefix(s.Desc, "A side unrolled flat at true size, in inches, in 3 sheets that overlap by 0.39 in "), s.Desc)
		for _, x := range s.Texts {
			require.True(t, !strings.Contains(x.Text, " mm") || strings.HasPrefix(x.Text, "50 mm: "), x.Text)
			found[x.Text] = true
		}
	}
	for u := 0.0; u <= 640/25.4; u += 2 {
		require.True(t, found[fmt.Sprintf("%.0f in: side ", u)+p.Ruler.Length(height(p.Upper, 25.4*u)-height(p.Lower, 25.4*u), 2)], "tick %g", u)
	}
	require.True(t, found["25.197 in"])
}

// TestHeading: however long the name and the notes, the sheet's number and what to
// print it at stay whole; the title and the description hold all of the words.
func TestHeading(t *testing.T) {
	for _, name := range []string{"", "short", strings.Repeat("W", 200), strings.Repeat("ill ", 50), strings.Repeat("&<>", 60)} {
		p := side(600, 95)
		p.Name, p.Notes = name, []string{strings.Repeat("A note of many words. ", 20), "The end."}
		for i, s := range laid(t, p, paper(t, "letter")) {
			number := fmt.Sprintf(", sheet %d of 3", i+1)
			require.Equal(t, name+number, s.Title)
			require.True(t, strings.HasPrefix(s.Desc, "A side unrolled flat at true size, in millimetres, in 3 sheets that overlap by 10 mm"))
			require.True(t, strings.HasSuffix(s.Desc, "A note of many words.  The end."))
			head := s.Texts[0].Text
			require.True(t, strings.HasSuffix(head, number+": print at 100 %, without fitting to the page"), head)
			shown := strings.TrimSuffix(head, number+": print at 100 %, without fitting to the page")
			require.True(t, shown == name || strings.HasSuffix(shown, "...") && strings.HasPrefix(name, strings.TrimSuffix(shown, "...")), shown)
			require.True(t, strings.HasPrefix(s.Texts[1].Text, "A note of many words. A note") && strings.HasSuffix(s.Texts[1].Text, "..."))
			apart(t, s.page, paper(t, "letter"))
		}
	}
}

// TestEscaped: names cannot add to the drawing or spoil it, whatever letters they are of.
func TestEscaped(t *testing.T) {
	plain, err := pattern.Pages(side(200, 60), paper(t, "a4"))
	require.NoError(t, err)
	for _, name := range []string{"<&>", `"/><script>`, "]]><!--", "größte Breite 最", "a\nb\x00c", "\xff"} {
		p := side(200, 60)
		p.Name, p.Notes, p.Marks[1].Name = name, []string{name}, name
		pages, err := pattern.Pages(p, paper(t, "a4"))
		require.NoError(t, err)
		got, want := read(t, pages[0].SVG), read(t, plain[0].SVG)
		require.Equal(t, want.Paths, got.Paths)
		require.Len(t, got.Texts, len(want.Texts))
		// XML 1.0 has no place for control characters but tab and the ends of lines, and
		// none for bytes that are no UTF-8.
		same := strings.NewReplacer("\x00", "\uFFFD", "\xff", "\uFFFD").Replace(name)
		require.Equal(t, same+", sheet 1 of 1", got.Title)
		require.True(t, strings.HasSuffix(got.Desc, same))
		require.Equal(t, same, got.Texts[1].Text)
		if strings.Contains(name, "<") {
			require.NotContains(t, string(pages[0].SVG), name)
		}
	}
}

// TestBars: on every sheet the measuring bars are as long as they say, 50 mm and two
// inches of 25.4 mm, with an upright at either end.
func TestBars(t *testing.T) {
	for _, s := range laid(t, side(600, 240), paper(t, "a4")) {
		bars, ends := s.runs(t, "bar"), s.runs(t, "bar-end")
		require.Len(t, bars, 2)
		require.Len(t, ends, 4)
		for i, long := range []float64{50, 2 * 25.4} {
			require.InDelta(t, long, length(bars[i]), 1e-9)
			require.Equal(t, bars[i][0].Y, bars[i][1].Y, "level")
			for k := range 2 {
				require.Equal(t, bars[i][k].X, ends[2*i+k][0].X)
				require.Equal(t, bars[i][k].X, ends[2*i+k][1].X)
			}
			said := []string{"50 mm: measure it on the print", "2 in"}[i]
			found := false
			for _, x := range s.Texts {
				found = found || x.Text == said && x.X == bars[i][0].X && x.Y < bars[i][0].Y && x.Y > bars[i][0].Y-5
			}
			require.True(t, found, said)
		}
	}
}

// TestSmall holds one small sheet against a file that a person can read; with UPDATE=1
// in the environment it writes the file.
func TestSmall(t *testing.T) {
	p := pattern.Pattern{
		Name: "small side <invented>", Allowance: 1, TrimTail: 5, TrimHead: 10,
		Upper: []r2.Vec{{X: 0, Y: 0}, {X: 60, Y: -1}, {X: 120, Y: 0}}, Lower: []r2.Vec{{X: 0, Y: -40}, {X: 120, Y: -30}},
		Marks: []pattern.Mark{{U: 0, Name: "tail"}, {U: 60, Name: "waist"}, {U: 120, Name: "head"}},
		Notes: []string{"Seen from outside."},
	}
	pages, err := pattern.Pages(p, paper(t, "a4"))
	require.NoError(t, err)
	require.Len(t, pages, 1)
	require.Equal(t, "1", pages[0].Name)
	file := filepath.Join("testdata", "small.svg")
	if os.Getenv("UPDATE") == "1" {
		require.NoError(t, os.MkdirAll("testdata", 0o777))
		require.NoError(t, os.WriteFile(file, pages[0].SVG, 0o666))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "run the test with UPDATE=1 to make it")
	require.Equal(t, string(want), string(pages[0].SVG))
	require.NoError(t, xml.Unmarshal(want, new(page)))
}
