package shop_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
	"dishwright/dish/measure/strict"
)

// TestAllowance: an allowance near, at and over the depth of any form's face is settled
// before a program is written: it is made within every bound, or it is a fault at its own
// place, with a hint that holds. Finishing takes what roughing leaves, so that no allowance may be
// more than it may bite; one that is more than the whole depth asks for no roughing.
func TestAllowance(t *testing.T) {
	const blank = "blank: {size: 130 mm, thickness: 40 mm}\nmachine: bench-600\nscallop: 0.3 mm\nfloor: 5 mm\n"
	forms := []struct {
		name, text string
		depth      float64 // mm
	}{
		{"dish", "radius: 200 mm\ndiameter: 70 mm\npattern: raster\n" + blank, 3.086},
		{"caul", "form: caul\nradius: 200 mm\ndiameter: 70 mm\npattern: raster\n" + blank, 3.086},
		{"pair", "form: pair\nplate: 3 mm\nradius: 200 mm\ndiameter: 70 mm\npattern: raster\n" + blank, 3.086},
		{"board", "form: board\nradius: 300 mm\nlength: 80 mm\nwidth: 30 mm\n" + blank, 3.054},
		{"setups", "radius: 200 mm\ndiameter: 70 mm\npattern: raster\nsetups: 2\nindex error: 0.05 mm, 0.02 deg, height 0.02 mm\n" + blank, 3.086},
		{"mould", "form: rim\noutline: {upper bout: 130 mm, waist: 110 mm, lower bout: 170 mm, length: 230 mm}\ntop: {radius: 8 ft, apex: 110 mm}\nback: {radius: flat}\ndepth: {head: 50 mm, tail: 50 mm}\ncut: mould\nmould: {wall: 16 mm}\n" +
			strings.Replace(blank, "size: 130 mm", "shape: rectangle, length: 400 mm, width: 340 mm", 1), 3.5},
	}
	made, refused := 0, 0
	for _, f := range forms {
		for k, allowance := range []float64{0.3, f.depth - 0.02, f.depth, f.depth + 0.02, 20} {
			for n, bite := range []float64{1.5, 8} {
				if deep := n == 1; !chance.Long() && (deep || k == 0) && (f.name != "board" || k != 2) {
					continue // what is refused takes no time
				}
				shelf := fmt.Sprintf("shelf: {one: {shape: ball, diameter: 10 mm, shank: 6 mm, flutes: 2, flute length: 14 mm, speed: 16000, chip load: 0.05 mm, depth of cut: %g mm}}\n", bite)
				r, err := runText(fmt.Sprintf("%sallowance: %.3f mm\n%s", f.text, allowance, shelf))
				name := fmt.Sprintf("%s, %g mm, bites of %g mm: %v", f.name, allowance, bite, err)
				var faults strict.Faults
				if errors.As(err, &faults) {
					refused++
					for _, fault := range faults {
						require.Contains(t, fault.Message, "allowance", name)
						require.NotEmpty(t, fault.Hint, name)
					}
					require.Greater(t, allowance, bite-0.25, name)
					continue
				}
				require.NoError(t, err, name)
				require.Empty(t, r.Report.Broken, name)
				made++
			}
		}
	}
	require.Positive(t, made)
	require.GreaterOrEqual(t, refused, 4*len(forms))
}

// runText takes a job all the way, a rim's mould too.
func runText(text string) (*shop.Result, error) {
	data := []byte(text)
	j, err := job.Load("job.yaml", data)
	if (job.Source{Data: data}).Form() == "rim" {
		r, faults := job.LoadRim("job.yaml", data)
		if faults != nil {
			return nil, faults
		}
		j, err = sides.Mould(r, nil)
	}
	if err != nil {
		return nil, err
	}
	return shop.Run(context.Background(), j)
}
