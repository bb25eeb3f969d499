package sides_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
	"dishwright/dish"
	"dishwright/dish/measure/strict"
)

const mouldJob = `name: small mould
form: rim
outline: {upper bout: 130 mm, waist: 110 mm, lower bout: 170 mm, length: 230 mm}
top: {radius: 15 ft, apex: 110 mm}
back: {radius: flat}
depth: {head: 50 mm, tail: 50 mm}
cut: mould
mould: {wall: 16 mm}
blank: {shape: rectangle, length: 400 mm, width: 340 mm, thickness: 40 mm}
machine: bench-600
scallop: 0.1 mm
shelf:
  half-inch ball: {shape: ball, diameter: 1/2 in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
`

func mouldOf(text string) (job.Job, error) {
	j, err := job.LoadRim("m.yaml", []byte(text))
	if err != nil {
		return job.Job{}, err
	}
	return sides.Mould(j, nil)
}

// A mould's edge from the job to the bytes and back: proven, within its limits, its
// text says that it is for a solid mould; heights of the band measured by plain
// formulas from the moves that were read back.
func TestMouldsProgram(t *testing.T) {
	j, err := mouldOf(mouldJob)
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	require.LessOrEqual(t, r.Report.Scallop.CertifiedMM, 0.1)
	require.Greater(t, r.Report.Scallop.CertifiedMM, 0.05)
	require.LessOrEqual(t, r.Report.GougeMM, 0.001)
	require.Equal(t, 16.0, r.Report.BandWidthMM)
	require.Len(t, r.Texts, 2) // after the air lap
	text := string(r.Texts[1].Bytes)
	require.Contains(t, text, "solid mould")
	require.Contains(t, text, "Bare sides and kerfed linings break")
	require.Contains(t, strings.ReplaceAll(text, ")\n(", " "), "sides are sanded")
	require.Less(t, strings.Index(text, "sanded"), strings.Index(text, "\nM0\n"))

	const R, ball = 4572.0, 6.35
	w := r.Plan.Work
	band := w.Region.(*dish.Band)
	points, normals := band.Line()
	for i := 0; i < len(points); i += 23 {
		for _, d := range []float64{0.01, 5, 8.5, 15.99} {
			x, y := points[i].X+d*normals[i].X, points[i].Y+d*normals[i].Y
			if out := band.Outside(x, y); out < 0 || out > 16 {
				continue
			}
			low := 0.0
			for _, m := range r.Texts[1].Path.Moves {
				if m.Kind == path.Traverse || math.Abs(m.To.X-x) > 12 || math.Abs(m.To.Y-y) > 12 {
					continue
				}
				for k := 0.0; k <= 1; k += 0.125 {
					u := math.Hypot(x-m.From.X-k*(m.To.X-m.From.X), y-m.From.Y-k*(m.To.Y-m.From.Y))
					if u < ball {
						low = math.Min(low, m.From.Z+k*(m.To.Z-m.From.Z)+ball-math.Sqrt(ball*ball-u*u))
					}
				}
			}
			over := math.Hypot(math.Hypot(x, y), low+R) - R // from the sphere's centre
			require.LessOrEqual(t, over, r.Report.Scallop.CertifiedMM+0.001, "X%.1f Y%.1f", x, y)
			require.GreaterOrEqual(t, over, -0.001)
		}
	}

	data, err := json.Marshal(r.Report)
	require.NoError(t, err)
	again, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	data2, err := json.Marshal(again.Report)
	require.NoError(t, err)
	require.Equal(t, string(data), string(data2))
	require.Equal(t, text, string(again.Texts[1].Bytes))
}

func TestMouldsFaults(t *testing.T) {
	for _, tt := range []struct{ from, to, message string }{
		{"cut: mould\n", "", "for cutting a mould's edge"},
		{"radius: 15 ft, apex: 110 mm", "radius: flat", "a sphere alone"},
		{"apex: 110 mm", "apex: 110 mm, flat above: 180 mm", "a sphere alone"},
		{"shape: ball", "shape: cone", "cannot be"},
	} {
		_, err := mouldOf(strings.Replace(mouldJob, tt.from, tt.to, 1))
		var faults strict.Faults
		require.ErrorAs(t, err, &faults, tt.message)
		require.Contains(t, faults.Error(), tt.message)
		require.NotEmpty(t, faults[0].Hint)
	}
	// What planning finds stands at its key.
	for _, tt := range []struct{ from, to, message string }{
		{"length: 400 mm", "length: 200 mm", "beyond the blank"},
		{"zero: x", "", ""},
		{"machine:", "hold downs: [{x: 117 mm, y: 0 mm, radius: 4 mm, height: 8 mm}]\nmachine:", "stands on the mould's edge"},
		{"machine:", "direction: uphill\nmachine:", "laps go up and down"},
		{"depth of cut: 3 mm", "depth of cut: 0.3 mm", "may bite"},
		{"wall: 16 mm", "wall: 150 mm", "beyond the blank"},
	} {
		if tt.message == "" {
			continue
		}
		j, err := mouldOf(strings.Replace(mouldJob, tt.from, tt.to, 1))
		require.NoError(t, err)
		_, err = shop.Run(context.Background(), j)
		require.Error(t, err, tt.message)
		require.Contains(t, fmt.Sprint(err), tt.message)
	}
	_, err := sides.Mould(job.Rim{}, nil)
	require.ErrorContains(t, err, "sides are sanded, not cut")
}
