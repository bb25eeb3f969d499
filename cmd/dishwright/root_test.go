package main

import (
	"bytes"
	"errors"
	"runtime/debug"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/tell"
)

// TestEveryCommandIsDescribed: each has a short and a long text, an example, and
// RunE, so that its error reaches the one place that prints it.
func TestEveryCommandIsDescribed(t *testing.T) {
	for _, c := range newRootCmd(&app{}).Commands() {
		require.NotEmpty(t, c.Short, c.Name())
		require.NotEmpty(t, c.Long, c.Name())
		require.NotNil(t, c.RunE, c.Name())
		require.NotNil(t, c.Args, c.Name())
		if c.Name() != "help" {
			require.True(t, strings.HasPrefix(c.Example, "  dishwright "+c.Name()), c.Name())
		}
		require.False(t, strings.HasSuffix(c.Short, "."), c.Name())
	}
}

func TestVersion(t *testing.T) {
	info := &debug.BuildInfo{GoVersion: "go1.26"}
	info.Main.Version = "v1.2.3"
	require.Equal(t, "v1.2.3, go1.26", version(info, true))
	info.Main.Version = "v0.0.0-20250102030405-0123456789ab+dirty"
	info.Settings = []debug.BuildSetting{{Key: "vcs.revision", Value: "0123456789abcdef"}, {Key: "vcs.time", Value: "2025-01-02"}, {Key: "vcs.modified", Value: "true"}}
	require.Equal(t, "development, revision 0123456789ab, modified, go1.26", version(info, true))
	require.Equal(t, "of unknown build", version(nil, false))
}

// broken is an output whose writes fail.
type broken struct{ err error }

func (b broken) Write([]byte) (int, error) { return 0, b.err }

func TestBrokenOutput(t *testing.T) {
	for _, args := range [][]string{{"machines"}, {"machines", "--json"}, {"machines", "bench-600"}, {"new"}, {"--help"}, {"--version"},
		{"sagitta", "--radius", "15 ft", "--chord", "460 mm"}} {
		var stderr bytes.Buffer
		require.Equal(t, 2, run(args, nil, broken{errors.New("no room")}, &stderr), args)
		require.Equal(t, "dishwright: the output cannot be written: no room\n  hint: send it to where there is room\n", stderr.String())
		stderr.Reset()
		require.Equal(t, 2, run(args, nil, broken{syscall.EPIPE}, &stderr), args)
		require.Empty(t, stderr.String())
	}
}

// TestBrokenBounds: an error names a few of the bounds that are broken, and how many more
// there are.
func TestBrokenBounds(t *testing.T) {
	require.NoError(t, brokenBounds(nil))
	require.EqualError(t, brokenBounds([]string{"a", "b", "c"}), "a bound is broken: a; b; c")
	many := brokenBounds([]string{"a", "b", "c", "d", "e"})
	require.EqualError(t, many, "a bound is broken: a; b; c; and 2 more")
	require.Equal(t, tell.Broken, tell.Code(many))
}
