package shop_test

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// Planner and proof agree on how near a fence may stand, to a twentieth of a
// millimetre: each works it out in its own way.
func TestFences(t *testing.T) {
	t.Parallel()
	load := func(fence string) job.Job {
		j, err := job.Load("job.yaml", []byte("radius: 5 m\ndiameter: 120 mm\nblank: {size: 200 mm, thickness: 25 mm}\nmachine: bench-600\nscallop: 0.1 mm\npattern: spokes\nfinish: half-inch flat\nrough: half-inch flat\n"+fence))
		require.NoError(t, err)
		return j
	}
	free, err := shop.Run(context.Background(), load(""))
	require.NoError(t, err)
	for k, fence := range []string{
		"{from: [-90 mm, %[1]g mm], to: [90 mm, %[1]g mm], width: 10 mm, height: 2.5 mm}", // before the cutter alone
		"{from: [%[1]g mm, -20 mm], to: [%[1]g mm, 5 mm], width: 8 mm, height: 20 mm}",    // before the shank too
		"{from: [-%[1]g mm, 0 mm], to: [0 mm, -%[1]g mm], width: 8 mm, height: 26 mm}",    // slanting, before the hood
		"{x: %[1]g mm, y: 3 mm, radius: 4 mm, height: 2.5 mm}",
	} {
		if !chance.Long() && k%2 == 1 { // without LONG the first and the third
			continue
		}
		lo, hi := 66.0, 400.0 // too near, and far enough
		for hi-lo > 0.02 {
			mid := (lo + hi) / 2
			if _, err := shop.Run(context.Background(), load("obstacles: ["+fmt.Sprintf(fence, mid)+"]\n")); err == nil {
				hi = mid
			} else {
				lo = mid
			}
		}
		accused := func(at float64) bool {
			var sources []shop.Source
			for _, p := range free.Texts {
				sources = append(sources, shop.Source{Name: p.Name, Text: bytes.NewReader(p.Bytes)})
			}
			v, _, err := shop.Prove(load("obstacles: ["+fmt.Sprintf(fence, at)+"]\n"), sources)
			require.NoError(t, err)
			for _, f := range v.Findings {
				if f.Kind == "obstacle" {
					return true
				}
			}
			return false
		}
		require.False(t, accused(hi+0.05), "%s at %g", fence, hi)
		require.True(t, accused(lo-0.05), "%s at %g", fence, lo)
	}
}
