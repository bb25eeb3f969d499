package draw

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// body is an invented outline with a waist.
func body() RimView {
	v := RimView{Apex: &Point{160, 0}, Braces: [][]Point{{{60, -120}, {330, 95}}}, Blocks: [][]Point{{{2, -30}, {22, -30}, {22, 30}, {2, 30}}}}
	for i := range 120 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 120)
		p := Point{200 - 200*cos, -150 * sin * (1 - 0.25*math.Sin(math.Pi*cos))}
		v.Outline = append(v.Outline, p)
		if i%15 == 0 {
			v.Labels = append(v.Labels, Label{p, strings.Repeat("-", 1) + string(rune('1'+i/15)) + ".25"})
		}
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

func TestRimDrawings(t *testing.T) {
	golden(t, "rim", Rim(body(), Options{}))
	golden(t, "rim-blocks", Rim(body(), Options{Width: 60, Blocks: true}))
	golden(t, "strip", Strip(strip(), Options{}))
	golden(t, "sanding", Sanding(sanding(), Options{}))
	for _, width := range []int{40, 60, 80, 120, 200} {
		for _, text := range []string{Rim(body(), Options{Width: width}), Strip(strip(), Options{Width: width}), Sanding(sanding(), Options{Width: width})} {
			for _, line := range strings.Split(text, "\n") {
				require.LessOrEqual(t, utf8.RuneCountInString(line), width, "%q", line)
				require.Equal(t, strings.TrimRight(line, " "), line, "no blanks at the end")
			}
		}
	}
}

// The two edges are drawn where they are: the highest place of the upper edge is in
// its first row, the lowest of the lower in its last.
func TestStripReaches(t *testing.T) {
	lines := strings.Split(Strip(strip(), Options{}), "\n")
	var labels []string
	for _, l := range lines[1:] {
		if len(l) > 7 && strings.TrimSpace(l[:7]) != "" && !strings.Contains(l, "tail") {
			labels = append(labels, strings.TrimSpace(l[:7]))
		}
	}
	require.Equal(t, []string{"-1.0", "-5.0"}, labels[len(labels)-4:len(labels)-2])
}

func TestNoDrawing(t *testing.T) {
	require.Panics(t, func() { Rim(RimView{}, Options{}) })
	require.Panics(t, func() { Rim(RimView{Outline: []Point{{}, {1, 1}, {math.NaN(), 2}}}, Options{}) })
	require.Panics(t, func() { Strip(StripView{}, Options{}) })
	v := sanding()
	v.Steps = nil
	require.NotContains(t, Sanding(v, Options{}), "touched")
	level := Sanding(SandingView{Left: make([]float64, 10)}, Options{})
	require.Contains(t, level, strings.Repeat(".", 72))
}
