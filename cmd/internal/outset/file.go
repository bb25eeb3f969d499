package outset

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"dishwright/dish/measure/strict"
)

// draft is one file on its way.
type draft struct {
	mu   sync.Mutex
	name string
	done bool
}

// Abandon removes the draft.
func (d *draft) Abandon() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.remove()
}

func (d *draft) remove() {
	if !d.done {
		d.done = true
		_ = os.Remove(d.name)
	}
}

// Mark stands near the beginning of every file that a command writes by itself: what does
// not begin so is somebody else's, and no file that exists is replaced by it.
const Mark = "made by dishwright"

// reach is how many bytes from the beginning the mark stands at the farthest.
const reach = 256

// File is a file to be written under a name of its own.
type File struct {
	Name string
	Data []byte
}

// WriteNew writes data to a new file: under another name first, synced, then
// linked to its own in one step that fails where something has that name
// already. The error is a *Refused where something has.
func WriteNew(name string, data []byte) error { return Write(false, File{name, data}) }

// Write does as WriteNew with several files, each of a name of its own: none is begun where
// one of the names is refused. With over a plain file that has the name is replaced, where it
// begins as the new one does and was not read in this run.
func Write(over bool, files ...File) error {
	if err := Vacant(over, files...); err != nil {
		return err
	}
	for _, f := range files {
		if err := f.write(over); err != nil {
			return err
		}
	}
	return nil
}

// Vacant finds out whether Write would be refused a name, as far as that can be told before
// there are any data: for work that takes long.
func Vacant(over bool, files ...File) error {
	for i, f := range files {
		if err := f.vacant(over); err != nil {
			return err
		}
		for _, g := range files[:i] {
			if filepath.Clean(f.Name) == filepath.Clean(g.Name) {
				return refuse(newName, "two files are to be called %s", f.Name)
			}
		}
	}
	return nil
}

const newName = "name another file, or delete this one first"

// vacant finds out whether the file may get its name.
func (f File) vacant(over bool) error {
	if f.Name == "" {
		return refuse("name a file, such as -o job.yaml", "the output file has no name")
	}
	info, err := os.Lstat(f.Name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return cannot(f.Name, err)
	}
	if to, err := os.Stat(f.Name); err == nil && strict.HasRead(to) {
		return refuse("name another file", "%s is what was read for this: it is not written over", f.Name)
	}
	switch {
	case !over:
		return refuse(newName, "%s exists already", f.Name)
	case !info.Mode().IsRegular():
		return refuse("name a plain file", "%s is no plain file", f.Name)
	}
	if ours, err := f.beginsAs(f.Name); err != nil || !ours {
		return refuse(newName, "%s does not begin as a file that dishwright writes there", f.Name)
	}
	return nil
}

// beginsAs reports whether the file of that name begins as the new one: with the mark, and
// with the same few bytes, by which the kinds of files are known.
func (f File) beginsAs(name string) (bool, error) {
	old, err := os.Open(name)
	if err != nil {
		return false, err
	}
	defer old.Close()
	head := make([]byte, reach)
	n, err := io.ReadFull(old, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return false, err
	}
	const kind = 4 // bytes
	return marked(head[:n]) && (f.Data == nil || marked(f.Data) && bytes.Equal(head[:kind], f.Data[:kind])), nil
}

// marked reports whether the mark stands near the beginning.
func marked(data []byte) bool { return bytes.Contains(data[:min(len(data), reach)], []byte(Mark)) }

// cannot says that a file cannot be written, and why.
func cannot(name string, err error) error {
	return fmt.Errorf("%s cannot be written: %w", name, linkCause(err))
}

// write puts the file under its name. Told to stop it leaves nothing: while the draft is
// being made the lock is held, so that Abandon finds it made.
func (f File) write(over bool) error {
	clearDrafts(f.Name)
	d := &draft{name: filepath.Join(filepath.Dir(f.Name), draftPrefix(f.Name)+token())}
	d.mu.Lock()
	defer d.mu.Unlock()
	if !running.add(d) {
		return ErrStopped
	}
	defer running.drop(d)
	defer d.remove()
	if err := writeSynced(d.name, f.Data); err != nil {
		return cannot(f.Name, err)
	}
	d.done = true
	var err error
	if over {
		if err = os.Rename(d.name, f.Name); err != nil {
			_ = os.Remove(d.name)
		}
	} else {
		err = publish(d.name, f.Name)
	}
	if errors.Is(err, fs.ErrExist) {
		return refuse(newName, "%s exists already", f.Name)
	}
	if err != nil {
		return cannot(f.Name, err)
	}
	syncDirs(filepath.Dir(f.Name))
	return nil
}

// draftPrefix returns what the names of all drafts of a file begin with.
func draftPrefix(name string) string { return prefix("file-" + filepath.Base(name)) }

// clearDrafts removes the drafts of a file that killed runs left: those that no run
// holds. What cannot be removed harms nobody.
func clearDrafts(name string) {
	dir := filepath.Dir(name)
	found, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range found {
		digits, ok := strings.CutPrefix(e.Name(), draftPrefix(name))
		if raw, err := hex.DecodeString(digits); !ok || err != nil || len(raw) != tokenLength/2 || !e.Type().IsRegular() {
			continue
		}
		draft := filepath.Join(dir, e.Name())
		if f, err := os.OpenFile(draft, os.O_RDWR, 0); err == nil {
			if lock(f) == nil {
				_ = os.Remove(draft)
			}
			f.Close()
		}
	}
}

func writeSynced(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	if err = lock(f); err == nil {
		_, err = f.Write(data)
	}
	if err == nil {
		err = syncFile(f)
	}
	return errors.Join(err, f.Close())
}

// link and syncFile are changed by tests alone.
var (
	link     = os.Link
	syncFile = (*os.File).Sync
)

// publish gives temp the name, never over another file, and removes temp. Where
// the file system has no links the name is first taken by an empty file, which
// only one can make, and temp is renamed over it.
func publish(temp, name string) error {
	err := link(temp, name)
	switch {
	case err == nil, errors.Is(err, fs.ErrExist):
		return errors.Join(err, os.Remove(temp))
	}
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err == nil {
		if err = errors.Join(f.Close(), os.Rename(temp, name)); err == nil {
			return nil
		}
		os.Remove(name)
	}
	os.Remove(temp)
	return err
}
