package session

import (
	"bytes"
	"errors"
	"io"
	"os"
)

// following returns an input that reads a file and waits at its end for more. A
// file that was truncated, or replaced by another of the same name, is read from
// its start.
func following(path string, opts Options) Input {
	return opts.input(path, 0, func(s *Session) (link, error) {
		file, err := os.Open(path)
		return &followed{path: path, file: file, session: s}, err
	})
}

// followed is a growing file.
type followed struct {
	path    string
	file    *os.File
	session *Session
	read    int64 // bytes read of the file
	torn    bool  // the next bytes do not continue the latest
	buffer  [64 << 10]byte
}

func (f *followed) next() (arrival, error) {
	for {
		n, err := f.file.Read(f.buffer[:])
		f.read += int64(n)
		if n > 0 {
			a := arrival{data: bytes.Clone(f.buffer[:n]), torn: f.torn}
			f.torn = false
			return a, nil
		}
		if err != io.EOF {
			return arrival{}, err
		}
		if err := f.look(); err != nil {
			return arrival{}, err
		}
		if !f.session.pause() {
			return arrival{}, io.EOF
		}
	}
}

// look checks whether a file that was read to its end is still the one of its
// name.
func (f *followed) look() error {
	there, err := os.Stat(f.path)
	if errors.Is(err, os.ErrNotExist) {
		f.session.setTrouble(f.path + " is gone; waiting for it")
		return nil
	}
	if err != nil {
		f.session.setTrouble(err.Error() + "; waiting for it")
		return nil
	}
	f.session.setTrouble("")
	this, err := f.file.Stat()
	switch {
	case err != nil:
		return err
	case !os.SameFile(this, there):
		return f.replace()
	case there.Size() < f.read:
		f.session.announce(f.path + " was truncated; reading it from the start")
		f.read, f.torn = 0, true
		_, err = f.file.Seek(0, io.SeekStart)
	}
	return err
}

// replace switches to the file that now has the name.
func (f *followed) replace() error {
	file, err := os.Open(f.path)
	if err != nil {
		return nil // it is gone again: check later
	}
	f.session.announce(f.path + " was replaced; reading the new file from the start")
	f.file.Close()
	f.file, f.read, f.torn = file, 0, true
	return nil
}

func (f *followed) Close() error { return f.file.Close() }
