package logs

import (
	"fmt"
	"io"
	"os"
	"sync/atomic"
	"time"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/files"
	"flicktally/sim/problem"
	"flicktally/sim/source"
)

// Log is a log that is read ahead. It shows its progress if somebody would see
// it.
type Log struct {
	*source.Source
	file     *countedFile
	progress *readProgress // nil if nobody would see it
}

// Open opens a log; a path of "-" is standard input. The thinning says which
// samples may be left out; the zero Thinning leaves out nothing.
func (r *Reader) Open(path string, rig sim.Rig, how How, thin sim.Thinning) (*Log, error) {
	file, size, err := r.Desk.Await(path)
	if err != nil {
		return nil, problem.CannotRead(fmt.Errorf("cannot read the log: %w", err))
	}
	opts := how.Options(rig, thin)
	log := &Log{file: &countedFile{ReadCloser: file}}
	if r.Progress != nil {
		log.progress = &readProgress{show: r.Progress, name: excerpt.Printable(files.NameOf(path)), size: size, shown: time.Now()}
		opts.Tick = func(read int64) { log.progress.update(log.file.done.Load(), read) }
	}
	opts.Ahead = true
	if size > 0 {
		opts.Again = func() (io.ReadCloser, error) { return os.Open(path) }
	}
	if log.Source, err = source.Open(log.file, files.NameOf(path), opts); err != nil {
		log.file.Close()
		return nil, how.Unreadable(err)
	}
	return log, nil
}

// Next is [source.Source.Next].
func (l *Log) Next() (sim.Block, error) {
	block, err := l.Source.Next()
	if l.progress != nil && err != nil {
		l.progress.show("")
	}
	return block, err
}

// Close stops the reading.
func (l *Log) Close() {
	l.Source.Close()
	l.file.Close()
}

// countedFile counts the bytes read from it.
type countedFile struct {
	io.ReadCloser
	done atomic.Int64
}

func (f *countedFile) Read(buffer []byte) (int, error) {
	n, err := f.ReadCloser.Read(buffer)
	f.done.Add(int64(n))
	return n, err
}

// readProgress shows the progress of reading a long log.
type readProgress struct {
	show  func(text string)
	name  string
	size  int64     // of the file; 0 = unknown
	shown time.Time // when it was last shown
}

// update shows from time to time how much was read, counted after decompression,
// and which part of the file was done.
func (p *readProgress) update(done, read int64) {
	now := time.Now()
	if now.Sub(p.shown) < 300*time.Millisecond {
		return
	}
	p.shown = now
	text := fmt.Sprintf("reading %s: %d MB", p.name, read/1e6)
	if p.size > 0 {
		text += fmt.Sprintf(", %d %%", 100*done/p.size)
	}
	p.show(text)
}
