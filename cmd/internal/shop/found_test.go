package shop_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job/key"
)

// slowFound are the found jobs that take half a second to ten: LONG takes them too. The
// jobs in brackets are nearest to each of them among those that are always taken.
var slowFound = []string{
	"ball-before-a-wide-flat",      // (board-without-roughing)
	"border-up-a-steep-crown",      // (crossing-of-three-edges)
	"clamp-in-one-setup",           // (TestObstacleInOneSetup)
	"cut-out-by-a-shallow-cutter",  // (TestDoctoredExtras)
	"cut-out-in-inches",            // (ramp-in-inches)
	"cut-out-told-by-a-lean",       // (TestDoctoredExtras)
	"cut-out-under-a-leaning-top",  // (TestDoctoredExtras, TestLaidForErrors)
	"cut-out-with-a-flat",          // (TestDoctoredExtras)
	"fine-rows-in-a-tile",          // (rows-that-run-on)
	"helix-as-wide-as-its-cutter",  // (TestStockForgets)
	"helix-beside-a-border",        // (crossing-of-three-edges)
	"hole-across-the-cut-out",      // (TestDoctoredExtras)
	"hole-in-two-close-rounds",     // (TestDoctoredWideHole)
	"hole-under-a-leaning-top",     // (TestDoctoredExtras, TestLaidForErrors)
	"link-across-a-waist",          // (mould-with-a-narrow-waist)
	"many-rings-in-arcs",           // (many-rings-in-chords)
	"no-dwell-into-a-cleared-moat", // (TestNoDwell)
	"ramps-that-lead-nowhere",      // (ramp-that-gains-nothing)
	"rings-on-a-steep-crown",       // (links-over-a-steep-crown)
	"round-at-a-foot",              // (way-over-ridges-in-a-bowl)
	"row-that-begins-in-wood",      // (rows-that-run-on)
	"seam-cut-in-thin-layers",      // (TestStockFullCell)
	"skim-of-a-wide-top",           // (skim-with-a-narrow-end)
	"sliver-beside-a-round",        // (crossing-of-three-edges)
	"slot-beside-a-wide-moat",      // (TestStockForgets)
	"spokes-under-a-leaning-top",   // (slow-way-down-to-a-leaning-top)
	"steep-board",                  // (board-without-roughing)
	"terraces-of-a-wide-flat",      // (board-without-roughing)
	"turns-on-a-steep-thimble",     // (pair-of-a-thimble)
}

// TestFound holds the jobs that campaigns found wrong once, each named for what was
// wrong: they are made, keep every bound, and are proven again as anybody's text; or
// they are refused, where they say so. Without LONG the slow ones are left out.
func TestFound(t *testing.T) {
	names, err := filepath.Glob("testdata/found/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range slowFound {
		require.Contains(t, names, filepath.Join("testdata", "found", name+".yaml"))
	}
	for _, name := range names {
		if strings.HasSuffix(name, ".machine.yaml") {
			continue
		}
		short := strings.TrimSuffix(filepath.Base(name), ".yaml")
		t.Run(short, func(t *testing.T) {
			t.Parallel()
			if !chance.Long() && slices.Contains(slowFound, short) {
				t.Skip("LONG=1 takes it too")
			}
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			form := key.Dish
			if bytes.Contains(text, []byte("cut: mould")) {
				form = key.Mould
			}
			// Number 1 is one that is proven again.
			own, err := os.ReadFile(strings.TrimSuffix(name, ".yaml") + ".machine.yaml")
			if !os.IsNotExist(err) {
				require.NoError(t, err)
			}
			out := tried{form: form, text: text, machine: own}.take(1, name)
			require.Empty(t, out.faults)
			if bytes.Contains(text, []byte("# To be refused")) {
				require.True(t, out.refused)
				return
			}
			require.False(t, out.refused, out.why)
			require.True(t, out.proven)
		})
	}
}
