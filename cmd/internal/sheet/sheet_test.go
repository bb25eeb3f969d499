package sheet

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
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
				if _, err := Of(r); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The same run gives the same bytes, and what is of the trade is marked as that.
func TestSameBytes(t *testing.T) {
	r := made(t, "short", plain(t)...)
	a, err := Of(r)
	require.NoError(t, err)
	b, err := Of(r)
	require.NoError(t, err)
	require.Equal(t, string(a), string(b))
	for _, head := range []string{"Glue on the covering", "Sand the rim with it", "Glue the plate on"} {
		_, part, found := strings.Cut(string(a), "</b> "+head+"</h2>")
		require.True(t, found, head)
		require.True(t, strings.HasPrefix(part, "\n<p>"+practice+"</p>"), head)
	}
}

func TestUnits(t *testing.T) {
	mm, in, parts := Units{}, Units{Inches: true}, Units{Inches: true, Parts: 64}
	require.Equal(t, "460 mm", mm.Len(460, 2))
	require.Equal(t, "18.11 in (460 mm)", in.Len(460, 1))
	require.Equal(t, "18 in (457.2 mm)", parts.Len(457.2, 1))
	require.Equal(t, "18.1102 in (460 mm)", parts.Len(460, 3), "no mark is true to that")
	require.Equal(t, "5.91 mm", mm.Depth(5.908))
	require.Equal(t, "15/64 in less 0.05 mm (5.91 mm)", parts.Depth(5.9078)) // 15/64 in is 5.953 mm
	require.Equal(t, "1/4 in (6.35 mm)", parts.Depth(6.35))
	require.Equal(t, "X1 Y-2 in (X25.4 Y-50.8 mm)", in.Place(25.4, -50.8))
	require.Equal(t, "X25.4 Y0 mm", mm.Place(25.4, -0.001))
	require.Equal(t, "100 in/min (2540 mm/min)", in.Feed(2540))
	require.Equal(t, "1 min", tell.Clock(3))
	require.Equal(t, "2 h 05 min", tell.Clock(7500))
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
	list := cut{page: &page{}, r: r}.moves()[0].List
	require.Equal(t, "A bow of 0.5 mm over 600 mm turns a radius of 25 ft into 23.1 ft or 27.3 ft.", list[0])
}
