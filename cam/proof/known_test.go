package proof

import (
	"math"
	"reflect"
	"testing"
	"unsafe"

	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is known is what a search of its own would find, counts in the budget as that would,
// and is known again only of the same moves for the same question.
func TestKnownIsWhatASearchFinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		face, top := jobFace(t)
		c := jobCutter(t)
		cuts := []Cut{{c, jobMoves(t, face, c)}}
		var taken int64
		ask := func(known *Known, cuts []Cut, change func(*CertifyOptions)) (Scallop, int64) {
			opt := CertifyOptions{MaxCells: 5_000, Known: known, budget: newBudget()}
			change(&opt)
			r, err := Certify(face, top, cuts, opt)
			require.NoError(t, err)
			taken, r.Looks = r.Looks, 0
			return r, opt.budget.spent.Load()
		}
		same := func(*CertifyOptions) {}
		var known Known
		first, looks := ask(&known, cuts, same)
		size := len(known.found)
		again, counted := ask(&known, cuts, same)
		if size > 0 {
			require.Less(t, taken, looks, "it is not searched again")
		}
		require.Equal(t, first, again)
		require.Equal(t, looks, counted)
		require.Len(t, known.found, size)
		alone, _ := ask(nil, cuts, same)
		require.Equal(t, alone, again)

		moved := []Cut{{c, append(cuts[0].Moves[:0:0], cuts[0].Moves...)}}
		last := &moved[0].Moves[len(moved[0].Moves)-1]
		last.To.Z = math.Nextafter(last.To.Z, 1)
		other := rapid.SampledFrom([]func(*CertifyOptions){
			func(o *CertifyOptions) { o.Tilt = 0.001 },
			func(o *CertifyOptions) { o.Undersize = 0.01 },
			func(o *CertifyOptions) { o.Slack = 0.002 },
			func(o *CertifyOptions) { o.Expected = 0.01 },
			func(o *CertifyOptions) { o.Region = dish.Disc{Radius: face.Rim / 2} },
			func(o *CertifyOptions) { o.StopAbove = max(1e-9, first.Found/2) },
			func(o *CertifyOptions) { o.MaxCells = 70 },
		}).Draw(t, "other")
		have, _ := ask(&known, cuts, other)
		want, _ := ask(nil, cuts, other)
		require.Equal(t, want, have)
		have, _ = ask(&known, moved, same)
		want, _ = ask(nil, moved, same)
		require.Equal(t, want, have)
	})
}

// Whatever changes in a run makes it another.
func TestRunsAreToldApart(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 500, 40))
	s := &search{face: face}
	line := func() *run {
		runs, err := makeRuns(Cut{bullCutter(12, 3), rasterMoves(face, bullCutter(12, 3), []float64{3}, func(float64) float64 { return 30 }, 5)}, 0.001, always, nil)
		require.NoError(t, err)
		return runs[0]
	}
	arc := func() *run {
		runs, err := makeRuns(Cut{ballCutter(6), arcRings(face, ballCutter(6), 30, 20)[:1]}, 0, always, nil)
		require.NoError(t, err)
		return runs[0]
	}
	for _, r := range []*run{line(), arc()} {
		key, leaves := keyOf(s, []*run{r}), 0
		eachLeaf(reflect.ValueOf(r), func() {
			require.NotEqual(t, key, keyOf(s, []*run{r}), "leaf %d", leaves)
			leaves++
		})
		require.GreaterOrEqual(t, leaves, 19)
		require.Equal(t, key, keyOf(s, []*run{r}))
	}
	require.NotEqual(t, keyOf(s, []*run{line(), arc()}), keyOf(s, []*run{arc(), line()}))
}

// eachLeaf changes every number and flag in v, one at a time, for as long as look takes.
func eachLeaf(v reflect.Value, look func()) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			eachLeaf(v.Elem(), look)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			eachLeaf(v.Field(i), look)
		}
	case reflect.Slice:
		for i := range v.Len() {
			eachLeaf(v.Index(i), look)
		}
	case reflect.Float64:
		p := (*float64)(unsafe.Pointer(v.UnsafeAddr()))
		was := *p
		*p++
		look()
		*p = was
	case reflect.Int:
		p := (*int)(unsafe.Pointer(v.UnsafeAddr()))
		*p++
		look()
		*p--
	case reflect.Bool:
		p := (*bool)(unsafe.Pointer(v.UnsafeAddr()))
		*p = !*p
		look()
		*p = !*p
	default:
		panic("a run holds what is no number: " + v.Kind().String())
	}
}
