package shop_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// TestTiltedJobs: passes that are laid for a tilt and worn cutters keep the scallop
// with them, use most of it, and say so; a ball does not mind a tilt.
func TestTiltedJobs(t *testing.T) {
	t.Parallel()
	for _, k := range []struct {
		form, finish, off string
		worst             float64 // tilt stated, mm per 100 mm
	}{
		{"dish", "flat", "spindle tilt: 0.1 mm per 100 mm", 0.1},
		{"dish", "bull", "spindle tilt: 0.1 mm per 100 mm\nundersize: 0.1 mm", 0.1},
		{"dish", "ball", "spindle tilt: 0.1 mm per 100 mm\nundersize: 0.2 mm", 0.1},
		{"caul", "flat", "spindle tilt: 0.05 mm per 100 mm\nundersize: 0.1 mm", 0.05},
		{"dish", "flat", "undersize: 0.5 mm", 0.05}, // as nothing is said of the spindle
		{"dish", "flat", "", 0.05},
		{"dish", "flat", "spindle tilt: 0 mm per 100 mm", 0},
	} {
		t.Run(k.form+" "+k.finish+" "+k.off, func(t *testing.T) {
			text := fmt.Sprintf(`form: %s
radius: 2 m
diameter: 160 mm
blank: {size: 320 mm, thickness: 30 mm}
machine: wide-1250
pattern: raster
scallop: 0.08 mm
%s
shelf:
  flat: {shape: flat, diameter: 1 in, flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.10 mm, depth of cut: 2 mm}
  bull: {shape: bull, diameter: 1 1/4 in, corner: 1/4 in, flutes: 2, flute length: 16 mm, speed: 14000, chip load: 0.10 mm, depth of cut: 2 mm}
  ball: {shape: ball, diameter: 1/2 in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
rough: flat
finish: %s
`, k.form, k.off, k.finish)
			j, err := job.Load("job.yaml", []byte(text))
			require.NoError(t, err)
			r, err := shop.Run(context.Background(), j)
			require.NoError(t, err)
			p := r.Report
			require.Empty(t, p.Broken)
			require.LessOrEqual(t, p.Scallop.CertifiedMM, 0.08)
			require.Greater(t, p.Scallop.CertifiedMM, 0.07)
			require.InDelta(t, k.worst, p.Scallop.TiltMM, 1e-9)
			require.InDelta(t, k.worst, p.Tilt.StatedMM, 1e-9)
			kinds := map[string]string{}
			for _, w := range p.Warnings {
				kinds[w.Kind] = w.Message.String()
			}
			switch {
			case k.finish == "ball":
				require.Nil(t, p.Tilt.BreaksFromMM)
				require.NotContains(t, kinds, "square-spindle")
			case k.worst > 0:
				require.GreaterOrEqual(t, *p.Tilt.BreaksFromMM, k.worst-1e-4) // the last digit that is told
				require.NotContains(t, kinds, "square-spindle")
			default:
				require.Greater(t, *p.Tilt.BreaksFromMM, 0.0)
				require.Contains(t, kinds, "square-spindle")
			}
			condition := "for a spindle square to the bed"
			switch {
			case k.finish == "ball":
				condition = "whatever the spindle's tilt"
			case k.worst > 0:
				condition = fmt.Sprintf("for a spindle within %g mm per 100 mm", k.worst)
			}
			head := strings.ReplaceAll(string(r.Texts[len(r.Texts)-1].Bytes), ")\n(", " ")
			require.Contains(t, strings.Join(strings.Fields(head), " "), "is certified "+condition)
			require.Contains(t, p.Certificate.String(), fmt.Sprintf(" mm %s", condition))
			require.Contains(t, p.Certificate.String(), p.Scallop.Condition.String())
			names, texts := printed(r)
			v := prove(t, j, names, texts)
			require.Empty(t, v.Findings)
			require.Equal(t, p.Scallop.Condition.String(), v.Scallop.Condition.String(), "prove tells the condition as make does")
		})
	}
}
