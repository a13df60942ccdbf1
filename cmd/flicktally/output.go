package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// writeFile writes a result into a file: whole or not at all, and over a file
// that is there only if forced.
func writeFile(path string, force bool, write func(io.Writer) error) error {
	if !force {
		switch _, err := os.Lstat(path); {
		case err == nil:
			return &codedError{exitFailed, fmt.Errorf("found %s there already, want a new file", path),
				[]string{"--force writes over it"}}
		case !errors.Is(err, fs.ErrNotExist):
			return fmt.Errorf("cannot write %s: %w", path, err)
		}
	}
	var content bytes.Buffer
	if err := write(&content); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	if err := replaceFile(path, content.Bytes()); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	return nil
}
