package files

import (
	"io"
	"time"
)

// Await is like [Desk.Open], but also opens standard input as "-", and notes what it
// waits for if no data arrives. The size is 0 if unknown.
func (d *Desk) Await(path string) (io.ReadCloser, int64, error) {
	if path == "-" {
		widenPipe(d.standardInput)
		return d.awaited(io.NopCloser(d.standardInput), "standard input"), 0, nil
	}
	opening := d.wait("for another program to write to " + path)
	file, size, err := d.Open(path)
	opening.Stop()
	if err != nil || size > 0 {
		return file, size, err
	}
	return d.awaited(file, path), size, nil
}

// NameOf returns the name of a file for messages.
func NameOf(path string) string {
	if path == "-" {
		return "standard input"
	}
	return path
}

// patience is how long to wait before noting it.
const patience = 2 * time.Second

// wait starts a timer that notes what is waited for.
func (d *Desk) wait(what string) *time.Timer {
	return time.AfterFunc(patience, func() { d.note("waiting %s; ctrl-c leaves", what) })
}

// awaited returns a stream that notes that it waits if no data arrives.
func (d *Desk) awaited(stream io.ReadCloser, name string) io.ReadCloser {
	return &awaited{stream, d.wait("for data from " + name)}
}

type awaited struct {
	io.ReadCloser
	waiting *time.Timer
}

func (w *awaited) Read(p []byte) (int, error) {
	n, err := w.ReadCloser.Read(p)
	w.waiting.Stop()
	return n, err
}

func (w *awaited) Close() error {
	w.waiting.Stop()
	return w.ReadCloser.Close()
}
