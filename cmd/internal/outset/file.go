package outset

import (
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
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
	if !d.done {
		d.done = true
		_ = os.Remove(d.name)
	}
}

// WriteNew writes data to a new file: under another name first, synced, then
// linked to its own in one step that fails where something has that name
// already. The error is a *Refused where something has.
func WriteNew(name string, data []byte) error { return writeFile(name, data, false) }

// Replace does as WriteNew, but puts the new file in the place of a plain file that
// has the name; the error is a *Refused where something else has.
func Replace(name string, data []byte) error { return writeFile(name, data, true) }

const newName = "name another file, or delete this one first"

// vacant finds out whether a file may get the name.
func vacant(name string, over bool) error {
	if name == "" {
		return refuse("name a file, such as -o job.yaml", "the output file has no name")
	}
	info, err := os.Lstat(name)
	switch {
	case err == nil && !over:
		return refuse(newName, "%s exists already", name)
	case err == nil && !info.Mode().IsRegular():
		return refuse("name a plain file", "%s is no plain file", name)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s cannot be written: %w", name, cause(err))
	}
	return nil
}

func writeFile(name string, data []byte, over bool) error {
	if err := vacant(name, over); err != nil {
		return err
	}
	clearDrafts(name)
	temp := filepath.Join(filepath.Dir(name), draftPrefix(name)+token())
	d := &draft{name: temp}
	if !running.add(d) {
		return ErrStopped
	}
	defer running.drop(d)
	defer d.Abandon()
	if err := writeSynced(temp, data); err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, cause(err))
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.done {
		return ErrStopped
	}
	d.done = true
	var err error
	if over {
		err = os.Rename(temp, name)
	} else {
		err = publish(temp, name)
	}
	if errors.Is(err, fs.ErrExist) {
		return refuse(newName, "%s exists already", name)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, linkCause(err))
	}
	syncDirs(filepath.Dir(name))
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
