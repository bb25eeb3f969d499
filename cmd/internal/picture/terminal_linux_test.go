package picture

import (
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// terminal opens a terminal of so many columns, as a person would sit at.
func terminal(t *testing.T, columns uint16) *os.File {
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skipf("no terminal can be made here: %v", err)
	}
	t.Cleanup(func() { master.Close() })
	require.NoError(t, unix.IoctlSetPointerInt(int(master.Fd()), unix.TIOCSPTLCK, 0))
	number, err := unix.IoctlGetInt(int(master.Fd()), unix.TIOCGPTN)
	require.NoError(t, err)
	f, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no terminal can be opened here: %v", err)
	}
	t.Cleanup(func() { f.Close() })
	require.NoError(t, unix.IoctlSetWinsize(int(f.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 24, Col: columns}))
	return f
}

// What is drawn on a terminal goes by its width and by what its surroundings say.
func TestDetectOnTerminal(t *testing.T) {
	for _, c := range []struct {
		columns uint16
		env     map[string]string
		want    Look
	}{
		{100, map[string]string{"TERM": "xterm", "LANG": "en_GB.UTF-8"}, Look{Width: 100, Blocks: true, Colour: true}},
		{100, map[string]string{"TERM": "xterm"}, Look{Width: 100, Colour: true}}, // as on Windows, which sets no LANG
		{100, map[string]string{"LANG": "en_GB.UTF-8", "NO_COLOR": "1"}, Look{Width: 100, Blocks: true}},
		{100, map[string]string{"LANG": "en_GB.UTF-8", "TERM": "dumb"}, Look{Width: 100}},
		{10, map[string]string{"TERM": "dumb"}, Look{Width: Narrowest}},
		{400, map[string]string{"TERM": "dumb"}, Look{Width: 120}},
		{0, map[string]string{"TERM": "dumb"}, Look{Width: DefaultWidth}}, // one that does not say
	} {
		f := terminal(t, c.columns)
		require.True(t, Terminal(f))
		require.Equal(t, c.want, Detect(f, func(name string) string { return c.env[name] }), "%+v", c)
	}
}
