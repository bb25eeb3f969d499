package choose_test

import (
	"testing"

	"dishwright/cam"
	"dishwright/cam/choose"
	"dishwright/cam/pass"
	"dishwright/cam/proof"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
)

// TestCompare: every cutter with every pattern, quickest first; each figure is
// that of a plan made again.
func TestCompare(t *testing.T) {
	for name, extra := range map[string]string{
		"auto":          "",
		"tilt":          "spindle tilt: 0.1 mm per 100 mm\nundersize: 0.05 mm\n",
		"finish named":  "finish: half\n",
		"pattern named": "pattern: raster\n",
		"rough named":   "rough: half\n",
	} {
		t.Run(name, func(t *testing.T) {
			w := loadSmaller(t, extra, quick, half, inch).Work
			rows, err := choose.Compare(&w)
			require.NoError(t, err)
			require.Len(t, rows, len(w.Shelf)*len(pass.Patterns()))
			own, err := planOf(w)
			require.NoError(t, err)
			seen, chosen := map[string]bool{}, 0
			for i, r := range rows {
				seen[r.Finish+">"+r.Pattern] = true
				if i > 0 {
					require.False(t, rows[i-1].Out.String() != "" && r.Out.String() == "", "one that is ruled out stands before one that is not")
					require.True(t, r.Out.String() != "" || rows[i-1].Seconds <= r.Seconds, "row %d is quicker than the one before", i)
				}
				if r.Out.String() != "" {
					require.Zero(t, r.Seconds)
					require.False(t, r.Chosen)
					continue
				}
				require.NotEqual(t, "quick", r.Finish)
				require.Greater(t, r.Certified, 0.0)
				require.LessOrEqual(t, r.Certified, w.Scallop)
				require.Greater(t, r.Bite, 0.0)
				c, _ := w.Cutter(r.Finish)
				require.LessOrEqual(t, r.Bite, 3.0)
				require.LessOrEqual(t, r.ChipLoad, c.ChipLoad)
				require.GreaterOrEqual(t, r.Path, r.FinishingPath)
				require.GreaterOrEqual(t, r.Seconds, r.Finishing)
				require.Contains(t, r.Name.String(), r.Pattern+"(")
				require.Contains(t, r.Label(), r.Pattern)
				if r.Chosen {
					chosen++
					require.Equal(t, own.Plan.Finish, r.Finish)
					require.Equal(t, own.Plan.Pattern, r.Pattern)
					require.Equal(t, own.Plan.Rough, r.Rough)
					require.InDelta(t, seconds(own.Plan), r.Seconds, 1e-9)
					again(t, own.Plan, r)
				}
			}
			require.Len(t, seen, len(rows))
			require.Equal(t, 1, chosen)
		})
	}
}

// again finds the scallop of the chosen row by the plan that was made for the work,
// and from below; and its deepest bite.
func again(t *testing.T, p cam.Plan, r choose.Row) {
	t.Helper()
	w := p.Work
	var cuts []proof.Cut
	c, _ := w.Cutter(p.Finish)
	stock, bite := proof.NewStock(w.Blank, proof.CellSize(w.Blank, min(c.Diameter, p.Programs[0].Cutter.Diameter))), 0.0
	stock.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
	for _, pr := range p.Programs {
		for _, s := range pr.Sections {
			cuts = append(cuts, proof.Cut{Cutter: pr.Cutter, Moves: s.Moves})
			bite = max(bite, stock.RunOnMachine(w.Machine, pr.Cutter, s.Moves).Depth)
		}
	}
	require.Equal(t, bite, r.Bite)
	ridge, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{Expected: w.Scallop, Tilt: w.Tilt, Undersize: w.Undersize})
	require.NoError(t, err)
	require.LessOrEqual(t, ridge.Found, r.Certified)
	require.InDelta(t, ridge.Certified, r.Certified, 0.002, "a micrometre for each of the two")
}

// TestCompareRuledOut: what will not do has its reason, and where nothing does the
// error is that of a plan.
func TestCompareRuledOut(t *testing.T) {
	w := load(t, "", quick, half, inch).Work
	rows, err := choose.Compare(&w)
	require.NoError(t, err)
	out := map[string]string{}
	for _, r := range rows {
		out[r.Finish+">"+r.Pattern] = r.Out.String()
	}
	for _, p := range pass.Patterns() {
		require.Contains(t, out["quick>"+p], "cannot run slowly enough for quick")
	}
	require.NotEmpty(t, out["half>spokes"], "a ball gains nothing there")
	require.NotEmpty(t, out["inch>rings"], "a square edge leaves stairs")
	require.Empty(t, out["inch>spokes"])
	require.Empty(t, out["half>rings"])

	w = load(t, "", quick, wide).Work
	_, err = choose.Compare(&w)
	_, want := planOf(w)
	require.Error(t, err)
	require.Equal(t, want, err)

	// A finish that is named and will not do hides the others from no one.
	w = load(t, "finish: wide\n", wide, inch).Work
	rows, err = choose.Compare(&w)
	require.NoError(t, err)
	require.Equal(t, "inch", rows[0].Finish)
	for _, r := range rows {
		require.False(t, r.Chosen)
	}
}

// TestCompareTwice: the same work, the same rows.
func TestCompareTwice(t *testing.T) {
	w := loadSmaller(t, "", half, inch).Work
	a, err := choose.Compare(&w)
	require.NoError(t, err)
	b, err := choose.Compare(&w)
	require.NoError(t, err)
	require.Equal(t, a, b)
}
