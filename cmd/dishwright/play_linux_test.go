package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// terminal is a pseudo-terminal with a program in it.
type terminal struct {
	t      *testing.T
	master *os.File // what a person would see and type into
	slave  *os.File // what the program has
	cmd    *exec.Cmd
	stderr bytes.Buffer
	before *unix.Termios

	mu   sync.Mutex // while it is held, nothing more is taken from the program
	seen []byte
}

// inTerminal starts a program in a terminal of so many rows and columns.
func inTerminal(t *testing.T, rows, cols uint16, name string, args ...string) *terminal {
	t.Helper()
	fd, err := unix.Open("/dev/ptmx", unix.O_RDWR|unix.O_NOCTTY|unix.O_NONBLOCK|unix.O_CLOEXEC, 0)
	if err != nil {
		t.Skip("no pseudo-terminal:", err)
	}
	term := &terminal{t: t, master: os.NewFile(uintptr(fd), "ptmx")}
	t.Cleanup(func() { term.master.Close() })
	require.NoError(t, unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0))
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	require.NoError(t, err)
	term.slave, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skip("no pseudo-terminal:", err)
	}
	t.Cleanup(func() { term.slave.Close() })
	term.resize(rows, cols)
	term.before = term.modes()
	term.cmd = exec.Command(name, args...)
	term.cmd.Env = append(os.Environ(), "TERM=any", "NO_COLOR=1", "LC_ALL=C")
	term.cmd.Stdin, term.cmd.Stdout, term.cmd.Stderr = term.slave, term.slave, &term.stderr
	term.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	require.NoError(t, term.cmd.Start())
	t.Cleanup(func() { term.cmd.Process.Kill() })
	go func() {
		var buf [4096]byte
		for {
			n, err := term.master.Read(buf[:])
			term.mu.Lock()
			term.seen = append(term.seen, buf[:n]...)
			term.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	return term
}

func (m *terminal) modes() *unix.Termios {
	modes, err := unix.IoctlGetTermios(int(m.slave.Fd()), unix.TCGETS)
	require.NoError(m.t, err)
	return modes
}

func (m *terminal) resize(rows, cols uint16) {
	require.NoError(m.t, unix.IoctlSetWinsize(int(m.slave.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: rows, Col: cols}))
}

func (m *terminal) press(keys string) {
	_, err := m.master.WriteString(keys)
	require.NoError(m.t, err)
}

// output returns what was written from a place on.
func (m *terminal) output(from int) string {
	m.mu.Lock()
	defer m.mu.Unlock()
	return string(m.seen[from:])
}

// patience is how long is waited for what must come: by far longer than it takes.
const patience = 2 * time.Minute

// wait waits until a text stands in what was written from a place on, and returns what
// was written then.
func (m *terminal) wait(from int, text string) string {
	m.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if out := m.output(from); strings.Contains(out, text) {
			return out
		}
	}
	m.t.Fatalf("%q never came; stderr: %s; the last that came:\n%s", text, m.stderr.String(), m.frame())
	return ""
}

// ended waits for the program's end, holds the terminal against what it was, and returns
// the exit code.
func (m *terminal) ended() int {
	m.t.Helper()
	done := make(chan error, 1)
	go func() { done <- m.cmd.Wait() }()
	select {
	case <-done:
	case <-time.After(patience):
		m.t.Fatal("it does not end")
	}
	require.Equal(m.t, m.before, m.modes())
	out := m.wait(0, "\x1b[?1049l")
	require.Greater(m.t, strings.LastIndex(out, "\x1b[?25h"), strings.LastIndex(out, "\x1b[?25l"), "the cursor shows")
	require.NotContains(m.t, out[strings.LastIndex(out, "\x1b[?1049l"):], "\x1b[H", "nothing is drawn after it")
	return m.cmd.ProcessState.ExitCode()
}

// frame returns the lines of the last frame that was written whole.
func (m *terminal) frame() string {
	out := m.output(0)
	out = out[:max(0, strings.LastIndex(out, "q ends"))]
	out = out[strings.LastIndex(out, "\x1b[H")+len("\x1b[H"):]
	return strings.NewReplacer("\x1b[K", "", "\r", "").Replace(out)
}

// playable writes a small job.
func playable(t *testing.T) string {
	name := filepath.Join(t.TempDir(), "small.yaml")
	require.NoError(t, os.WriteFile(name, []byte(`name: small try
radius: 2 m
diameter: 120 mm
blank: {size: 200 mm, thickness: 20 mm, material: mdf}
machine: bench-600
scallop: 0.1 mm
shelf:
  half ball: {shape: ball, diameter: 1/2 in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
  inch flat: {shape: flat, diameter: 1 in, flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.10 mm, depth of cut: 0.6 mm}
rough: inch flat
finish: half ball
`), 0o666))
	return name
}

// Frames come, keys do what they say, a new size is drawn anew, and the last frame is the
// still drawing.
func TestPlayInTerminal(t *testing.T) {
	name := playable(t)
	m := inTerminal(t, 50, 100, "dishwright", "preview", name, "--play", "--pace", "1", "--width", "60")
	m.wait(0, "program 1 of 3: air lap with inch flat")
	require.NotEqual(t, m.before, m.modes(), "keys come one by one")
	m.wait(0, "0:01 min gone")
	m.press("\x1b[B")
	m.wait(0, "program 2 of 3: rough with inch flat")
	m.press(" ")
	held := m.wait(0, ", held")
	m.press("\x1b[C")
	m.wait(len(held), ", held")
	from := len(m.output(0))
	m.resize(20, 60)
	require.Contains(t, m.wait(from, "q ends"), "\x1b[2J")
	lines := strings.Split(m.frame(), "\n")
	require.Len(t, lines, 20)
	for _, l := range lines {
		require.LessOrEqual(t, len(l), 60)
	}
	m.resize(60, 100)
	m.press("\x1bOB\x1bOB\x1bOB")
	m.wait(from, "the end")
	last := m.frame()
	m.press("q")
	require.Zero(t, m.ended())
	require.Empty(t, m.stderr.String())

	var still, stderr strings.Builder
	require.Zero(t, runHere([]string{"preview", name, "--width", "60", "--remaining"}, strings.NewReader(""), &still, &stderr), stderr.String())
	rows := func(text string) (list []string) { // those of the map, without what is said beside it
		for _, l := range strings.Split(text, "\n") {
			if strings.HasPrefix(l, "  ") && strings.ContainsAny(l, ".:-=") {
				list = append(list, l)
			}
		}
		return list
	}
	require.NotEmpty(t, rows(last))
	require.Equal(t, rows(still.String()), rows(last))
}

// However it is told to stop, and where it fails, the terminal is what it was.
func TestPlayLeavesTheTerminal(t *testing.T) {
	name := playable(t)
	for _, how := range []string{"Ctrl-C", "SIGINT", "SIGTERM", "SIGHUP", "SIGQUIT"} {
		t.Run(how, func(t *testing.T) {
			m := inTerminal(t, 30, 90, "dishwright", "preview", name, "--play")
			m.wait(0, "min gone")
			if how == "Ctrl-C" {
				m.press("\x03")
			} else {
				require.NoError(t, m.cmd.Process.Signal(unix.SignalNum(how)))
			}
			require.Equal(t, 130, m.ended())
			require.Equal(t, "dishwright: stopped\n", m.stderr.String())
		})
	}
	t.Run("deaf", func(t *testing.T) { // a terminal that takes no more
		m := inTerminal(t, 60, 200, "dishwright", "preview", name, "--play", "--pace", "600", "--width", "200")
		m.wait(0, "min gone")
		m.mu.Lock()
		defer m.mu.Unlock()
		time.Sleep(time.Second) // in which what is not taken fills the line
		require.NoError(t, m.cmd.Process.Signal(unix.SIGTERM))
		m.cmd.Wait()
		require.Equal(t, 130, m.cmd.ProcessState.ExitCode())
		require.Equal(t, m.before, m.modes())
	})
	t.Run("panic", func(t *testing.T) {
		m := inTerminal(t, 30, 90, "dishwright-failing", "fail")
		require.Equal(t, 2, m.ended())
		require.Contains(t, m.stderr.String(), "a fault of our own")
	})
}

// With keys but no screen, or a terminal that takes no sequences, nothing is played.
func TestPlayNeedsATerminal(t *testing.T) {
	name := playable(t)
	for _, args := range [][]string{
		{"sh", "-c", `dishwright preview "$0" --play | cat`, name},
		{"sh", "-c", `dishwright preview "$0" --play </dev/null; exit $?`, name},
		{"sh", "-c", `TERM=dumb dishwright preview "$0" --play; exit $?`, name},
	} {
		m := inTerminal(t, 30, 90, args[0], args[1:]...)
		m.cmd.Wait()
		require.Contains(t, m.stderr.String(), "--play needs a terminal")
		require.Contains(t, m.stderr.String(), "--step K/N")
		require.Equal(t, m.before, m.modes())
		require.NotContains(t, m.output(0), "\x1b")
	}
}
