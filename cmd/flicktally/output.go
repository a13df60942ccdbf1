package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// output is a result that goes into a file.
type output struct {
	path  string
	write func(io.Writer) error
}

// writeFile writes a result into a file: whole or not at all, and over a file
// that is there only if forced.
func writeFile(path string, force bool, write func(io.Writer) error) error {
	return writeFiles([]output{{path, write}}, force)
}

// standardOutput is where a file of the name "-" goes.
var standardOutput io.Writer

// writeFiles writes results into files in their order, each whole or not at
// all; none if one of them is there and may not be written over.
func writeFiles(outputs []output, force bool) error {
	paths := make([]string, len(outputs))
	for i, o := range outputs {
		paths[i] = o.path
	}
	if err := distinct(paths); err != nil {
		return err
	}
	for _, o := range outputs {
		if err := mayWrite(o.path, force); err != nil {
			return err
		}
	}
	for _, o := range outputs {
		if o.path == "-" {
			if err := o.write(standardOutput); err != nil {
				return err
			}
			continue
		}
		if err := replaceFile(o.path, o.wholly(force)); err != nil {
			var coded *codedError // is about what was to be written
			if errors.As(err, &coded) {
				return err
			}
			return fmt.Errorf("cannot write %s: %w", o.path, err)
		}
	}
	return nil
}

// wholly returns what writes all of the result. Its last look is for a file that
// came there meanwhile.
func (o output) wholly(force bool) func(io.Writer) error {
	return func(w io.Writer) error {
		buffer := bufio.NewWriterSize(w, 64<<10)
		if err := o.write(buffer); err != nil {
			return err
		}
		if err := buffer.Flush(); err != nil {
			return err
		}
		return mayWrite(o.path, force)
	}
}

// mayWrite refuses a file that is there already, unless forced, and what is no
// file, such as a device, or was read, always. A link that is there is replaced,
// not followed.
func mayWrite(path string, force bool) error {
	if path == "-" {
		return nil
	}
	if err := inputs.refuse(path); err != nil {
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
		return &codedError{exitFailed, fmt.Errorf("found %s there already, want a new file", path),
			[]string{"--force writes over it"}}
	}
}

// editFile replaces a file with its edited content, where a link leads to it.
func editFile(path string, content []byte) error {
	if file, err := filepath.EvalSymlinks(path); err == nil {
		path = file
	}
	return replaceFile(path, func(w io.Writer) error {
		_, err := w.Write(content)
		return err
	})
}
