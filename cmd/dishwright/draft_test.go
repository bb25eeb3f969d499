package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/machines"
)

// Whatever is asked for, a job that new writes is one that check takes as it stands, the
// same again; or the call is refused with a hint and leaves no file.
func TestNewJobs(t *testing.T) {
	dir := t.TempDir()
	wrote := 0
	rapid.Check(t, chance.Few(5, func(t *rapid.T) {
		machine := rapid.SampledFrom(append(machines.BuiltinNames(), "")).Draw(t, "machine")
		if machine == "" {
			machine = filepath.Join(dir, "own.yaml")
			slow := rapid.IntRange(4000, 20000).Draw(t, "slowest")
			unit, scale := "mm", 25.4
			if rapid.Bool().Draw(t, "inches") {
				unit, scale = "in", 1
			}
			size := func(what string, lo, hi float64) string {
				return fmt.Sprintf("%.1f %s", rapid.Float64Range(lo, hi).Draw(t, what)*scale, unit)
			}
			text := fmt.Sprintf("name: own\ntravel: {x: %s, y: %s, z: %s}\nfeed: %s/min\nspindle: {slowest: %d, fastest: %d}\n", size("x", 5, 20), size("y", 5, 20), size("z", 2, 5), size("feed", 30, 300), slow, 2*slow)
			require.NoError(t, os.WriteFile(machine, []byte(text), 0o644))
		}
		radius := fmt.Sprintf("%.1f m", rapid.Float64Range(4, 9).Draw(t, "radius"))
		across := fmt.Sprintf("%d mm", rapid.IntRange(40, 180).Draw(t, "diameter"))
		if rapid.Bool().Draw(t, "feet") {
			radius, across = fmt.Sprintf("%d ft", rapid.IntRange(12, 30).Draw(t, "radius")), fmt.Sprintf("%d 1/4 in", rapid.IntRange(2, 7).Draw(t, "diameter"))
		}
		args := []string{"--radius", radius, "--machine", machine, "--shop", "none"}
		switch form := rapid.SampledFrom([]string{"dish", "dish", "caul", "board", "gauge"}).Draw(t, "form"); form {
		case "board":
			args = append(args, "--form", form, "--length", across, "--width", "40 mm")
		case "gauge":
			args = append(args, "--form", form, "--length", across)
		default:
			args = append(args, "--form", form, "--diameter", across)
		}
		file := filepath.Join(dir, "new.yaml")
		require.NoError(t, os.RemoveAll(file))
		var stdout, stderr bytes.Buffer
		if code := runHere(append([]string{"new", "-o", file}, args...), nil, &stdout, &stderr); code != 0 {
			require.Equal(t, 2, code, "%v\n%s", args, stderr.String())
			require.Contains(t, stderr.String(), "hint: ", "%v", args)
			require.NotContains(t, stderr.String(), "a bound is broken", "%v: what is planned keeps its bounds", args)
			require.NoFileExists(t, file)
			return
		}
		wrote++
		require.Empty(t, stdout.String())
		stderr.Reset()
		require.Equal(t, 0, runHere([]string{"check", file, "--shop", "none"}, nil, &stdout, &stderr), "%v\n%s", args, stderr.String())
	}))
	require.Positive(t, wrote)
}
