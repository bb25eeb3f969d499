package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// made are the files of the repository that the program makes itself, each with the
// call that makes it. All of them are made again by
//
//	UPDATE=1 go test -run TestMade ./cmd/dishwright
var made = []struct {
	file string
	call []string
}{
	{"cmd/dishwright/manual/dishwright.1", []string{"manual", "--page"}},
	{"cmd/dishwright/manual/keys.md", []string{"manual", "--keys"}},
	{"cmd/dishwright/manual/job.schema.json", []string{"schema"}},
	{"cmd/dishwright/manual/machine.schema.json", []string{"schema", "machine"}},
	{"samples/pictures/octave-mandolin.svg", []string{"preview", "octave-mandolin", "--svg", "-"}},
	{"samples/pictures/hand-board.svg", []string{"preview", "hand-board", "--svg", "-"}},
	{"samples/pictures/mandola-sides.svg", []string{"preview", "mandola-sides", "--svg", "-"}},
}

func TestMade(t *testing.T) {
	for _, m := range made {
		var out, notes bytes.Buffer
		require.Equal(t, 0, runHere(m.call, nil, &out, &notes), "%v: %s", m.call, notes.String())
		name := filepath.Join("..", "..", filepath.FromSlash(m.file))
		if os.Getenv("UPDATE") == "1" {
			require.NoError(t, os.WriteFile(name, out.Bytes(), 0o644))
			continue
		}
		old, err := os.ReadFile(name)
		require.NoError(t, err)
		// Not Equal, which would show both.
		require.True(t, bytes.Equal(old, out.Bytes()), "%s is stale: UPDATE=1 go test -run TestMade ./cmd/dishwright makes it again", m.file)
	}
}
