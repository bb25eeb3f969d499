package outset

import (
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// kill leaves a set as the end of the process would: nothing is removed, and
// the locks are gone.
func kill(s *Set) {
	for _, f := range s.files {
		if f.f != nil {
			f.f.Close()
		}
	}
	s.end()
}

// killed is what a kill at a step panics with.
type killed struct{}

// TestKillAnywhere kills a run at every step of its way, with the exchange and, as on
// Windows, without it and with files that are closed before they are renamed: then the folder holds the old set or the new one (or, between two
// renames, is missing until the next run), and the next run leaves nothing stray.
func TestKillAnywhere(t *testing.T) {
	defer func(s func(string), e func(a, b string) error) { step, exchange, replace = s, e, replaceOpen }(step, exchange)
	start := map[string]func(t *testing.T, dir string){
		"absent": func(*testing.T, string) {},
		"empty":  func(t *testing.T, dir string) { require.NoError(t, os.Mkdir(dir, 0o777)) },
		"ours":   writeOld,
	}
	for _, one := range []bool{true, false} {
		exchange = exchangeDirs
		if !one {
			exchange = func(_, _ string) error { return errNoExchange }
			replace = replaceClosed
		}
		for _, name := range slices.Sorted(maps.Keys(start)) {
			var steps []string
			step = func(s string) { steps = append(steps, s) }
			root := t.TempDir()
			start[name](t, filepath.Join(root, "out"))
			steps = nil
			require.NoError(t, writeNew(filepath.Join(root, "out")))
			require.Equal(t, newTree, tree(t, root))
			require.GreaterOrEqual(t, len(steps), 4)
			for _, at := range steps {
				step = func(string) {}
				root := t.TempDir()
				dir := filepath.Join(root, "out")
				start[name](t, dir)
				before := tree(t, root)
				killAt(t, dir, at)
				found := tree(t, root)
				state := only(found, "out/")
				missing := !one && (at == "aside" || at == "emptied") && len(state) == 0
				whole := maps.Equal(state, before) || maps.Equal(state, newTree)
				require.True(t, whole || missing, "%s killed at %s: %v", name, at, found)
				if at == "emptied" {
					before = state // an empty folder holds nothing to put back
				}

				// The next run, even one that is given up, puts everything right.
				s, err := Open(dir, true)
				require.NoError(t, err)
				s.Abandon()
				found = tree(t, root)
				require.True(t, maps.Equal(found, before) || maps.Equal(found, newTree), "%s killed at %s, then: %v", name, at, found)
				require.NoError(t, writeNew(dir))
				require.Equal(t, newTree, tree(t, root))
			}
		}
	}
}

// TestReplaceClosed: where no open file can be renamed, both are closed before.
func TestReplaceClosed(t *testing.T) {
	dir := t.TempDir()
	draft, name := filepath.Join(dir, "draft"), filepath.Join(dir, "name")
	require.NoError(t, os.WriteFile(draft, []byte("new"), 0o666))
	require.NoError(t, os.WriteFile(name, []byte("old"), 0o666))
	f, err := os.Open(draft)
	require.NoError(t, err)
	old, err := os.Open(name)
	require.NoError(t, err)
	require.NoError(t, replaceClosed(f, draft, name, old))
	require.ErrorIs(t, f.Close(), os.ErrClosed)
	require.ErrorIs(t, old.Close(), os.ErrClosed)
	require.Equal(t, map[string]string{"name": "new"}, tree(t, dir))
}

// only returns the part of a tree under a prefix.
func only(all map[string]string, prefix string) map[string]string {
	part := map[string]string{}
	for name, text := range all {
		if strings.HasPrefix(name, prefix) {
			part[name] = text
		}
	}
	return part
}

// killAt begins a new set and kills it at a step of its Commit.
func killAt(t *testing.T, dir, at string) {
	s, err := Open(dir, true)
	require.NoError(t, err)
	require.NoError(t, s.Write("1-new.ngc", []byte("new one")))
	step = func(now string) {
		if now == at {
			panic(killed{})
		}
	}
	defer func() {
		require.Equal(t, killed{}, recover(), at)
		step = func(string) {}
		kill(s)
	}()
	s.Commit()
}

// TestMain lets the test's own program play a run that is killed.
func TestMain(m *testing.M) {
	if dir := os.Getenv("OUTSET_TEST_DIR"); dir != "" {
		s, err := Open(dir, true)
		if err != nil {
			os.Exit(3)
		}
		w, _ := s.Create("1-new.ngc")
		io.WriteString(w, "half")
		os.Stdout.WriteString("ready\n")
		io.ReadAll(os.Stdin) // until killed
	}
	os.Exit(m.Run())
}

// TestRealKill kills a real process in the middle. While it runs, a second run
// is refused; afterwards the next run clears up.
func TestRealKill(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	writeOld(t, dir)
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), "OUTSET_TEST_DIR="+dir)
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	defer in.Close()
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	_, err = io.ReadFull(out, make([]byte, len("ready\n")))
	require.NoError(t, err)
	if runtime.GOOS == "linux" {
		_, err = Open(dir, true)
		require.ErrorContains(t, err, "another run is writing")
	}
	require.NoError(t, cmd.Process.Kill())
	require.Error(t, cmd.Wait())

	require.Equal(t, oldTree, only(tree(t, root), "out/"))
	require.Greater(t, len(tree(t, root)), len(oldTree), "the kill left a sibling")
	require.NoError(t, writeNew(dir))
	require.Equal(t, newTree, tree(t, root))
}

// TestSecondRenameFails: without an exchange, an old set that was moved aside
// goes back where the new one cannot be moved in.
func TestSecondRenameFails(t *testing.T) {
	defer func(s func(string), e func(a, b string) error) { step, exchange = s, e }(step, exchange)
	exchange = func(_, _ string) error { return errNoExchange }
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	writeOld(t, dir)
	s, err := Open(dir, true)
	require.NoError(t, err)
	require.NoError(t, s.Write("1-new.ngc", []byte("new one")))
	step = func(now string) {
		if now == "aside" {
			require.NoError(t, os.RemoveAll(s.temp))
		}
	}
	require.ErrorContains(t, s.Commit(), "cannot take the place of")
	require.Equal(t, oldTree, tree(t, root))
}

// A kill between the making of the list and the end of its first line, which five
// hundred kills of the program found, leaves a list that names nothing.
func TestKillInTheFirstLine(t *testing.T) {
	for _, begun := range []string{"", listHeader[:1], listHeader} {
		root := t.TempDir()
		dir := filepath.Join(root, "out")
		sibling := filepath.Join(root, prefix("out")+token())
		require.NoError(t, os.Mkdir(sibling, 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(sibling, listName), []byte(begun), 0o666))
		require.NoError(t, writeNew(dir))
		require.Equal(t, newTree, tree(t, root), "%q", begun)
		// Whatever else lies there stays.
		require.NoError(t, os.Mkdir(sibling, 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(sibling, listName), []byte(begun), 0o666))
		require.NoError(t, os.WriteFile(filepath.Join(sibling, "mine"), nil, 0o666))
		require.NoError(t, writeNew(dir))
		require.FileExists(t, filepath.Join(sibling, "mine"))
	}
}

// What a kill left of one file goes with the next one of that name, and nothing else.
func TestKilledFile(t *testing.T) {
	root := t.TempDir()
	file := filepath.Join(root, "sheet.html")
	left, running := filepath.Join(root, draftPrefix(file)+token()), filepath.Join(root, draftPrefix(file)+token())
	others := []string{draftPrefix("other.html") + token(), draftPrefix(file) + "mine", "mine"}
	for _, name := range append(others, filepath.Base(left)) {
		require.NoError(t, os.WriteFile(filepath.Join(root, name), []byte("half"), 0o666))
	}
	f, err := os.Create(running)
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, lock(f))
	require.NoError(t, WriteNew(file, []byte("whole")))
	require.NoFileExists(t, left)
	require.FileExists(t, file)
	if lock(f) == nil && runtime.GOOS == "linux" {
		require.FileExists(t, running, "a run that is under way keeps its draft")
	}
	for _, name := range others {
		require.FileExists(t, filepath.Join(root, name))
	}
}
