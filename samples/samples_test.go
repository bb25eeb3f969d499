package samples_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"dishwright/dish/measure"
	"dishwright/machines"
	"dishwright/samples"
)

// TestEveryFileIsNamed: the list and the folder hold the same samples.
func TestEveryFileIsNamed(t *testing.T) {
	files, err := filepath.Glob("*.yaml")
	require.NoError(t, err)
	var found []string
	for _, f := range files {
		found = append(found, strings.TrimSuffix(f, ".yaml"))
	}
	require.ElementsMatch(t, samples.Names(), found)
	_, ok := samples.Get("nothing")
	require.False(t, ok)
	_, ok = samples.Get("../samples/short")
	require.False(t, ok)
	names := samples.Names()
	names[0] = "changed"
	require.NotEqual(t, "changed", samples.Names()[0])
}

// job is what every sample states.
type job struct {
	Radius, Diameter, Length, Machine string
	Blank                             struct{ Shape, Size, Diameter, Length, Thickness string }
	Covering, Floor                   string
}

func length(t *testing.T, text string) float64 {
	t.Helper()
	if text == "" {
		return 0
	}
	l, err := measure.ParseLength(text)
	require.NoError(t, err)
	return l.MM
}

// TestSamplesFit: the face fits the blank with a land, the blank fits the
// machine's travel, and the deepest point leaves the floor.
func TestSamplesFit(t *testing.T) {
	for _, name := range samples.Names() {
		t.Run(name, func(t *testing.T) {
			data, ok := samples.Get(name)
			require.True(t, ok)
			require.True(t, strings.HasPrefix(string(data), "# "), "it begins with what it is")
			require.Contains(t, string(data), "nvented", "it says what is invented")
			if slices.Contains(samples.Rims(), name) {
				require.Contains(t, string(data), "\nform: rim\n")
				return
			}
			var j job
			require.NoError(t, yaml.Unmarshal(data, &j))
			m, ok := machines.Builtin(j.Machine)
			require.True(t, ok, j.Machine)
			size := length(t, j.Blank.Size) + length(t, j.Blank.Diameter) + length(t, j.Blank.Length)
			if strings.Contains(string(data), "\nsetups: ") { // that is what it is for
				require.Greater(t, size, m.Travel.X)
				require.LessOrEqual(t, length(t, j.Diameter), 2*min(m.Travel.X, m.Travel.Y))
			} else {
				require.LessOrEqual(t, size, m.Travel.X)
			}
			if j.Blank.Length != "" { // a board or a sheet of gauges
				require.Less(t, length(t, j.Length), size)
				return
			}
			if !strings.Contains(string(data), "\nsetups: ") {
				require.LessOrEqual(t, size, m.Travel.Y)
			}
			a, R := length(t, j.Diameter)/2, length(t, j.Radius)
			require.Less(t, a, size/2)
			// The parabola d²/2R stands for the sphere: low by less than 0.01 mm here.
			require.Greater(t, length(t, j.Blank.Thickness)-a*a/(2*R), length(t, j.Floor)+0.01)
		})
	}
}

func TestShortIsShort(t *testing.T) {
	data, err := os.ReadFile("short.yaml")
	require.NoError(t, err)
	require.LessOrEqual(t, strings.Count(string(data), "\n"), 10)
}
