package shop_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// covered runs a small dish with lines of a covering.
func covered(t *testing.T, radius, lines string) *shop.Result {
	t.Helper()
	j, err := job.Load("j.yaml", []byte("name: small\nradius: "+radius+"\ndiameter: 60 mm\nblank: {shape: square, size: 110 mm, thickness: 25 mm}\nmachine: bench-600\nscallop: 0.2 mm\npattern: raster\n"+
		"shelf: {flat: {shape: flat, diameter: 12 mm, flutes: 2, flute length: 16 mm, speed: 16000, chip load: 0.1 mm, depth of cut: 2 mm}}\n"+lines))
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	return r
}

// A flat disc is too long round the edge of a sphere by 2π(s − R sin(s/R)), about s²/6R² of it:
// 0.0006 of one that reaches 30 mm on 500 mm, which is more than paper gives and less than cloth;
// on 2 m nobody sees it.
func TestDiscInOnePiece(t *testing.T) {
	r := covered(t, "500 mm", "covering: 0.6 mm\ncovering layout: {disc: 60.1 mm}\n")
	c := r.Report.Covering
	require.Equal(t, "disc", c.Pieces)
	require.InDelta(t, 30*30/6.0/500/500, c.Share, 3e-6)
	require.False(t, c.Lies)
	require.GreaterOrEqual(t, c.CutsFor, 6)
	require.Contains(t, c.Layout(r.Job.Ruler), "it creases: cut it into")
	warned := func(kind string) bool {
		for _, w := range r.Report.Warnings {
			if w.Kind == kind {
				return true
			}
		}
		return false
	}
	require.True(t, warned("covering-disc"))
	r = covered(t, "500 mm", "covering: 0.6 mm\ncovering layout: {disc: 59.5 mm, backing: cloth}\n")
	require.True(t, r.Report.Covering.Lies)
	require.InDelta(t, 0.27, r.Report.Covering.BareMM, 0.01)
	require.False(t, warned("covering-disc"))
	r = covered(t, "2 m", "covering: 0.6 mm\ncovering layout: {disc: 60.1 mm}\n")
	require.True(t, r.Report.Covering.Lies)
	require.False(t, warned("covering-disc"))
	require.Contains(t, string(r.Drawings[0].SVG), "one disc, true size")
	data, err := json.Marshal(r.Report)
	require.NoError(t, err)
	require.Contains(t, string(data), `"disc_mm":60.1`)
}

// Where seams lean it is said which way the dish is turned; strips are laid aslant, and then
// nothing has to be turned one way. What was measured is told beside the bound.
func TestSeamsAndUnevenness(t *testing.T) {
	r := covered(t, "2 m", "covering: {measured: [0.5 mm, 0.6 mm, 0.7 mm]}\ncovering layout: {wedges: 6, seams: 20 deg, turned: counter-clockwise}\nextras: {centre hole: 14 mm}\n")
	c := r.Report.Covering
	require.Equal(t, "counter-clockwise", c.Turned)
	require.InDelta(t, 20, c.SeamsDeg, 1e-9)
	require.InDelta(t, 14, c.HoleMM, 1e-12)
	require.Contains(t, string(r.Drawings[0].SVG), "Turn the dish counter-clockwise")
	require.InDelta(t, 0.6, r.Report.CoveringMM, 1e-9)
	require.InDelta(t, 0.2, r.Report.UnevenMM, 1e-9)
	var b strings.Builder
	r.Whole().Text(&b, 200)
	require.Contains(t, b.String(), "by 0.2 mm, beside the scallop of 0.2 mm that is certified for the wood")
	r = covered(t, "2 m", "covering: 0.6 mm\ncovering layout: {strips: 25 mm, seams: 20 deg}\n")
	require.Empty(t, r.Report.Covering.Turned)
	require.Contains(t, r.Report.Covering.Layout(r.Job.Ruler), "laid at 20 deg to X")
	require.Zero(t, r.Report.UnevenMM)
}

// A covering that is as thick as no sheet in one place was not measured right; one that is uneven
// by more than its scallop is told too. Both stand in the brief answer.
func TestUnevenCovering(t *testing.T) {
	for list, want := range map[string]string{
		"0.6 mm, 0.6 mm, 5.6 mm, 0.6 mm, 0.6 mm":         "place 3 of the covering is 5.6 mm, the median 0.6 mm: no sheet is so uneven",
		"1 mm, 1 mm, 0.95 mm, 0.48 mm":                   "place 4 of the covering is 0.48 mm, the median 0.975 mm: no sheet is so uneven",
		"0.5 mm, 0.25 mm, 0.26 mm, 0.25 mm":              "the covering is uneven by 0.25 mm, more than the scallop of 0.2 mm",
		"0.1 mm, 0.05 mm, 0.05 mm, 0.04 mm, 0.11 mm":     "place 5 of the covering is 0.11 mm, the median 0.05 mm: no sheet is so uneven",
		"0.6 mm, 0.7 mm, 0.81 mm":                        "the covering is uneven by 0.21 mm, more than the scallop of 0.2 mm",
		"0.6 mm, 0.7 mm, 0.8 mm":                         "",
		"0.58 mm, 0.61 mm, 0.60 mm, 0.62 mm, 0.59 mm":    "",
		"0.6 mm, 0.6 mm, 0.6 mm, 0.6 mm, 0.6 mm, 0.6 mm": "",
	} {
		r := covered(t, "2 m", "covering: {measured: ["+list+"]}\n")
		said := ""
		for _, w := range r.Report.Warnings {
			if w.Kind == "covering-uneven" {
				require.Empty(t, said, list)
				said = w.Message.String()
				require.Contains(t, w.Hint.String(), "measure again")
			}
		}
		require.Equal(t, want, said, list)
		if want != "" {
			var b strings.Builder
			r.Answer().Text(&b, 200)
			require.Contains(t, b.String(), said)
		}
	}
}

// What a dish sags by stands beside its face: on ribs between them, at its rim as another radius,
// on a board not at all; layers count as one piece, and are told.
func TestSagIsTold(t *testing.T) {
	r := covered(t, "500 mm", "support: rim\n")
	s := r.Report.Sag
	require.InDelta(t, 25-r.Report.SagittaMM, s.LeftMM, 1e-6)
	require.Less(t, s.RadiusMM, 500.0)
	require.Contains(t, s.Says(r.Job.Ruler), "carried at its rim, by ")
	s = covered(t, "500 mm", "support: ribs\nrib spacing: 30 mm\n").Report.Sag
	require.Zero(t, s.RadiusMM)
	require.Contains(t, s.Says(r.Job.Ruler), "between ribs 30 mm apart by ")
	s = covered(t, "500 mm", "support: board\n").Report.Sag
	require.Zero(t, s.SagMM)
	require.Contains(t, s.Says(r.Job.Ruler), "not at all")
	r = covered(t, "500 mm", "")
	require.Equal(t, "bench", r.Report.Sag.Support)
	require.Empty(t, r.Report.Sag.Laminated(r.Job.Ruler))
	j := r.Job
	j.Work.Layers = 20
	again, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Contains(t, again.Report.Sag.Laminated(j.Ruler), "20 layers of 1.25 mm, glued all over, bend as one piece")
	require.Equal(t, r.Report.Sag.SagMM, again.Report.Sag.SagMM)
	require.Equal(t, r.Job.Mark(), j.Mark())
}
