package measure_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure"
)

func TestStep(t *testing.T) {
	for text, want := range map[string]float64{
		"97.2 mm": 0.1, "97.20 mm": 0.01, "97 mm": 1, "9.72 cm": 0.1, "3 13/16 in": 25.4 / 16, "3.827 in": 0.0254, "1/4 in": 6.35, "5 ft 6 1/2 in": 12.7, "5 ft 6 in": 25.4,
	} {
		l, err := measure.ParseLength(text)
		require.NoError(t, err)
		require.InDelta(t, want, l.Step(), 1e-12, text)
	}
	require.Zero(t, measure.Length{MM: 3}.Step())
}
