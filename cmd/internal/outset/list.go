package outset

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

const (
	listName    = ".dishwright-set"     // the list of a set's files
	listDraft   = ".dishwright-set-new" // the list while it is being finished
	listHeader  = "# dishwright set"    // its first line
	unfinished  = "unfinished"          // in place of a sum while a file is written
	longestList = 1 << 20               // bytes; a list of ours is far shorter
	longestName = 120                   // bytes of a file's name, well under any system's limit
)

// entry is a line of the list: a file and the sum of its bytes.
type entry struct {
	name string
	sum  string // SHA-256 in hexadecimal, or unfinished
}

// checkName says why name cannot be a file of a set, nil where it can: letters,
// digits, '-', '_' and '.', not led by a dot or a dash, not ended by a dot, and not
// called as a device of Windows. So it never leaves the folder, is never taken for an
// option, and is the same file on every system.
func checkName(name string) error {
	switch {
	case name == "":
		return errors.New("a file of the set has no name")
	case len(name) > longestName:
		return fmt.Errorf("the file name %q is longer than %d bytes", name[:20]+"…", longestName)
	case name[0] == '.' || name[0] == '-' || name[len(name)-1] == '.':
		return fmt.Errorf("the file name %q begins or ends badly", name)
	case device(name):
		return fmt.Errorf("the file name %q is that of a device on Windows", name)
	}
	for _, r := range name {
		if !plain(r) && r != '_' && r != '.' {
			return fmt.Errorf("the file name %q holds %q; letters, digits, '-', '_' and '.' are safe everywhere", name, r)
		}
	}
	return nil
}

// device reports whether Windows takes a name for one of its devices, whatever follows
// its first dot (Microsoft Learn, Naming Files, Paths, and Namespaces).
func device(name string) bool {
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch stem {
	case "con", "prn", "aux", "nul":
		return true
	}
	port, numbered := strings.CutPrefix(stem, "com")
	if !numbered {
		port, numbered = strings.CutPrefix(stem, "lpt")
	}
	return numbered && len(port) == 1 && port[0] >= '0' && port[0] <= '9'
}

func plain(r rune) bool {
	return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-'
}

// Slug makes a part of a file name out of free text: its letters and digits in
// lower case, runs of anything else as one dash, at most 60 bytes; "job" where
// nothing is left.
func Slug(text string) string {
	const longest = 60
	var b strings.Builder
	for _, r := range strings.ToLower(text) {
		switch {
		case b.Len() >= longest:
		case plain(r) && r != '-':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if s := strings.TrimRight(b.String(), "-"); s != "" {
		return s
	}
	return "job"
}

// printList returns the bytes of a list. Lines hold a sum, two spaces and a name.
func printList(entries []entry) []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, listHeader)
	for _, e := range entries {
		fmt.Fprintf(&b, "%s  %s\n", e.sum, e.name)
	}
	return b.Bytes()
}

// parseList reads a list; it is an error where any byte of it is not as
// printList writes it, save that a kill may have cut its last line short: that
// line then names a file that was not yet begun.
func parseList(data []byte) ([]entry, error) {
	text, ok := strings.CutPrefix(string(data), listHeader+"\n")
	if !ok {
		return nil, errors.New("it does not begin as a list of a set does")
	}
	var entries []entry
	seen := map[string]bool{}
	for text != "" {
		line, rest, whole := strings.Cut(text, "\n")
		if !whole {
			break
		}
		text = rest
		sum, name, ok := strings.Cut(line, "  ")
		if raw, err := hex.DecodeString(sum); !ok || sum != unfinished && (err != nil || len(raw) != sha256.Size) {
			return nil, errors.New("a line of it is no sum and name")
		}
		if err := checkName(name); err != nil {
			return nil, err
		}
		if seen[name] {
			return nil, fmt.Errorf("it names %s twice", name)
		}
		seen[name] = true
		entries = append(entries, entry{name, sum})
	}
	return entries, nil
}

// readList reads the list of a folder. Its error is fs.ErrNotExist where the
// folder has none.
func readList(dir string) ([]entry, error) {
	name := filepath.Join(dir, listName)
	info, err := os.Lstat(name)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > longestList {
		return nil, fmt.Errorf("%s is not a list that dishwright wrote", name)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	entries, err := parseList(data)
	if err != nil {
		return nil, fmt.Errorf("%s is not a list that dishwright wrote: %w", name, err)
	}
	return entries, nil
}

// strangers returns the names in dir, sorted, that are not regular files of the
// list (nor the list itself).
func strangers(dir string, entries []entry) ([]string, error) {
	found, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var odd []string
	for _, f := range found {
		ours := f.Name() == listName || f.Name() == listDraft ||
			slices.ContainsFunc(entries, func(e entry) bool { return e.name == f.Name() })
		if !ours || !f.Type().IsRegular() {
			odd = append(odd, f.Name())
		}
	}
	return odd, nil
}

// edited returns the first file of the list whose bytes are not as they were
// written, "" where there is none. A file that is gone counts as unedited.
func edited(dir string, entries []entry) (string, error) {
	for _, e := range entries {
		sum, err := sumFile(filepath.Join(dir, e.name))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		if sum != e.sum {
			return e.name, nil
		}
	}
	return "", nil
}

func sumFile(name string) (string, error) {
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// removeSet deletes the listed files of a folder, then its list, then the
// folder. Whatever is not listed stays, and the folder with it. A kill on the
// way leaves a folder that removeSet takes away the next time.
func removeSet(dir string, entries []entry) error {
	odd, err := strangers(dir, entries)
	if err != nil {
		return err
	}
	if len(odd) > 0 {
		return fmt.Errorf("%s holds %s, which dishwright did not write", dir, some(odd))
	}
	for _, e := range entries {
		if err := remove(filepath.Join(dir, e.name)); err != nil {
			return err
		}
	}
	for _, name := range []string{listDraft, listName} {
		if err := remove(filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	return os.Remove(dir)
}

// remove deletes a file, content where it is gone already.
func remove(name string) error {
	if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// some names the first few of a list of names.
func some(names []string) string {
	const most = 3
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}
