package outset

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// step, mkdir, exchange and replace are changed by tests alone: step marks the moments
// between which a kill may fall, mkdir makes a set's sibling, exchange swaps two folders in
// one step, replace renames an open file over another open one.
var (
	mkdir    = os.Mkdir
	step     = func(string) {}
	exchange = exchangeDirs
	replace  = replaceOpen
)

// replaceClosed renames the file f from draft to name, over old, for systems that
// rename no open file: both are closed first.
func replaceClosed(f *os.File, draft, name string, old *os.File) error {
	f.Close()
	old.Close()
	return os.Rename(draft, name)
}

// errNoExchange is the error of exchange where the system cannot do it.
var errNoExchange = errors.New("this system cannot exchange two folders in one step")

// swap puts the finished sibling in the folder's place.
func (s *Set) swap() error {
	step("swap")
	p := s.place
	found, err := p.inspect(s.force) // someone may have put a file there meanwhile
	if err != nil {
		return err
	}
	if found != absent {
		// The new folder is as open or as closed to others as the one it replaces.
		if info, err := os.Lstat(p.dir); err == nil {
			if err := os.Chmod(s.temp, info.Mode().Perm()|0o700); err != nil {
				return cause(err)
			}
		}
	}
	if found == absent {
		return s.moveIn()
	}
	var old []entry // none in an empty folder
	if found == ours {
		if old, err = readList(p.dir); err != nil {
			return err
		}
	}
	switch err := exchange(s.temp, p.dir); {
	case errors.Is(err, errNoExchange) && found == empty:
		// Remove takes no folder that holds anything.
		if err := os.Remove(p.dir); err != nil {
			return fmt.Errorf("the set cannot take the place of %s: %w", p.asked, cause(err))
		}
		step("emptied")
		return s.moveIn()
	case errors.Is(err, errNoExchange):
		return s.twoRenames(old)
	case err != nil:
		return fmt.Errorf("the set cannot take the place of %s: %w", p.asked, err)
	}
	step("exchanged")
	syncDirs(p.parent)
	s.discard(s.temp, old)
	return nil
}

// moveIn renames the sibling to a folder that is absent.
func (s *Set) moveIn() error {
	p := s.place
	if err := os.Rename(s.temp, p.dir); err != nil {
		return fmt.Errorf("the set cannot take the place of %s: %w", p.asked, linkCause(err))
	}
	step("moved")
	syncDirs(p.parent)
	return nil
}

// twoRenames moves the old set aside and the new one in. A kill between the two
// leaves no folder; mend then puts the old set back.
func (s *Set) twoRenames(old []entry) error {
	p := s.place
	aside := s.temp + oldSuffix
	if err := os.Rename(p.dir, aside); err != nil {
		return fmt.Errorf("the old set in %s cannot be moved aside: %w", p.asked, linkCause(err))
	}
	step("aside")
	if err := os.Rename(s.temp, p.dir); err != nil {
		back := os.Rename(aside, p.dir)
		return errors.Join(fmt.Errorf("the set cannot take the place of %s: %w", p.asked, linkCause(err)), back)
	}
	step("in")
	syncDirs(p.parent)
	s.discard(aside, old)
	return nil
}

// discard removes a set that was replaced. The new set is in place, so a failure
// is no error but a note.
func (s *Set) discard(dir string, entries []entry) {
	if err := removeSet(dir, entries); err != nil {
		s.notes = append(s.notes, fmt.Sprintf("the replaced set could not be removed: %v", err))
	}
	step("discarded")
}

// linkCause strips the names from an error of a rename.
func linkCause(err error) error {
	if le, ok := errors.AsType[*os.LinkError](err); ok {
		return le.Err
	}
	return cause(err)
}

// mend puts right what runs that were killed left beside the folder: an old set
// moved aside goes back where the folder is missing, and siblings go. It returns
// notes on what it left alone, and an error where a running set is in the way.
func (p place) mend() ([]string, error) {
	made, old, err := p.siblings()
	if err != nil {
		return nil, err
	}
	// First see that no other run is under way: between its two renames the folder
	// is missing as after a kill.
	for _, dir := range append(made, old...) {
		if busy(dir) {
			return nil, refuse("wait until it has ended", "another run is writing to %s", p.asked)
		}
	}
	var notes []string
	for _, dir := range old {
		if _, err := os.Lstat(p.dir); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		if _, err := readList(dir); err != nil {
			continue
		}
		if err := os.Rename(dir, p.dir); err != nil {
			return nil, fmt.Errorf("the old set cannot be put back in %s: %w", p.asked, linkCause(err))
		}
		syncDirs(p.parent)
	}
	for _, dir := range append(made, old...) {
		if err := clear(dir); err != nil && !errors.Is(err, fs.ErrNotExist) {
			notes = append(notes, fmt.Sprintf("a folder that an earlier run left was not removed: %v", err))
		}
	}
	return notes, nil
}

// clear removes a sibling that a kill left: a folder with a list and listed
// files, or an empty one, made just before the kill.
func clear(dir string) error {
	entries, err := readList(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return os.Remove(dir) // takes an empty folder only
	}
	if err != nil && !barelyBegun(dir) {
		return err
	}
	return removeSet(dir, entries)
}

// barelyBegun reports whether the folder's list is one whose first line was not yet
// written: then no file of the set was begun either.
func barelyBegun(dir string) bool {
	data, err := os.ReadFile(filepath.Join(dir, listName))
	return err == nil && len(data) <= len(listHeader) && strings.HasPrefix(listHeader, string(data))
}

// busy reports whether a running set holds the folder's list.
func busy(dir string) bool {
	name := filepath.Join(dir, listName)
	if info, err := os.Lstat(name); err != nil || !info.Mode().IsRegular() {
		return false
	}
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return false
	}
	defer f.Close()
	return lock(f) != nil
}

// syncDirs syncs a folder so that a rename in it outlives a loss of power. The
// rename is done and whole either way, so a file system that refuses is let be.
func syncDirs(dir string) { _ = syncDir(dir) }
