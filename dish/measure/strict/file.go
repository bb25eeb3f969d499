package strict

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"
	"sync"
)

// MaxBytes is the largest file that is read: a job of every key and a full shelf
// takes a few thousand.
const MaxBytes = 1 << 20

// tooLarge is the fault of a file above MaxBytes.
func tooLarge(file string) Fault {
	return Fault{File: file, Message: "the file is larger than 1 MB", Hint: "a file of this kind takes a few thousand characters: is it the right one?"}
}

// read are the files that were opened since Forget: what a run reads is its builder's, and
// may not be written over (HasRead).
var read struct {
	mu   sync.Mutex
	list []fs.FileInfo
}

// Forget begins a run: no file counts as read.
func Forget() {
	read.mu.Lock()
	defer read.mu.Unlock()
	read.list = nil
}

// HasRead reports whether the file was opened in this run, under whatever name or link.
func HasRead(info fs.FileInfo) bool {
	read.mu.Lock()
	defer read.mu.Unlock()
	return slices.ContainsFunc(read.list, func(r fs.FileInfo) bool { return os.SameFile(r, info) })
}

// OpenFile opens a file to be read, and remembers it. It opens nothing but plain files,
// so that it cannot hang on a pipe or a device. The error is a Fault without a line.
func OpenFile(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, readFault(path, err)
	case info.IsDir():
		return nil, Fault{File: path, Message: "this is a folder, not a file", Hint: "name a file in it"}
	case !info.Mode().IsRegular():
		return nil, Fault{File: path, Message: "this is not a plain file", Hint: "copy what it gives to a file first"}
	}
	f, err := os.Open(path)
	if err == nil {
		info, err = f.Stat() // of what was opened, whatever has its name by now
	}
	if err != nil {
		return nil, readFault(path, err)
	}
	read.mu.Lock()
	defer read.mu.Unlock()
	read.list = append(read.list, info)
	return f, nil
}

// ReadFile returns the bytes of a file of at most MaxBytes, opened by OpenFile. It reads
// no more than it returns and one byte.
func ReadFile(path string) ([]byte, error) {
	f, err := OpenFile(path)
	if err != nil {
		return nil, err
	}
	defer f.Close() // nothing was written: there is nothing to lose
	data, err := io.ReadAll(io.LimitReader(f, MaxBytes+1))
	if err != nil {
		return nil, readFault(path, err)
	}
	if len(data) > MaxBytes {
		return nil, tooLarge(path)
	}
	return data, nil
}

// readFault turns an error of the system into plain words.
func readFault(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return Fault{File: path, Message: "there is no such file", Hint: "check the name and the folder"}
	case errors.Is(err, fs.ErrPermission):
		return Fault{File: path, Message: "the file may not be read", Hint: "check who is allowed to read it"}
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return Fault{File: path, Message: "the file cannot be read: " + err.Error(), Hint: "check the name, and the disk that it is on"}
}
