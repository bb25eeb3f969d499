package outset

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"dishwright/dish/measure/strict"
)

// Refused is the error of a folder or file that cannot be written to as asked,
// with a hint of what to do.
type Refused struct{ Message, Hint string }

func (e *Refused) Error() string { return e.Message }

// Hints returns what to do about it.
func (e *Refused) Hints() []string { return []string{e.Hint} }

func refuse(hint, format string, args ...any) error {
	return &Refused{fmt.Sprintf(format, args...), hint}
}

// state is what stands where the set is to go.
type state uint8

const (
	absent state = iota
	empty        // a folder with nothing in it
	ours         // a folder with a set, unedited, and nothing else
)

// place is where a set is to go.
type place struct {
	asked  string // as the caller wrote it, for messages
	dir    string // absolute, links in the parents followed
	parent string
	base   string
}

// locate finds where dir is and refuses what could never be a folder of ours.
func locate(dir string) (place, error) {
	const hint = "name a folder for the programs, such as -o octave"
	if dir == "" {
		return place{}, refuse(hint, "the output folder has no name")
	}
	if strings.ContainsRune(dir, 0) {
		return place{}, refuse(hint, "the output folder's name holds a zero byte")
	}
	abs, err := filepath.Abs(dir)
	if err != nil {
		return place{}, err
	}
	if filepath.Dir(abs) == abs {
		return place{}, refuse(hint, "the output folder may not be %s, the root", dir)
	}
	parent, err := filepath.EvalSymlinks(filepath.Dir(abs))
	if errors.Is(err, fs.ErrNotExist) {
		return place{}, refuse("make it first", "the folder %s does not exist", filepath.Dir(filepath.Clean(dir)))
	}
	if err != nil {
		return place{}, err
	}
	base := filepath.Base(abs)
	p := place{asked: dir, dir: filepath.Join(parent, base), parent: parent, base: base}
	if strings.HasPrefix(base, siblingPrefix) || len(base) > 200 {
		return place{}, refuse(hint, "the output folder may not be called %.40s", base)
	}
	if standing(p.dir) {
		return place{}, refuse(hint, "the output folder may not be %s, for the program was started in it", dir)
	}
	return p, nil
}

// standing reports whether the working folder is dir or lies in it.
func standing(dir string) bool {
	here, err := os.Getwd()
	if err != nil {
		return false
	}
	if real, err := filepath.EvalSymlinks(here); err == nil {
		here = real
	}
	rel, err := filepath.Rel(dir, here)
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// inspect says what stands at the place, and refuses what may not be replaced.
func (p place) inspect(force bool) (state, error) {
	const elsewhere = "name another folder with -o"
	info, err := os.Lstat(p.dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return absent, nil
	case err != nil:
		return absent, err
	case info.Mode()&fs.ModeSymlink != 0:
		return absent, refuse(elsewhere, "%s is a link, not a folder", p.asked)
	case !info.IsDir():
		return absent, refuse(elsewhere, "%s is not a folder", p.asked)
	}
	entries, err := readList(p.dir)
	if errors.Is(err, fs.ErrNotExist) {
		found, err := os.ReadDir(p.dir)
		if err != nil {
			return absent, err
		}
		if len(found) == 0 {
			return empty, nil
		}
		var names []string
		for _, f := range found {
			names = append(names, f.Name())
		}
		return absent, refuse(elsewhere, "the folder %s is not empty and not ours: it holds %s", p.asked, some(names))
	}
	if err != nil {
		return absent, refuse(elsewhere, "the folder %s is not ours: %v", p.asked, err)
	}
	odd, err := strangers(p.dir, entries)
	if err != nil {
		return absent, err
	}
	if len(odd) > 0 {
		return absent, refuse("move what you want to keep, or "+elsewhere,
			"the folder %s holds %s, which dishwright did not write", p.asked, some(odd))
	}
	name, err := edited(p.dir, entries)
	if err != nil {
		return absent, err
	}
	if name != "" {
		return absent, refuse("move it elsewhere to keep it or delete it, or "+elsewhere,
			"%s was edited since dishwright wrote it", filepath.Join(p.asked, name))
	}
	for _, e := range entries {
		if info, err := os.Stat(filepath.Join(p.dir, e.name)); err == nil && strict.HasRead(info) {
			return absent, refuse("copy it to where it stays, or "+elsewhere, "the folder %s holds %s, which was read for this: it is not replaced", p.asked, e.name)
		}
	}
	if !force {
		return ours, refuse("replace it with --force, or "+elsewhere, "the folder %s holds a set already", p.asked)
	}
	return ours, nil
}

// prefix returns what the names of all siblings begin with that are made for
// the folder called base. A long name is cut and told apart by a sum, so that
// the sibling's own name stays within any system's limit.
func prefix(base string) string {
	const longest = 60
	if len(base) > longest {
		sum := sha256.Sum256([]byte(base))
		base = strings.ToValidUTF8(base[:longest], "") + "." + hex.EncodeToString(sum[:8])
	}
	return siblingPrefix + base + "-"
}

const (
	siblingPrefix = ".dishwright-" // begins the name of every sibling
	tokenLength   = 16             // hexadecimal digits that end a sibling's name
	oldSuffix     = ".old"         // ends the name of an old set while two renames are under way
)

// token returns random digits; they only have to differ from those of other runs.
func token() string {
	var b [tokenLength / 2]byte
	rand.Read(b[:]) // never fails: crypto/rand
	return hex.EncodeToString(b[:])
}

// siblings returns the folders beside p that runs for p made, sorted by name,
// and those that hold an old set that was moved aside.
func (p place) siblings() (made, old []string, err error) {
	found, err := os.ReadDir(p.parent)
	if err != nil {
		return nil, nil, err
	}
	for _, f := range found {
		rest, ok := strings.CutPrefix(f.Name(), prefix(p.base))
		if !ok || !f.IsDir() {
			continue
		}
		digits, moved := strings.CutSuffix(rest, oldSuffix)
		if raw, err := hex.DecodeString(digits); err != nil || len(raw) != tokenLength/2 {
			continue
		}
		if full := filepath.Join(p.parent, f.Name()); moved {
			old = append(old, full)
		} else {
			made = append(made, full)
		}
	}
	return made, old, nil
}
