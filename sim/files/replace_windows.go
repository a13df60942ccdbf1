package files

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"

	"golang.org/x/sys/windows"
)

// replace writes a temporary file and then renames it to path. If a signal ends the
// program in between, the temporary file is removed.
func replace(path string, write func(io.Writer) error) error {
	if !filepath.IsLocal(filepath.Base(path)) {
		return fmt.Errorf("found %s, which is a device of the system, want the name of a file", filepath.Base(path))
	}
	signalled, stop := signal.NotifyContext(context.Background(), os.Interrupt, windows.SIGTERM)
	defer stop()
	file, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	finish := context.AfterFunc(signalled, func() {
		file.Close()
		_ = os.Remove(file.Name()) // nobody would see the error
		os.Exit(1)
	})
	err = write(file)
	err = errors.Join(err, file.Sync(), file.Close())
	if err == nil {
		err = rename(file.Name(), path)
	}
	if !finish() {
		select {} // the program is ending
	}
	if err != nil {
		return errors.Join(err, os.Remove(file.Name()))
	}
	return nil
}

// rename replaces a file by another; no program may have it open.
func rename(from, to string) error {
	err := os.Rename(from, to)
	if errors.Is(err, windows.ERROR_SHARING_VIOLATION) || errors.Is(err, windows.ERROR_ACCESS_DENIED) {
		return fmt.Errorf("another program has %s open, or it may not be overwritten: close it there, or write another file", to)
	}
	return err
}
