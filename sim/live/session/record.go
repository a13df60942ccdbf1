package session

import (
	"errors"
	"fmt"
	"io"
	"os"

	"flicktally/sim"
	"flicktally/sim/files"
	"flicktally/sim/source"
	"flicktally/sim/tell"
)

// Record is a log that the input is written to row by row, so that it survives a
// crash. The program that writes its file holds a lock on it.
type Record struct {
	to       io.Writer
	file     *os.File         // nil if it is not written to a file
	recorder *source.Recorder // nil before the first row and after an error
	left     leftOut          // since the latest row
}

// leftOut is what was left out between two rows.
type leftOut struct {
	rows, bytes int64
	first       string // of the rows
}

// CreateRecord opens the file of a record: a new one or, with over, an existing
// one, which it empties. If another program is writing it, the error is
// [files.ErrLocked]. Where files cannot be locked, nothing stops two programs.
func CreateRecord(path string, over bool) (*Record, error) {
	flags := os.O_WRONLY | os.O_CREATE
	if !over {
		flags |= os.O_EXCL
	}
	file, err := os.OpenFile(path, flags, 0o666)
	if err != nil {
		return nil, err
	}
	if err := files.Lock(file, false); err != nil && !errors.Is(err, errors.ErrUnsupported) {
		file.Close()
		return nil, err
	}
	if err := file.Truncate(0); err != nil {
		file.Close()
		return nil, err
	}
	return &Record{to: file, file: file}, nil
}

// RecordTo returns a record that is written to w, such as a pipe.
func RecordTo(w io.Writer) *Record { return &Record{to: w} }

// begin sets where the stream is recorded, and after how long its signal counts as
// lost; 0 means as the rig says.
func (r *Record) begin(tap sim.Tap, rig sim.Rig, lost sim.Micros) {
	r.recorder = source.NewRecorder(r.to, tap, rig, lost)
}

// leaveOut adds to the comment that precedes the next row.
func (r *Record) leaveOut(what leftOut) {
	if r.left.first == "" {
		r.left.first = what.first
	}
	r.left.rows += what.rows
	r.left.bytes += what.bytes
}

// text describes what was left out; "" if nothing was.
func (l leftOut) text() string {
	switch {
	case l.rows == 1:
		return "1 row left out: " + l.first
	case l.rows > 1:
		return fmt.Sprintf("%d rows left out, the first: %s", l.rows, l.first)
	case l.bytes > 0:
		return tell.Counted(int(l.bytes), "damaged byte", "damaged bytes") + " left out"
	}
	return ""
}

// write writes a block.
func (r *Record) write(block sim.Block) error {
	return r.wholly(func(to *source.Recorder) error { return to.Write(block) })
}

// remark writes a comment.
func (r *Record) remark(text string) error {
	return r.wholly(func(to *source.Recorder) error { return to.Comment(text) })
}

// wholly writes a comment on what was left out, and then calls write. It undoes a
// partial write, since a truncated row may read as another row.
func (r *Record) wholly(write func(*source.Recorder) error) error {
	if r.recorder == nil {
		return nil
	}
	var end int64
	var err error
	if r.file != nil {
		end, err = r.file.Seek(0, io.SeekCurrent)
	}
	if text := r.left.text(); err == nil && text != "" {
		err = r.recorder.Comment(text)
	}
	r.left = leftOut{}
	if err == nil {
		err = write(r.recorder)
	}
	if err != nil {
		r.recorder = nil // rows after a gap would read as the same flight
		if r.file != nil {
			err = errors.Join(err, r.file.Truncate(end))
		}
	}
	return err
}

// close closes the file, and removes it if it is not kept.
func (r *Record) close(keep bool) error {
	err := r.wholly(func(*source.Recorder) error { return nil })
	if r.file == nil {
		return err
	}
	err = errors.Join(err, r.file.Close())
	if !keep {
		os.Remove(r.file.Name())
	}
	return err
}
