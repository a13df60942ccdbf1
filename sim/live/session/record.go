package session

import (
	"errors"
	"io"
	"os"

	"flicktally/sim"
	"flicktally/sim/source"
)

// Record is a file that keeps what comes in, row by row as it comes, so that it
// outlives a crash.
type Record struct {
	file     *os.File
	recorder *source.Recorder // nil before the first row, and once it breaks off
}

// CreateRecord opens the file of a record: a new one, or with over one that is
// there, which is emptied.
func CreateRecord(path string, over bool) (*Record, error) {
	flags := os.O_WRONLY | os.O_CREATE | os.O_EXCL
	if over {
		flags = os.O_WRONLY | os.O_CREATE | os.O_TRUNC
	}
	file, err := os.OpenFile(path, flags, 0o666)
	if err != nil {
		return nil, err
	}
	return &Record{file: file}, nil
}

// begin says where the stream was recorded.
func (r *Record) begin(tap sim.Tap, rig sim.Rig) {
	r.recorder = source.NewRecorder(r.file, tap, rig)
}

// write writes a block. One that cannot be written whole is taken back: a row
// that breaks off may be read as another.
func (r *Record) write(block sim.Block) error {
	if r.recorder == nil {
		return nil
	}
	end, err := r.file.Seek(0, io.SeekCurrent)
	if err == nil {
		err = r.recorder.Write(block)
	}
	if err != nil {
		r.recorder = nil // what follows a gap would be told as one flight
		err = errors.Join(err, r.file.Truncate(end))
	}
	return err
}

// close closes the file, and removes it if it is not kept.
func (r *Record) close(keep bool) error {
	err := r.file.Close()
	if !keep {
		os.Remove(r.file.Name()) // an empty file is no record
	}
	return err
}
