//go:build !windows

package files

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"syscall"

	"github.com/google/renameio/v2"
)

// replace writes a temporary file and then renames it to path. Errors of the system
// do not show the temporary name. If a signal ends the program in between, the
// temporary file is removed.
func replace(path string, write func(io.Writer) error) error {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer func() {
		signal.Stop(signals)
		close(signals)
	}()
	file, err := renameio.NewPendingFile(path, renameio.WithPermissions(0o666), renameio.WithExistingPermissions())
	if err != nil {
		return nameless(err)
	}
	defer file.Cleanup()
	go removeOnSignal(file.Name(), signals)
	if err := write(namelessWriter{file}); err != nil {
		return err
	}
	return nameless(file.CloseAtomicallyReplace())
}

// removeOnSignal waits for a signal until signals is closed. It then removes the file
// and ends the program by the signal.
func removeOnSignal(path string, signals <-chan os.Signal) {
	for sig := range signals {
		_ = os.Remove(path) // nobody would see the error
		signal.Reset(sig)
		_ = syscall.Kill(os.Getpid(), sig.(syscall.Signal))
	}
}

// namelessWriter writes to a file, with [nameless] errors.
type namelessWriter struct{ file io.Writer }

func (w namelessWriter) Write(p []byte) (int, error) {
	n, err := w.file.Write(p)
	return n, nameless(err)
}

// nameless removes the name of a file from the system's error about it.
func nameless(err error) error {
	var place *fs.PathError
	if errors.As(err, &place) {
		return place.Err
	}
	return err
}
