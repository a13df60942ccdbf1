// Package files reads and writes the files that the user names. A file that was read
// is never overwritten, not even by force, and two outputs are never the same file.
// A result is written whole or not at all. Typical use:
//
//	desk := files.NewDesk(os.Stdin, os.Stdout, note)
//	err := desk.Check(outputs, changed) // before any work
//	file, size, err := desk.Open(path)
//	err = desk.Write(path, force, write)
//
// Names are the same file if the system says so: through links, too, and with other
// spellings.
package files

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"flicktally/sim/problem"
)

// Desk knows the files that a program has read. It may be used by several
// goroutines.
type Desk struct {
	standardInput  *os.File
	standardOutput io.Writer
	note           func(format string, args ...any)

	mu   sync.Mutex
	read []os.FileInfo
}

// NewDesk returns a desk that has read nothing. "-" names the standard streams. note
// is called with a sentence when the desk waits for input.
func NewDesk(standardInput *os.File, standardOutput io.Writer, note func(format string, args ...any)) *Desk {
	return &Desk{standardInput: standardInput, standardOutput: standardOutput, note: note}
}

// Reads records that a file is an input.
func (d *Desk) Reads(path string) {
	if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
		d.mu.Lock()
		defer d.mu.Unlock()
		d.read = append(d.read, info)
	}
}

// ReadsAll records that a file, or every file in a folder, is an input.
func (d *Desk) ReadsAll(path string) {
	_ = filepath.WalkDir(path, func(name string, _ fs.DirEntry, _ error) error {
		d.Reads(name)
		return nil // reading the file will report the error
	})
}

// Open opens an input and returns its size in bytes. It refuses a folder, which would
// fail later with a less clear error.
func (d *Desk) Open(path string) (*os.File, int64, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, 0, err
	}
	d.Reads(path)
	info, err := file.Stat()
	if err == nil && info.IsDir() {
		err = fmt.Errorf("%s is a folder, want a file", path)
	}
	if err != nil {
		file.Close()
		return nil, 0, err
	}
	return file, info.Size(), nil
}

// Stat describes a file. On every system its error is the one that opening the file
// would return.
func Stat(path string) (os.FileInfo, error) {
	info, err := os.Stat(path)
	var place *fs.PathError
	if errors.As(err, &place) {
		err = &fs.PathError{Op: "open", Path: place.Path, Err: place.Err}
	}
	return info, err
}

// Check refuses outputs that are also inputs, and two outputs that are the same file.
// changed lists the files that are read and then written.
func (d *Desk) Check(outputs, changed []string) error {
	for _, path := range outputs {
		if err := d.refuse(path); err != nil {
			return err
		}
	}
	return distinct(slices.Concat(outputs, changed))
}

// refuse returns an error if a file is also an input.
func (d *Desk) refuse(path string) error {
	there, err := os.Stat(path)
	if err != nil {
		return nil
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if slices.ContainsFunc(d.read, func(read os.FileInfo) bool { return os.SameFile(read, there) }) {
		return problem.WrongUsage(fmt.Errorf("found %s as both input and output, want another file to write", path))
	}
	return nil
}

// distinct refuses two outputs that are the same file.
func distinct(outputs []string) error {
	for i, path := range outputs {
		if slices.ContainsFunc(outputs[:i], func(other string) bool { return sameFile(path, other) }) {
			return problem.WrongUsage(fmt.Errorf("found %s as two outputs, want a file for each", path))
		}
	}
	return nil
}

// sameFile reports whether two names are of the same file, which need not exist.
func sameFile(a, b string) bool {
	there, err := os.Stat(a)
	other, otherErr := os.Stat(b)
	if err == nil && otherErr == nil {
		return os.SameFile(there, other)
	}
	return absolute(a) == absolute(b)
}

// absolute returns the full name of a file, which need not exist, with the links of
// its folder resolved.
func absolute(path string) string {
	folder, err := filepath.EvalSymlinks(filepath.Dir(path))
	if err != nil {
		folder = filepath.Dir(path)
	}
	name, err := filepath.Abs(filepath.Join(folder, filepath.Base(path)))
	if err != nil {
		return path
	}
	return name
}
