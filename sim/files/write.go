package files

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"flicktally/sim/problem"
)

// Output is a result to write to a file; "-" is standard output.
type Output struct {
	Path  string
	Write func(io.Writer) error
}

// Write writes a result to a file, whole or not at all. It overwrites a file only
// with force.
func (d *Desk) Write(path string, force bool, write func(io.Writer) error) error {
	return d.WriteAll([]Output{{path, write}}, force)
}

// WriteAll writes results to files in order, each whole or not at all. It writes none
// if [Desk.MayWrite] refuses one of the files.
func (d *Desk) WriteAll(outputs []Output, force bool) error {
	paths := make([]string, len(outputs))
	for i, o := range outputs {
		paths[i] = o.Path
	}
	if err := distinct(paths); err != nil {
		return err
	}
	for _, path := range paths {
		if err := d.MayWrite(path, force); err != nil {
			return err
		}
	}
	for _, o := range outputs {
		if o.Path == "-" {
			if err := o.Write(d.standardOutput); err != nil {
				return err
			}
			continue
		}
		if err := replace(o.Path, d.wholly(o, force)); err != nil {
			if problem.IsMarked(err) { // the error is about the content
				return err
			}
			return fmt.Errorf("cannot write %s: %w", o.Path, err)
		}
	}
	return nil
}

// wholly returns a function that writes a result and then checks again that the file
// may be written, as it may have appeared in the meantime.
func (d *Desk) wholly(o Output, force bool) func(io.Writer) error {
	return func(w io.Writer) error {
		buffer := bufio.NewWriterSize(w, 64<<10)
		if err := o.Write(buffer); err != nil {
			return err
		}
		if err := buffer.Flush(); err != nil {
			return err
		}
		return d.MayWrite(o.Path, force)
	}
}

// MayWrite returns an error for an existing file, unless force is set, and always for
// an input and for anything but a plain file, such as a device. An existing link is
// replaced, not followed.
func (d *Desk) MayWrite(path string, force bool) error {
	if path == "-" {
		return nil
	}
	if err := d.refuse(path); err != nil {
		return err
	}
	there, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("cannot write %s: %w", path, err)
	case there.Mode().Type()&^fs.ModeSymlink != 0:
		return fmt.Errorf("found %s, which is no plain file, want the name of one", path)
	case force:
		return nil
	default:
		return problem.Hinted(fmt.Errorf("found %s already there, want a new file", path), "--force overwrites it")
	}
}

// Edit replaces the content of a file whole or not at all. It follows a link.
func Edit(path string, content []byte) error {
	if file, err := filepath.EvalSymlinks(path); err == nil {
		path = file
	}
	return replace(path, func(w io.Writer) error {
		_, err := w.Write(content)
		return err
	})
}
