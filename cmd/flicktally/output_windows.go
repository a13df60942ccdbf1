package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// replaceFile puts a whole file in place at once, as far as the system can.
func replaceFile(path string, write func(io.Writer) error) error {
	temporary, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	err = write(temporary)
	if err = errors.Join(err, temporary.Close()); err == nil {
		err = os.Rename(temporary.Name(), path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(temporary.Name()))
	}
	return nil
}
