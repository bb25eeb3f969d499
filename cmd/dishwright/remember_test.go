package main

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"io"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/dish/measure/strict"
	"dishwright/samples"
)

// runHere is run within the test's own process: what shop.Run finds out of a job is
// remembered, so that a hundred commands about one job plan and prove it once. With
// LONG nothing is remembered.
func runHere(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	a := newApp(stdin, stdout, stderr)
	if !chance.Long() {
		a.runJob = remembered
	}
	return a.run(args)
}

// found is what came of a job.
type found struct {
	once sync.Once
	r    *shop.Result
	err  error
}

// mostKept is how many jobs are remembered at once beside the samples, which many tests
// share: each may hold some tens of megabytes.
const mostKept = 8

var (
	keptMu sync.Mutex
	kept   = map[[sha256.Size]byte]*found{} // of the samples, for good
	lately = map[[sha256.Size]byte]*found{} // of other jobs
)

// remembered is shop.Run, which is a function of the job alone, run once for each job.
// That it is such a function is what scripts show that run it again as a process.
func remembered(ctx context.Context, j job.Job) (*shop.Result, error) {
	h := sha256.New()
	fingerprint(h, reflect.ValueOf(j))
	key := [sha256.Size]byte(h.Sum(nil))
	keptMu.Lock()
	f := cmp.Or(kept[key], lately[key], new(found))
	if len(lately) == mostKept {
		clear(lately)
	}
	if _, ok := samples.Get(strings.TrimSuffix(j.File, ".yaml")); ok {
		kept[key] = f
	} else {
		lately[key] = f
	}
	keptMu.Unlock()
	f.once.Do(func() { f.r, f.err = shop.Run(ctx, j) })
	if f.r == nil {
		return nil, f.err
	}
	r := *f.r // a command may add to the report
	return &r, f.err
}

// fingerprint writes all that a value holds, unexported fields too.
func fingerprint(h hash.Hash, v reflect.Value) {
	fmt.Fprintf(h, "%v:", v.Kind())
	switch v.Kind() {
	case reflect.Invalid:
	case reflect.Bool:
		fmt.Fprint(h, v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		binary.Write(h, binary.LittleEndian, v.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		binary.Write(h, binary.LittleEndian, v.Uint())
	case reflect.Float64:
		binary.Write(h, binary.LittleEndian, math.Float64bits(v.Float()))
	case reflect.String:
		fmt.Fprintf(h, "%q", v.String())
	case reflect.Interface, reflect.Pointer:
		fingerprint(h, v.Elem())
	case reflect.Struct:
		fmt.Fprint(h, v.Type())
		for i := range v.NumField() {
			fingerprint(h, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		fmt.Fprint(h, v.Len())
		for i := range v.Len() {
			fingerprint(h, v.Index(i))
		}
	case reflect.Map:
		keys := v.MapKeys()
		slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(a.String(), b.String()) })
		fmt.Fprint(h, v.Len())
		for _, k := range keys {
			fingerprint(h, k)
			fingerprint(h, v.MapIndex(k))
		}
	default:
		panic("a job holds a " + v.Type().String() + ", which has no fingerprint")
	}
}

// TestFingerprint: jobs that differ anywhere are told apart, and one that is read twice
// is the same.
func TestFingerprint(t *testing.T) {
	of := func(changes ...string) string {
		var all []strict.Change
		for _, c := range changes {
			change, err := strict.ParseChange(c, "")
			require.NoError(t, err)
			all = append(all, change)
		}
		data, _ := samples.Get("dish-and-caul")
		j, err := job.Load("job.yaml", data, all...)
		require.NoError(t, err)
		h := sha256.New()
		fingerprint(h, reflect.ValueOf(j))
		return string(h.Sum(nil))
	}
	all := map[string]bool{of(): true}
	require.True(t, all[of()])
	for _, c := range []string{"name=other", "scallop=0.11 mm", "plate=3.1 mm", "blank/thickness=31 mm", "pattern=raster", "spindle tilt=0.01 mm per 100 mm"} {
		require.False(t, all[of(c)], c)
		all[of(c)] = true
	}
}
