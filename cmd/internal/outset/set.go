package outset

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// ErrStopped is the error of every call after Abandon, Commit or Stop.
var ErrStopped = errors.New("the set is closed")

// Set is a set of files on its way into a folder. Its methods may be called
// from several goroutines. Use Open; end with Commit or Abandon.
type Set struct {
	place place
	force bool
	temp  string // the sibling folder in which the set is built

	mu     sync.Mutex
	done   bool
	list   *os.File   // the list in temp, open and locked while the set is being built
	files  []*file    // in the order of their making
	locked []*os.File // further files that hold the lock
	notes  []string
}

// file is one file of a set.
type file struct {
	set  *Set
	name string
	f    *os.File // nil once closed
	hash hash.Hash
	err  error
}

// Open begins a set for the folder dir, which must be absent or empty, or hold
// nothing but an unedited set of ours and force be true. What earlier runs for
// dir left behind is put right first. The error is a *Refused where the folder
// is not one to write to.
func Open(dir string, force bool) (*Set, error) {
	p, err := locate(dir)
	if err != nil {
		return nil, err
	}
	notes, err := p.mend()
	if err != nil {
		return nil, err
	}
	if _, err := p.inspect(force); err != nil {
		return nil, err
	}
	s := &Set{place: p, force: force, notes: notes}
	if err := s.begin(); err != nil {
		return nil, err
	}
	return s, nil
}

// begin makes the sibling folder with an empty list, and locks it. Stop waits for it: it
// knows of the set before there is a folder.
func (s *Set) begin() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !running.add(s) {
		return ErrStopped
	}
	err := s.makeSibling()
	if err != nil {
		s.abandon()
	}
	return err
}

func (s *Set) makeSibling() error {
	for {
		s.temp = filepath.Join(s.place.parent, prefix(s.place.base)+token())
		err := mkdir(s.temp, 0o777)
		if err == nil {
			break
		}
		if !errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("no folder can be made beside %s: %w", s.place.asked, cause(err))
		}
	}
	list, err := os.OpenFile(filepath.Join(s.temp, listName), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
	if err == nil {
		s.list = list
		s.locked = append(s.locked, list)
		if err = lock(list); err == nil {
			_, err = list.Write(printList(nil))
		}
	}
	if err != nil {
		return fmt.Errorf("the set cannot be begun: %w", cause(err))
	}
	return nil
}

// cause strips the path from an error of the file system: the sibling's name
// tells nobody anything.
func cause(err error) error {
	if pe, ok := errors.AsType[*fs.PathError](err); ok {
		return pe.Err
	}
	return err
}

// Dir returns the folder as it was asked for.
func (s *Set) Dir() string { return s.place.asked }

// Notes returns what the user may want to know of folders that earlier runs
// left and that could not be removed. Show them after Commit.
func (s *Set) Notes() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.notes)
}

// Create begins a file of the set; it is whole once its Close has returned nil.
// A name that the set has already, upper and lower case alike, is an error.
func (s *Set) Create(name string) (io.WriteCloser, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.done {
		return nil, ErrStopped
	}
	if err := checkName(name); err != nil {
		return nil, err
	}
	if slices.ContainsFunc(s.files, func(f *file) bool { return strings.EqualFold(f.name, name) }) {
		return nil, fmt.Errorf("the set has a file %s already", name)
	}
	// The list names a file before it exists, so that whatever a kill leaves is listed.
	if _, err := s.list.Write([]byte(unfinished + "  " + name + "\n")); err != nil {
		return nil, fmt.Errorf("%s cannot be written: %w", name, cause(err))
	}
	f, err := os.OpenFile(filepath.Join(s.temp, name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be written: %w", name, cause(err))
	}
	made := &file{set: s, name: name, f: f, hash: sha256.New()}
	s.files = append(s.files, made)
	return made, nil
}

// Write writes a whole file of the set.
func (s *Set) Write(name string, data []byte) error {
	w, err := s.Create(name)
	if err != nil {
		return err
	}
	w.Write(data) // what went wrong is told by Close
	return w.Close()
}

func (f *file) Write(p []byte) (int, error) {
	f.set.mu.Lock()
	defer f.set.mu.Unlock()
	if f.err != nil {
		return 0, f.err
	}
	if f.f == nil {
		return 0, ErrStopped
	}
	n, err := f.f.Write(p)
	f.hash.Write(p[:n])
	if err != nil {
		f.err = fmt.Errorf("%s cannot be written: %w", f.name, cause(err))
	}
	return n, f.err
}

// Close syncs and closes the file. It returns the first error that the file
// met, again on every call.
func (f *file) Close() error {
	f.set.mu.Lock()
	defer f.set.mu.Unlock()
	if f.f == nil {
		if f.err == nil && f.set.done {
			return ErrStopped
		}
		return f.err
	}
	err := errors.Join(syncFile(f.f), f.f.Close())
	f.f = nil
	if err != nil && f.err == nil {
		f.err = fmt.Errorf("%s cannot be written: %w", f.name, cause(err))
	}
	return f.err
}

// Commit puts the set in the folder's place, in one step where the system can.
// After an error the folder is as it was, and the set is gone.
func (s *Set) Commit() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.done {
		return ErrStopped
	}
	for _, f := range s.files {
		if f.f != nil {
			f.err = fmt.Errorf("%s was never finished", f.name)
		}
		if f.err != nil {
			s.abandon()
			return f.err
		}
	}
	err := s.finish()
	if err == nil {
		err = s.swap()
	}
	if err != nil {
		s.abandon()
		return err
	}
	s.end()
	return nil
}

// finish writes the list with the sums and syncs the folder. The finished list
// takes the other's place in one step: at no moment is the folder without one.
func (s *Set) finish() error {
	step("list")
	draft := filepath.Join(s.temp, listDraft)
	f, err := os.OpenFile(draft, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return cause(err)
	}
	s.locked = append(s.locked, f)
	if err := lock(f); err != nil {
		return err
	}
	if _, err := f.Write(printList(s.entries())); err != nil {
		return cause(err)
	}
	if err := f.Sync(); err != nil {
		return cause(err)
	}
	step("draft")
	if err := replace(f, draft, filepath.Join(s.temp, listName), s.list); err != nil {
		return err
	}
	return syncDir(s.temp)
}

// entries returns the list of the files as they were written.
func (s *Set) entries() []entry {
	var list []entry
	for _, f := range s.files {
		sum := unfinished
		if f.f == nil && f.err == nil {
			sum = hex.EncodeToString(f.hash.Sum(nil))
		}
		list = append(list, entry{f.name, sum})
	}
	return list
}

// Abandon removes all that was written and leaves the folder as it was. It does
// nothing after Commit or Abandon, so that it can be deferred; while another
// goroutine is in Commit it waits for it.
func (s *Set) Abandon() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.done {
		s.abandon()
	}
}

func (s *Set) abandon() {
	for _, f := range s.files {
		if f.f != nil {
			f.f.Close()
			f.f = nil
		}
	}
	s.end()
	// What cannot be removed now, the next run removes: there is no better place
	// to say so, for an error is already on its way.
	_ = removeSet(s.temp, s.entries())
}

// end lets go of the locks and of the place among the running sets.
func (s *Set) end() {
	s.done = true
	for _, f := range s.locked {
		f.Close()
	}
	running.drop(s)
}
