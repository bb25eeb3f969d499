package path_test

import (
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
)

func TestCutterBody(t *testing.T) {
	tests := []struct {
		cutter       path.Cutter
		corner, flat float64
	}{
		{path.Cutter{Shape: path.Ball, Diameter: 12.7}, 6.35, 0},
		{path.Cutter{Shape: path.Ball, Diameter: 12.7, Corner: 2}, 6.35, 0}, // a ball has no corner of its own
		{path.Cutter{Shape: path.Flat, Diameter: 25.4}, 0, 12.7},
		{path.Cutter{Shape: path.Flat, Diameter: 25.4, Corner: 2}, 0, 12.7},
		{path.Cutter{Shape: path.Bull, Diameter: 31.75, Corner: 6.35}, 6.35, 9.525},
	}
	for _, tt := range tests {
		t.Run(tt.cutter.Shape.String(), func(t *testing.T) {
			require.Equal(t, tt.corner, tt.cutter.Body().Corner)
			require.InDelta(t, tt.flat, tt.cutter.Body().Flat, 1e-15)
			require.Equal(t, tt.cutter.Diameter/2, tt.cutter.Radius())
		})
	}
}

// What is left of each shape that lacks some of its diameter.
func TestUndersized(t *testing.T) {
	for _, k := range []struct {
		of   path.Cutter
		by   float64
		want dish.Body
	}{
		{path.Cutter{Shape: path.Flat, Diameter: 25.4}, 0.1, dish.Body{Flat: 12.65}},
		{path.Cutter{Shape: path.Ball, Diameter: 12.7}, 0.1, dish.Body{Corner: 6.3}},
		{path.Cutter{Shape: path.Bull, Diameter: 31.75, Corner: 6.35}, 0.1, dish.Body{Flat: 9.475, Corner: 6.35}},
		{path.Cutter{Shape: path.Bull, Diameter: 10, Corner: 4.9}, 0.4, dish.Body{Corner: 4.8}},
		{path.Cutter{Shape: path.Bull, Diameter: 10, Corner: 2}, 0, dish.Body{Flat: 3, Corner: 2}},
	} {
		b := k.of.Undersized(k.by).Body()
		require.InDelta(t, k.want.Flat, b.Flat, 1e-12)
		require.InDelta(t, k.want.Corner, b.Corner, 1e-12)
	}
}
