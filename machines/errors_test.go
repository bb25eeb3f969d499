package machines

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// withErrors is a profile with errors added.
func withErrors(t *testing.T, text string) (Machine, error) {
	t.Helper()
	data, err := profiles.ReadFile("profiles/bench-600.yaml")
	require.NoError(t, err)
	return Parse("mine.yaml", []byte(string(data)+text))
}

func TestErrors(t *testing.T) {
	m, err := withErrors(t, "errors:\n  scale: {x: 0.12 mm per 100 mm, y: -1/64 in per 12 in}\n  lean: -0.05 deg\n  backlash: {x: 0.08 mm, z: 0.02 mm}\n  known within: 0.02 mm per 100 mm\n  corrected: yes\n")
	require.NoError(t, err)
	e := m.Errors
	require.InDelta(t, 0.0012, e.Scale.X, 1e-12)
	require.InDelta(t, -1.0/768, e.Scale.Y, 1e-12)
	require.Zero(t, e.Scale.Z)
	require.InDelta(t, -0.000872665, e.Lean, 1e-9)
	require.Equal(t, r3.Vec{X: 0.08, Z: 0.02}, e.Backlash)
	require.InDelta(t, 0.0002, e.Uncertainty, 1e-12)
	require.True(t, e.Corrected)
	require.True(t, e.NeedsCorrection())
	require.False(t, e.NoneKnown())
	m, err = withErrors(t, "errors: {corrected: yes}\n")
	require.NoError(t, err)
	require.True(t, m.Errors.NoneKnown())
	require.False(t, m.Errors.NeedsCorrection())
	m, err = withErrors(t, "")
	require.NoError(t, err)
	require.True(t, m.Errors.NoneKnown())
}

func TestErrorsFaults(t *testing.T) {
	for text, want := range map[string]string{
		"errors: {scale: {x: 0.12 mm}}":           "is a length, not a slope",
		"errors: {scale: {x: 3 mm per 100 mm}}":   "scale x is out of range",
		"errors: {scale: {x: -3 mm per 100 mm}}":  "scale x is out of range",
		"errors: {scale: {w: 1 mm per 100 mm}}":   `the key "w" is not known`,
		"errors: {scale: 1 mm per 100 mm}":        "where keys and values are expected",
		"errors: {lean: --1 mm per 100 mm}":       "lean: ",
		"errors: {lean: much}":                    "lean: ",
		"errors: {backlash: {x: -0.1 mm}}":        "backlash x is out of range",
		"errors: {backlash: {x: 3 mm}}":           "backlash x is out of range",
		"errors: {known within: 3 mm per 100 mm}": "known within is out of range",
		"errors: {corrected: perhaps}":            "must be yes or no",
		"errors: {square: 0.1 deg}":               `the key "square" is not known`,
		"errors: 7":                               "where keys and values are expected",
	} {
		_, err := withErrors(t, text+"\n")
		require.ErrorContains(t, err, want, text)
		require.Contains(t, err.Error(), "mine.yaml:", text)
		require.True(t, strings.Contains(err.Error(), "hint:") || strings.Contains(err.Error(), "not known"), err.Error())
	}
}
