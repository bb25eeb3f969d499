package sheet

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/samples"
)

// made takes a sample all the way, with the changes.
func made(t testing.TB, name string, changes ...strict.Change) *shop.Result {
	t.Helper()
	data, ok := samples.Get(name)
	require.True(t, ok)
	j, err := job.Load(name+".yaml", data, changes...)
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	return r
}

// plain is a change to passes that are planned in a quarter of the time; with LONG there
// is none.
func plain(t testing.TB) (changes []strict.Change) {
	t.Helper()
	if !chance.Long() {
		c, err := strict.ParseChange("pattern=raster", "")
		require.NoError(t, err)
		changes = append(changes, c)
	}
	return changes
}

// BenchmarkSheet is what the sheet adds to a run: go test -bench Sheet ./cmd/internal/sheet
func BenchmarkSheet(b *testing.B) {
	for _, name := range []string{"octave-mandolin", "guitar-28ft", "dish-and-caul"} {
		b.Run(name, func(b *testing.B) {
			r := made(b, name)
			b.ResetTimer()
			for b.Loop() {
				Of(r)
			}
		})
	}
}

// The same run gives the same bytes, and what is of the trade is marked as that.
func TestSameBytes(t *testing.T) {
	r := made(t, "short", plain(t)...)
	page := string(Of(r))
	require.Equal(t, page, string(Of(r)))
	for _, head := range []string{"The covering", "First sanding"} {
		require.Contains(t, page, ">"+head+practice+"</h3>")
	}
}

// A figure that is told comes from the result alone: changed there, it is changed in the text,
// on the sheet and in JSON.
func TestOneResult(t *testing.T) {
	r := made(t, "short", plain(t)...)
	told := func() (list [3]string) {
		var text bytes.Buffer
		r.Answer().Text(&text, 1000)
		r.Whole().Text(&text, 1000)
		data, err := json.Marshal(r.Report)
		require.NoError(t, err)
		return [3]string{text.String(), string(Of(r)), string(data)}
	}
	for _, one := range []struct {
		change     func(p *shop.Report)
		told, json string
	}{
		{func(p *shop.Report) { p.SagittaMM = 12.344 }, "12.344 mm", `"sagitta_mm":12.344`},
		{func(p *shop.Report) { p.FloorLeftMM = 7.61 }, "7.61 mm of wood", `"floor_left_mm":7.61`},
		{func(p *shop.Report) { p.Programs[1].BiteMM = 1.237 }, "1.24", `"bite_mm":1.237`},
		{func(p *shop.Report) { p.Programs[1].TimeS = 7500 }, "2 h 05 min", `"time_s":7500`},
		{func(p *shop.Report) { p.Programs[1].Cutter.Name = "odd one" }, "odd one", `"name":"odd one"`},
		{func(p *shop.Report) { p.TimeS = 11100 }, "3 h 05 min", `"time_s":11100`},
		{func(p *shop.Report) { p.Certificate = measure.Say("certified 0.4321 mm") }, "certified 0.4321 mm", `"certificate":"certified 0.4321 mm"`},
		{func(p *shop.Report) { p.HoldPlaces[0].X = 123.4 }, "X123.4 Y", `"x_mm":123.4`},
		{func(p *shop.Report) { p.Touch.Y = -77.7 }, "Y-77.7 mm", `"y_mm":-77.7`},
		{func(p *shop.Report) { p.Warnings[0].Message = measure.Say("an odd warning") }, "an odd warning", `"message":"an odd warning"`},
	} {
		for i, text := range told() {
			require.NotContains(t, text, [...]string{one.told, one.told, one.json}[i])
		}
		one.change(&r.Report)
		for i, text := range told() {
			require.Contains(t, text, [...]string{one.told, one.told, one.json}[i])
		}
	}
}

// What the sheet has measured is the sphere, by Pythagoras.
func TestStationsLieOnTheSphere(t *testing.T) {
	for _, name := range []string{"octave-mandolin", "plate-caul", "hand-board"} {
		r := made(t, name, plain(t)...)
		w := r.Plan.Work
		reach := w.Face.Rim
		if b, ok := w.Region.(dish.Strip); ok {
			reach = b.Length / 2
		}
		list := r.Stations(10)
		require.Len(t, list, int(reach/10)+1)
		level := func(R, d float64) float64 { return math.Sqrt(R*R - d*d) }
		for _, s := range list {
			for _, face := range [][2]float64{{w.Face.Radius, s.Wood}, {w.Wanted, s.Finished}} {
				want := level(face[0], s.At) - level(face[0], reach)
				if w.Face.Falls() {
					want = face[0] - level(face[0], s.At)
				}
				require.InDelta(t, want, face[1], 1e-8, "%s at %g", name, s.At)
			}
		}
	}
}

// A bow of 0.5 mm over 600 mm turns 25 ft into about 23 or 27: h = 5.9078 mm becomes
// 6.4078 or 5.4078, and R = L²/8h + h/2 7026 or 8324 mm (Machinery's Handbook, 31st ed.,
// pp. 79 and 83, own calculation).
func TestBow(t *testing.T) {
	j, err := job.Load("job.yaml", []byte("radius: 25 ft\ndiameter: 600 mm\nblank: {size: 660 mm, thickness: 25 mm}\nmachine: wide-1250\npattern: raster\nscallop: 0.3 mm\n"))
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Contains(t, cut{r, r.Job.Ruler}.differences(), "A bow of 0.5 mm over 600 mm turns a radius of 25 ft into 23.1 ft or 27.3 ft.")
}
