//go:build unix || windows

package main

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/outset"
)

// runWaiting is the program with one command more, which begins a set, says so,
// and then computes for ever, deaf to its context.
func runWaiting() int {
	commands = append(commands, func(a *app) *cobra.Command {
		return &cobra.Command{Use: "wait DIR", RunE: func(_ *cobra.Command, args []string) error {
			set, err := outset.Open(args[0], true)
			if err != nil {
				return err
			}
			if err := set.Write("1.ngc", []byte("half the set")); err != nil {
				return err
			}
			io.WriteString(a.out, "ready\n")
			select {}
		}}
	})
	return run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
}

// TestStopped: a program told to stop ends with 130 at once and leaves nothing.
func TestStopped(t *testing.T) {
	for _, signal := range signals {
		root := t.TempDir()
		cmd := exec.Command("dishwright-waiting", "wait", filepath.Join(root, "out"))
		var stderr strings.Builder
		cmd.Stderr = &stderr
		deafen(cmd)
		out, err := cmd.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, cmd.Start())
		_, err = io.ReadFull(out, make([]byte, len("ready\n")))
		require.NoError(t, err)
		found, err := os.ReadDir(root)
		require.NoError(t, err)
		require.Len(t, found, 1, "the set is under way")
		require.NoError(t, send(cmd, signal))
		require.Error(t, cmd.Wait())
		require.Equal(t, 130, cmd.ProcessState.ExitCode())
		require.Equal(t, "dishwright: stopped\n", stderr.String())
		found, err = os.ReadDir(root)
		require.NoError(t, err)
		require.Empty(t, found)
	}
}
