package strict

import (
	"errors"
	"io"
	"io/fs"
	"os"
)

// MaxBytes is the largest file that is read: a job of every key and a full shelf
// takes a few thousand.
const MaxBytes = 1 << 20

// tooLarge is the fault of a file above MaxBytes.
func tooLarge(file string) Fault {
	return Fault{File: file, Message: "the file is larger than 1 MB", Hint: "a file of this kind takes a few thousand characters: is it the right one?"}
}

// ReadFile returns the bytes of a file of at most MaxBytes. It opens nothing but
// plain files, so that it cannot hang on a pipe or a device, and reads no more
// than it returns and one byte. The error is a Fault without a line.
func ReadFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, readFault(path, err)
	}
	if e := readable(path, info); e != nil {
		return nil, e
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, readFault(path, err)
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

// readable refuses everything but a plain file of at most MaxBytes.
func readable(path string, info fs.FileInfo) error {
	switch {
	case info.IsDir():
		return Fault{File: path, Message: "this is a folder, not a file", Hint: "name a file in it"}
	case !info.Mode().IsRegular():
		return Fault{File: path, Message: "this is not a plain file", Hint: "copy what it gives to a file first"}
	case info.Size() > MaxBytes:
		return tooLarge(path)
	}
	return nil
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
	return Fault{File: path, Message: "the file cannot be read: " + err.Error()}
}
