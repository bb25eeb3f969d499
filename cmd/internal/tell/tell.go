package tell

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"syscall"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// The exit codes of the program.
const (
	Good   = 0 // all went well
	Broken = 1 // a bound is broken or a proof fails
	Wrong  = 2 // the input or the call is wrong

	Stopped = 130 // told to stop by a signal
)

// program is the name in front of every error.
const program = "dishwright"

// hinted is an error with what to do about it.
type hinted struct {
	error
	hints []string
}

func (h hinted) Unwrap() error { return h.error }

func (h hinted) Hints() []string { return h.hints }

// Hint returns err with hints that are printed under it. It returns nil for nil.
func Hint(err error, hints ...string) error {
	if err == nil {
		return nil
	}
	return hinted{err, hints}
}

// Errorf returns an error with one hint; an empty hint is none.
func Errorf(hint, format string, args ...any) error {
	err := fmt.Errorf(format, args...)
	if hint == "" {
		return err
	}
	return hinted{err, []string{hint}}
}

// Defect adds to an error of a program that should not have been planned whose fault that
// is, and what may get round it; nil for nil.
func Defect(err error) error {
	return Hint(err, "nothing was written: that such a program was planned is a defect of dishwright", "another cutter, scallop or depth of cut may get round it")
}

// Wrap puts the place of an error, such as a flag, in front of it; nil for nil.
func Wrap(place string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", place, err)
}

// BoundBroken is the error of a run that did its work and found that a bound is
// broken or a proof fails: exit code 1, where every other error is 2.
type BoundBroken struct {
	Message string // lower case, no full stop
}

func (e BoundBroken) Error() string { return e.Message }

// Bound returns a BoundBroken with hints.
func Bound(message string, hints ...string) error {
	return Hint(BoundBroken{message}, hints...)
}

// Code returns the exit code that err stands for: Good for nil, Broken where a
// BoundBroken is in its chain, Wrong otherwise. Faults of a file beside a broken
// bound make it Wrong: what could not be read was not judged.
func Code(err error) int {
	var bound BoundBroken
	switch {
	case err == nil:
		return Good
	case errors.As(err, &bound) && len(faultsOf(err)) == 0:
		return Broken
	}
	return Wrong
}

// Print writes err with its hints to w; nothing for nil, and nothing for an
// output whose reader went away, for nobody is there who asked for more.
func Print(w io.Writer, err error) {
	if err == nil || errors.Is(err, syscall.EPIPE) {
		return
	}
	if faults := faultsOf(err); len(faults) > 0 {
		for _, f := range faults {
			printFault(w, f)
		}
	} else {
		text := err.Error()
		if m, ok := errors.AsType[*measure.Error](err); ok && m.Hint != "" {
			// A measure.Error writes its hint itself; here it goes below with the others.
			text = strings.Replace(text, m.Error(), m.Message, 1)
			err = Hint(err, m.Hint)
		}
		fmt.Fprintf(w, "%s: %s\n", program, Clean(text))
	}
	list := hints(err)
	if len(list) == 0 {
		list = systemHints(err)
	}
	for _, h := range list {
		printHint(w, h)
	}
}

// faultsOf returns the faults of a file that err carries, nil for none.
func faultsOf(err error) strict.Faults {
	if many, ok := errors.AsType[strict.Faults](err); ok {
		return many
	}
	if one, ok := errors.AsType[strict.Fault](err); ok {
		return strict.Faults{one}
	}
	return nil
}

func printFault(w io.Writer, f strict.Fault) {
	file := Clean(f.File)
	if file == "" {
		file = program
	}
	switch {
	case f.Line <= 0:
		fmt.Fprintf(w, "%s: %s\n", file, Clean(f.Message))
	case f.Column <= 0:
		fmt.Fprintf(w, "%s:%d: %s\n", file, f.Line, Clean(f.Message))
	default:
		fmt.Fprintf(w, "%s:%d:%d: %s\n", file, f.Line, f.Column, Clean(f.Message))
	}
	if f.Hint != "" {
		printHint(w, f.Hint)
	}
}

// printHint writes a hint; one of several lines gives several hint lines.
func printHint(w io.Writer, hint string) {
	for _, line := range strings.Split(strings.TrimRight(hint, "\n"), "\n") {
		fmt.Fprintf(w, "  hint: %s\n", Clean(line))
	}
}

// systemHints returns what to do about an error of the system, nil where nothing is known.
func systemHints(err error) []string {
	for _, known := range [...]struct {
		err  error
		hint string
	}{
		{syscall.ENOSPC, "the disk is full: make room on it, or name a place on another one"},
		{syscall.EDQUOT, "you may use no more of this disk: make room on it, or name a place on another one"},
		{syscall.EROFS, "this disk may only be read: name a place on another one"},
		{syscall.ENAMETOOLONG, "a shorter name"},
		{syscall.EINVAL, "a name of plain letters"},
		{syscall.ENOTDIR, "what stands before the last / must be a folder"},
		{syscall.ELOOP, "its links lead round in a circle: name the file itself"},
		{syscall.EIO, "the disk fails: name a place on another one"},
		{fs.ErrPermission, "check who may write there, or name another place"},
		{fs.ErrNotExist, "check the name and the folder"},
	} {
		if errors.Is(err, known.err) {
			return []string{known.hint}
		}
	}
	return nil
}

// hints collects the hints of err and of all that it wraps, outermost first: of
// every error with a method Hints() []string.
func hints(err error) []string {
	var all []string
	for err != nil {
		if h, ok := err.(interface{ Hints() []string }); ok {
			all = append(all, h.Hints()...)
		}
		if many, ok := err.(interface{ Unwrap() []error }); ok {
			for _, e := range many.Unwrap() {
				all = append(all, hints(e)...)
			}
			return all
		}
		err = errors.Unwrap(err)
	}
	return all
}

// Note writes a note: something worth knowing that is no error. Notes belong on
// stderr.
func Note(w io.Writer, format string, args ...any) {
	fmt.Fprintf(w, "%s: note: %s\n", program, Clean(fmt.Sprintf(format, args...)))
}

// JSON writes v to w, indented, with a line feed at the end. Characters such as
// < stay as they are: the output is no web page.
func JSON(w io.Writer, v any) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(escaped(b.Bytes()))
	return err
}

// Writer passes everything on to another writer and remembers the first error;
// after it, it writes no more. Commands print without looking, and the one who
// made the Writer asks at the end.
type Writer struct {
	Before func() // is called before anything is written; may be nil
	to     io.Writer
	err    error
}

// NewWriter returns a Writer to w.
func NewWriter(w io.Writer) *Writer { return &Writer{to: w} }

func (w *Writer) Write(p []byte) (int, error) {
	if w.err != nil {
		return 0, w.err
	}
	if w.Before != nil {
		w.Before()
	}
	n, err := w.to.Write(p)
	if err == nil && n < len(p) {
		err = io.ErrShortWrite
	}
	w.err = err
	return n, err
}

// Failure returns the first failed write as an error of the call, nil if there was none.
func (w *Writer) Failure() error {
	if w.err == nil {
		return nil
	}
	return Hint(fmt.Errorf("the output cannot be written: %w", w.err), "send it to where there is room")
}

// Lost is Failure, but for a reader that went away: it had enough. A call that cannot
// tell what it does leaves no file.
func (w *Writer) Lost() error {
	if errors.Is(w.err, syscall.EPIPE) {
		return nil
	}
	return w.Failure()
}
