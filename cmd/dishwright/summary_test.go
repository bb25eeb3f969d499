package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/picture"
)

// A page is as wide as the terminal, between what holds a sentence and what the eye follows.
func TestPagesFollowTheTerminal(t *testing.T) {
	for columns, want := range map[int]int{0: textWidth, 40: 58, 60: 58, 80: textWidth, 100: 98, 120: 118, 200: 118} {
		require.Equal(t, want, (&app{look: picture.Look{Width: columns}}).page(nil).width, columns)
	}
}
