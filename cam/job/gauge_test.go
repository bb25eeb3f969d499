package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/dish/measure"
)

// gaugeOf is a job of templates 200 mm long, cut by a cutter of 6 mm, with what a test adds.
func gaugeOf(radii, blank, more string) string {
	return "form: gauge\nradii: [" + radii + "]\nlength: 200 mm\nblank: {" + blank + "}\nmachine: bench-600\n" +
		"shelf:\n  small: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 15 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}\n" + more
}

const sheet = "size: 600 mm, thickness: 4 mm"

// What a gauge takes where it says nothing: 0.3 mm deep letters, zero on the sheet's top, four
// tabs of 9 mm by a third of the sheet, 1 mm at most. What it says is taken instead.
func TestGaugeDefaults(t *testing.T) {
	for thick, high := range map[string]float64{"3 mm": 1, "4 mm": 1, "9 mm": 1} {
		w := load(t, gaugeOf("25 ft", "size: 600 mm, thickness: "+thick, "")).Work
		o := w.Extras.CutOuts[0]
		require.Equal(t, []any{9.0, high, 4, "small", "the template of 25 ft"}, []any{o.TabLength, o.TabHeight, len(o.Tabs), o.Cutter, o.Name})
		require.Equal(t, []any{0.3, false, 0.05, 0.05, 7620.0, true}, []any{w.Extras.Letters[0].Depth, w.ZeroAtBed, w.ZeroError, w.Scallop, w.Wanted, !w.HasFace()})
	}
	j := load(t, gaugeOf("25 ft, 5 m", sheet, "engrave: 0.5 mm\nzero: centre-bed\nextras: {cut out: {tabs: 6, tab length: 5 mm, tab height: 2 mm}}\n"))
	o := j.Work.Extras.CutOuts[1]
	require.Equal(t, []any{5.0, 2.0, 6, 0.5, true, "25 ft"}, []any{o.TabLength, o.TabHeight, len(o.Tabs), j.Work.Extras.Letters[0].Depth, j.Work.ZeroAtBed, j.Radius.String()})
	for text, ok := range map[string]bool{
		"tabs: 2": true, "tabs: 50": true, "tabs: 1": false, "tabs: 51": false,
		"tab length: 3 mm": true, "tab length: 2.9 mm": false, "tab length: 50 mm": true, "tab length: 51 mm": false,
		"tab height: 0.3 mm": true, "tab height: 0.29 mm": false,
	} {
		require.Equal(t, ok, accepted(gaugeOf("25 ft", sheet, "extras: {cut out: {"+text+"}}\n")), text)
	}
	for text, ok := range map[string]bool{"scallop: 2 mm": true, "zero error: 2 mm": true, "zero error: 2.1 mm": false, "rough: small": false, "floor: 2 mm": false, "pattern: auto": false} {
		require.Equal(t, ok, accepted(gaugeOf("25 ft", sheet, text+"\n")), text)
	}
	// A radius is no less than the template is long, and no more than 100 m.
	for radius, ok := range map[string]bool{"200 mm": true, "199 mm": false, "100 m": true, "101 m": false} {
		require.Equal(t, ok, accepted(gaugeOf(radius, sheet, "")), radius)
	}
	var many []string
	for i := range 41 {
		many = append(many, fmt.Sprintf("%d mm", 5000+i))
	}
	wide := "size: 5 m, thickness: 4 mm"
	for n, ok := range map[int]bool{0: false, 1: true, 40: true, 41: false} {
		require.Equal(t, ok, accepted(gaugeOf(strings.Join(many[:n], ", "), wide, "")), "%d", n)
	}
}

// Columns take the length and rows the height with the deepest sagitta, each with both slots
// of the cutter and 4 mm, and so much once more: 448 mm hold two of 200 mm, and three rows need
// three times that of 40 mm with what 5 m sag, L²/8R and more: R − √(R² − L²/4). The hint is enough.
func TestRoomForTemplates(t *testing.T) {
	const gap = 2*6 + 4.0
	row := 40 + 5000 - math.Sqrt(5000*5000-100*100) + gap
	for _, tt := range []struct {
		radii      string
		long, wide float64
		rows, cols int
	}{
		{"5 m", 200 + 2*gap, row + gap, 1, 1}, {"25 ft, 5 m", 2*200 + 3*gap, row + gap, 1, 2}, {"25 ft, 5 m, 8 m", 200 + 2*gap, 3*row + gap, 3, 1},
		{"5 m, 6 m, 25 ft", 2*200 + 3*gap, 2*row + gap, 2, 2},
	} {
		text := func(dx, dy float64) string {
			return gaugeOf(tt.radii, fmt.Sprintf("length: %.4f mm, width: %.4f mm, thickness: 4 mm", tt.long+dx, tt.wide+dy), "")
		}
		j := load(t, text(0, 1e-3))
		require.False(t, accepted(text(-0.01, 1e-3)))
		require.False(t, accepted(text(0, -0.01)))
		// The hint names a sheet that holds them, to a whole millimetre.
		_, err := job.Load("job.yaml", []byte(text(0, -0.01)))
		require.ErrorContains(t, err, fmt.Sprintf("a blank of at least %.0f mm by %.0f mm", math.Ceil(tt.long), math.Ceil(tt.wide)))
		for i, o := range j.Work.Extras.CutOuts {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, p := range o.Line {
				lo, hi = math.Min(lo, p.X), math.Max(hi, p.X)
			}
			col := i % tt.cols
			require.InDelta(t, (float64(col)-float64(tt.cols-1)/2)*(200+gap), (lo+hi)/2, 1e-3)
			require.InDelta(t, 200, hi-lo, 1e-3)
			mid := (o.Line[0].Y + o.Line[len(o.Line)-1].Y) / 2 // of an end
			deepest := row - 40 - gap
			require.InDelta(t, (float64(tt.rows-1)/2-float64(i/tt.cols))*row+deepest/2, mid, 1e-3)
		}
	}
}

// Letters are three tenths of the template high, 12 mm at most, and smaller where the text would
// be longer than four fifths of it; they stand about the middle of its curves.
func TestLettersOfATemplate(t *testing.T) {
	for _, tt := range []struct {
		long, high float64
		radius     string
		size       float64 // 0 where the length decides
	}{{300, 40, "25 ft", 12}, {300, 30, "25 ft", 9}, {300, 60, "25 ft", 12}, {100, 40, "7620.25 mm", 0}} {
		text := strings.Replace(gaugeOf(tt.radius, sheet, fmt.Sprintf("height: %g mm\n", tt.high)), "200 mm", fmt.Sprintf("%g mm", tt.long), 1)
		w := load(t, text).Work
		l := w.Extras.Letters[0]
		x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, s := range l.Strokes {
			for _, p := range s {
				x0, x1, y0, y1 = math.Min(x0, p.X), math.Max(x1, p.X), math.Min(y0, p.Y), math.Max(y1, p.Y)
			}
		}
		size := tt.size
		if size == 0 {
			size = y1 - y0
			require.Less(t, size, 12.0)
			require.InDelta(t, 0.8*tt.long, x1-x0, 0.1*size) // the last letter ends a little before its room
		}
		require.InDelta(t, size, y1-y0, 1e-3)
		require.InDelta(t, 0, (x0+x1)/2, 0.2*size)
		radius, err := measure.ParseLength(tt.radius)
		require.NoError(t, err)
		sag := radius.MM - math.Sqrt(radius.MM*radius.MM-tt.long*tt.long/4)
		line := w.Extras.CutOuts[0].Line
		require.InDelta(t, (line[0].Y+line[len(line)-1].Y)/2-sag, (y0+y1)/2, 1e-3)
		require.InDelta(t, math.Max(0.8, size/4), l.Widest, 1e-3)
	}
}

// Templates are cut by the widest straight cutter of at most 8 mm whose flutes go through the
// sheet and half a millimetre more, else by the narrowest wider one; or by the one that is named.
func TestCutterOfTemplates(t *testing.T) {
	of := func(name, shape string, diameter, flutes float64) string {
		return fmt.Sprintf("  %s: {shape: %s, diameter: %g mm, flutes: 2, flute length: %g mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}\n", name, shape, diameter, flutes)
	}
	for _, tt := range []struct{ shelf, named, want string }{
		{of("a", "flat", 3, 12) + of("b", "flat", 6, 12) + of("c", "flat", 12.7, 25) + of("d", "ball", 8, 25), "", "b"},
		{of("c", "flat", 12.7, 25) + of("b", "flat", 8, 12) + of("a", "flat", 3, 12), "", "b"},
		{of("c", "flat", 12.7, 25) + of("b", "flat", 8.1, 12) + of("a", "flat", 20, 12), "", "b"},
		{of("a", "flat", 3, 12) + of("b", "flat", 6, 4.4), "", "a"},
		{of("a", "flat", 3, 12) + of("b", "flat", 6, 4.5), "", "b"},
		{of("a", "flat", 3, 12) + of("b", "flat", 6, 12), "a", "a"},
	} {
		text, _, _ := strings.Cut(gaugeOf("25 ft", sheet, ""), "shelf:")
		text += "shelf:\n" + tt.shelf
		if tt.named != "" {
			text += "extras: {cut out: {cutter: " + tt.named + "}}\n"
		}
		require.Equal(t, tt.want, load(t, text).Work.Extras.CutOuts[0].Cutter, tt.shelf)
	}
}
