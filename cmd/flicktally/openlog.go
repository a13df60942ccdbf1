package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"sync/atomic"
	"time"

	"flicktally/sim"
	"flicktally/sim/chanlog"
	"flicktally/sim/excerpt"
	"flicktally/sim/files"
	"flicktally/sim/mavlink"
	"flicktally/sim/problem"
	"flicktally/sim/source"
)

// openedLog is a log that is read ahead, and that tells on a terminal how far it
// is.
type openedLog struct {
	*source.Source
	file     *countedFile
	progress *readProgress // nil where nobody would see it
}

// openLog opens a log; a path of "-" is standard input. The thinning says which
// samples may be left out.
func (a *app) openLog(path string, f *logFlags, rig sim.Rig, thin sim.Thinning) (*openedLog, error) {
	opts, err := f.options(rig, thin)
	if err != nil {
		return nil, err
	}
	file, size, err := a.openFile(path)
	if err != nil {
		return nil, problem.CannotRead(err)
	}
	log := &openedLog{file: &countedFile{ReadCloser: file}}
	if a.talk.errTTY {
		log.progress = &readProgress{talk: a.talk, name: excerpt.Printable(path), size: size, told: time.Now()}
		opts.Tick = func(read int64) { log.progress.tell(log.file.done.Load(), read) }
	}
	opts.Ahead = true
	if size > 0 {
		opts.Again = func() (io.ReadCloser, error) { return os.Open(path) }
	}
	if log.Source, err = openSource(log.file, path, opts); err != nil {
		log.file.Close()
		return nil, a.unreadableLog(err)
	}
	return log, nil
}

// Next is [source.Source.Next].
func (l *openedLog) Next() (sim.Block, error) {
	block, err := l.Source.Next()
	if l.progress != nil && err != nil {
		l.progress.talk.progress("")
	}
	return block, err
}

// Close ends the reading.
func (l *openedLog) Close() {
	l.Source.Close()
	l.file.Close()
}

// countedFile counts what was read of it.
type countedFile struct {
	io.ReadCloser
	done atomic.Int64
}

func (f *countedFile) Read(buffer []byte) (int, error) {
	n, err := f.ReadCloser.Read(buffer)
	f.done.Add(int64(n))
	return n, err
}

// openFile opens a file and tells its size, 0 where that is not known.
func (a *app) openFile(path string) (io.ReadCloser, int64, error) {
	if path == "-" {
		files.WidenPipe(a.in)
		return a.awaited(io.NopCloser(a.in), "standard input"), 0, nil
	}
	file, size, err := a.openAwaited(path)
	if err != nil {
		return nil, 0, fmt.Errorf("cannot read the log: %w", err)
	}
	return file, size, nil
}

// openAwaited opens a file, and says what is waited for where a pipe gives nothing.
func (a *app) openAwaited(path string) (io.ReadCloser, int64, error) {
	opening := a.wait("for somebody to write into " + path)
	file, size, err := a.files.Open(path)
	opening.Stop()
	if err != nil || size > 0 {
		return file, size, err
	}
	return a.awaited(file, path), size, nil
}

// patience is how long nothing has to come before it is said what is waited for.
const patience = 2 * time.Second

// wait says what is waited for, unless it is stopped before.
func (a *app) wait(what string) *time.Timer {
	return time.AfterFunc(patience, func() { a.talk.note("waiting %s; ctrl-c leaves", what) })
}

// awaited says what is waited for where a stream gives nothing.
func (a *app) awaited(stream io.ReadCloser, name string) io.ReadCloser {
	return &awaited{stream, a.wait("for something to come from " + name)}
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

// listName is what errors call a short list.
func listName(path string) string {
	if path == "-" {
		return "standard input"
	}
	return excerpt.Printable(path)
}

// openList opens a short list; a path of "-" is standard input.
func (a *app) openList(path string) (io.ReadCloser, error) {
	if path == "-" {
		return a.awaited(io.NopCloser(a.in), "standard input"), nil
	}
	file, _, err := a.openAwaited(path)
	return file, err
}

// options says how to read a log. The zero Thinning leaves out nothing.
func (f *logFlags) options(rig sim.Rig, thin sim.Thinning) (source.Options, error) {
	delimiter, err := chanlog.ParseDelimiter(f.delimiter)
	if err != nil {
		return source.Options{}, problem.WrongUsage(fmt.Errorf("--delimiter: %w", err))
	}
	return source.Options{Spec: rig.Log, Delimiter: delimiter, Lenient: f.lenient, Wire: f.wire, System: f.system, Thin: thin, Valid: rig.Switch.Valid}, nil
}

func openSource(r io.Reader, name string, opts source.Options) (*source.Source, error) {
	src, err := source.Open(r, name, opts)
	var channel *mavlink.LineError
	switch {
	case errors.As(err, &channel):
		return nil, problem.WrongUsage(err)
	case err != nil:
		return nil, err
	}
	return src, nil
}

// readProgress tells how far the reading of a long log is.
type readProgress struct {
	talk *talk
	name string
	size int64
	told time.Time
}

// tell tells it now and then: how much of the file is done, and how much was read
// when it was unpacked.
func (p *readProgress) tell(done, read int64) {
	now := time.Now()
	if now.Sub(p.told) < 300*time.Millisecond {
		return
	}
	p.told = now
	text := fmt.Sprintf("reading %s: %d MB", p.name, read/1e6)
	if p.size > 0 {
		text += fmt.Sprintf(", %d %%", 100*done/p.size)
	}
	p.talk.progress(text)
}
