package outset

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure/strict"
)

// tree returns every file under dir with its text; folders end in a slash. The
// list of a set is shown as "list".
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	found := map[string]string{}
	require.NoError(t, filepath.Walk(dir, func(name string, info os.FileInfo, err error) error {
		require.NoError(t, err)
		rel, _ := filepath.Rel(dir, name)
		switch {
		case rel == ".":
		case info.IsDir():
			found[rel+"/"] = ""
		case info.Mode()&os.ModeSymlink != 0:
			found[rel], err = os.Readlink(name)
			require.NoError(t, err)
		case info.Name() == listName:
			found[rel] = "list"
		default:
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			found[rel] = string(data)
		}
		return nil
	}))
	return found
}

var (
	oldTree = map[string]string{"out/": "", "out/.dishwright-set": "list", "out/1-old.ngc": "old one", "out/2-old.ngc": "old two"}
	newTree = map[string]string{"out/": "", "out/.dishwright-set": "list", "out/1-new.ngc": "new one"}
)

// writeOld puts the old set into dir, which must be absent or empty.
func writeOld(t *testing.T, dir string) {
	t.Helper()
	s, err := Open(dir, false)
	require.NoError(t, err)
	defer s.Abandon()
	require.NoError(t, s.Write("1-old.ngc", []byte("old one")))
	require.NoError(t, s.Write("2-old.ngc", []byte("old two")))
	require.NoError(t, s.Commit())
}

// writeNew replaces what stands in dir.
func writeNew(dir string) error {
	s, err := Open(dir, true)
	if err != nil {
		return err
	}
	defer s.Abandon()
	return errors.Join(s.Write("1-new.ngc", []byte("new one")), s.Commit())
}

func TestCommit(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	writeOld(t, dir)
	require.Equal(t, oldTree, tree(t, root))

	_, err := Open(dir, false)
	var refused *Refused
	require.ErrorAs(t, err, &refused)
	require.Contains(t, refused.Hint, "--force")
	require.Equal(t, oldTree, tree(t, root))

	require.NoError(t, writeNew(dir))
	require.Equal(t, newTree, tree(t, root))
	require.NoError(t, writeNew(dir), "the same again")
	require.Equal(t, newTree, tree(t, root))

	// The list's sums are those of the files, by the system's own hand.
	entries, err := readList(dir)
	require.NoError(t, err)
	require.Len(t, entries, 1)
	sum, err := sumFile(filepath.Join(dir, "1-new.ngc"))
	require.NoError(t, err)
	require.Equal(t, entry{"1-new.ngc", sum}, entries[0])
	// SHA-256 of "abc": FIPS 180-4's own example.
	require.NoError(t, os.WriteFile(filepath.Join(root, "abc"), []byte("abc"), 0o666))
	sum, err = sumFile(filepath.Join(root, "abc"))
	require.NoError(t, err)
	require.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", sum)
}

func TestEmptyFolderKeepsItsMode(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	require.NoError(t, os.Mkdir(dir, 0o700))
	writeOld(t, dir)
	info, err := os.Stat(dir)
	require.NoError(t, err)
	if runtime.GOOS != "windows" {
		require.Equal(t, os.FileMode(0o700), info.Mode().Perm())
	}
}

func TestRefused(t *testing.T) {
	root := t.TempDir()
	t.Chdir(root)
	for _, d := range []string{"full", "sub/here", "changed", "added", "linked", "inside", "notlist"} {
		require.NoError(t, os.MkdirAll(d, 0o777))
	}
	write := func(name, text string) { require.NoError(t, os.WriteFile(name, []byte(text), 0o666)) }
	write("file", "mine")
	write("full/mine", "mine")
	for _, d := range []string{"changed", "added", "linked", "inside"} {
		writeOld(t, d)
	}
	write("changed/2-old.ngc", "old two, edited")
	write("added/notes.txt", "mine")
	require.NoError(t, os.Remove("linked/1-old.ngc"))
	require.NoError(t, os.Symlink("../file", "linked/1-old.ngc"))
	require.NoError(t, os.Mkdir("inside/more", 0o777))
	write("notlist/.dishwright-set", "# dishwright set\n"+strings.Repeat("0", 64)+"  ../file\n")
	require.NoError(t, os.Symlink("full", "link"))
	require.NoError(t, os.Symlink("nowhere", "dangling"))
	before := tree(t, root)

	for _, c := range []struct{ dir, want string }{
		{"", "has no name"},
		{".", "started in it"},
		{"./", "started in it"},
		{"sub/..", "started in it"},
		{"..", "started in it"},
		{root, "started in it"},
		{filepath.Dir(root), "started in it"},
		{"/", "the root"},
		{"a\x00b", "zero byte"},
		{"file", "not a folder"},
		{"file/", "not a folder"},
		{"link", "a link"},
		{"link/", "a link"},
		{"dangling", "a link"},
		{"absent/out", "does not exist"},
		{"full", "not empty and not ours: it holds mine"},
		{"changed", "2-old.ngc was edited"},
		{"added", "holds notes.txt, which dishwright did not write"},
		{"linked", "holds 1-old.ngc"},
		{"inside", "holds more"},
		{"notlist", "is not ours"},
		{".dishwright-x-0123456789abcdef", "may not be called"},
		{strings.Repeat("x", 300), "may not be called"},
		{"file/out", ""},
	} {
		for _, force := range []bool{false, true} {
			_, err := Open(c.dir, force)
			require.Error(t, err, c.dir)
			require.Contains(t, err.Error(), c.want, c.dir)
			if c.want != "" {
				var refused *Refused
				require.ErrorAs(t, err, &refused, c.dir)
				require.NotEmpty(t, refused.Hint)
			}
		}
	}
	require.Equal(t, before, tree(t, root), "no refusal changes anything")
}

func TestLongBaseName(t *testing.T) {
	root := t.TempDir()
	for _, base := range []string{strings.Repeat("x", 200), strings.Repeat("é", 90), "with space", "-dash", "..."} {
		dir := filepath.Join(root, base)
		writeOld(t, dir)
		require.NoError(t, writeNew(dir), base)
	}
	found, err := os.ReadDir(root)
	require.NoError(t, err)
	require.Len(t, found, 5)
}

func TestAbandon(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	writeOld(t, dir)
	s, err := Open(dir, true)
	require.NoError(t, err)
	require.NoError(t, s.Write("1-new.ngc", []byte("new one")))
	w, err := s.Create("2-new.ngc")
	require.NoError(t, err)
	_, err = io.WriteString(w, "half")
	require.NoError(t, err)
	s.Abandon()
	s.Abandon()
	require.Equal(t, oldTree, tree(t, root))
	require.ErrorIs(t, s.Commit(), ErrStopped)
	require.ErrorIs(t, s.Write("3-new.ngc", nil), ErrStopped)
	_, err = w.Write([]byte("x"))
	require.Error(t, err)
	require.Error(t, w.Close())
	require.Equal(t, oldTree, tree(t, root))
}

// failSync makes every sync of a file fail, as a full disk may, until the
// function that it returns is called.
func failSync() func() {
	old := syncFile
	syncFile = func(*os.File) error { return errors.New("no room") }
	return func() { syncFile = old }
}

// TestFaults: a set with a file that is unfinished, failed or doubly named never
// takes the folder's place.
func TestFaults(t *testing.T) {
	for name, spoil := range map[string]func(t *testing.T, s *Set){
		"unfinished file": func(t *testing.T, s *Set) {
			_, err := s.Create("2.ngc")
			require.NoError(t, err)
		},
		"failed write": func(t *testing.T, s *Set) {
			w, err := s.Create("2.ngc")
			require.NoError(t, err)
			require.NoError(t, s.files[1].f.Close()) // the disk goes away
			_, err = w.Write([]byte("x"))
			require.ErrorContains(t, err, "2.ngc cannot be written")
			require.Error(t, w.Close())
		},
		"failed sync": func(t *testing.T, s *Set) {
			defer failSync()()
			require.ErrorContains(t, s.Write("2.ngc", []byte("new")), "2.ngc cannot be written: no room")
		},
		"foreign file meanwhile": func(t *testing.T, s *Set) {
			require.NoError(t, os.WriteFile(filepath.Join(s.place.dir, "mine"), nil, 0o666))
			t.Cleanup(func() { os.Remove(filepath.Join(s.place.dir, "mine")) })
		},
		"edited meanwhile": func(t *testing.T, s *Set) {
			require.NoError(t, os.WriteFile(filepath.Join(s.place.dir, "1-old.ngc"), []byte("mine"), 0o666))
		},
		"sibling gone": func(t *testing.T, s *Set) { require.NoError(t, os.RemoveAll(s.temp)) },
	} {
		t.Run(name, func(t *testing.T) {
			root := t.TempDir()
			dir := filepath.Join(root, "out")
			writeOld(t, dir)
			s, err := Open(dir, true)
			require.NoError(t, err)
			defer s.Abandon()
			require.NoError(t, s.Write("1.ngc", []byte("new")))
			spoil(t, s)
			require.Error(t, s.Commit())
			require.NoFileExists(t, filepath.Join(dir, "1.ngc"))
			require.FileExists(t, filepath.Join(dir, "2-old.ngc"))
			found, err := os.ReadDir(root)
			require.NoError(t, err)
			require.Len(t, found, 1, "no sibling is left")
		})
	}
}

// TestStrangersBeside: what only looks like a sibling of ours is left alone.
func TestStrangersBeside(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	mine := []string{
		".dishwright-out-0123456789abcdef/mine",                 // no list
		".dishwright-out-0123456789abcde0/.dishwright-set/mine", // a folder for a list
		".dishwright-out-short/mine",
		".dishwright-outer-0123456789abcdef/mine", // of another folder
		".dishwright-out-backup-0123456789abcdef/mine",
	}
	for _, name := range mine {
		require.NoError(t, os.MkdirAll(filepath.Join(root, filepath.Dir(name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(root, name), []byte("mine"), 0o666))
	}
	// A sibling with a list and a file that is not on it.
	s, err := Open(dir, false)
	require.NoError(t, err)
	require.NoError(t, s.Write("1.ngc", nil))
	kill(s)
	require.NoError(t, os.WriteFile(filepath.Join(s.temp, "mine"), []byte("mine"), 0o666))
	before := tree(t, root)

	s, err = Open(dir, false)
	require.NoError(t, err)
	require.Len(t, s.Notes(), 3)
	s.Abandon()
	require.Equal(t, before, tree(t, root))
}

func TestStop(t *testing.T) {
	defer func() { running.stopped = false }()
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	writeOld(t, dir)
	s, err := Open(dir, true)
	require.NoError(t, err)
	require.NoError(t, s.Write("1-new.ngc", []byte("new one")))
	Stop()
	require.Equal(t, oldTree, tree(t, root))
	require.ErrorIs(t, s.Commit(), ErrStopped)
	_, err = Open(dir, true)
	require.ErrorIs(t, err, ErrStopped)
	require.ErrorIs(t, WriteNew(filepath.Join(root, "file"), nil), ErrStopped)
	require.Equal(t, oldTree, tree(t, root))
}

// TestStopWhileBeginning: told to stop just before its folder is made, a run does not end
// before the folder is gone again; the same of the draft of one file.
func TestStopWhileBeginning(t *testing.T) {
	defer func() { mkdir, syncFile, running.stopped = os.Mkdir, (*os.File).Sync, false }()
	root := t.TempDir()
	for name, begin := range map[string]func() error{
		"set": func() error {
			_, err := Open(filepath.Join(root, "out"), false)
			return err
		},
		"file": func() error { return WriteNew(filepath.Join(root, "file"), []byte("whole")) },
	} {
		stopped, early := make(chan struct{}), false
		stop := func() {
			go func() { Stop(); close(stopped) }()
			select {
			case <-stopped:
				early = true
			case <-time.After(20 * time.Millisecond):
			}
		}
		mkdir = func(name string, mode os.FileMode) error { stop(); return os.Mkdir(name, mode) }
		syncFile = func(*os.File) error { stop(); return errors.New("no room") }
		_ = begin() // told to stop or not, by now
		require.False(t, early, name)
		<-stopped
		require.Empty(t, tree(t, root), name)
		running.stopped = false
	}
}

// TestReadForIt: a set whose file was read for the new one is not replaced, though it is
// ours; a link to it is the same file.
func TestReadForIt(t *testing.T) {
	defer strict.Forget()
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	writeOld(t, dir)
	require.NoError(t, os.Symlink(filepath.Join(dir, "2-old.ngc"), filepath.Join(root, "link")))
	_, err := strict.ReadFile(filepath.Join(root, "link"))
	require.NoError(t, err)
	require.ErrorContains(t, writeNew(dir), "holds 2-old.ngc, which was read for this")
	require.Equal(t, "old two", tree(t, root)["out/2-old.ngc"])
	strict.Forget()
	require.NoError(t, writeNew(dir))
}
