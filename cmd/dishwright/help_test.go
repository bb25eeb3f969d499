package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"
)

// No line of help is longer than a terminal is wide.
func TestHelpFitsATerminal(t *testing.T) {
	var out bytes.Buffer
	root := newRootCmd(newApp(nil, &out, &out))
	var show func(c *cobra.Command)
	show = func(c *cobra.Command) {
		out.Reset()
		c.InitDefaultHelpFlag()
		require.NoError(t, c.Help())
		require.NotEmpty(t, out.String())
		for _, line := range strings.Split(out.String(), "\n") {
			require.LessOrEqual(t, len([]rune(line)), 80, "%s: %s", c.CommandPath(), line)
		}
		for _, one := range c.Commands() {
			show(one)
		}
	}
	show(root)
}
