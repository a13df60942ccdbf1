package history

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/adrg/xdg"

	"flicktally/sim/files"
	"flicktally/trainer"
)

// The files of a journal.
const (
	journalFile = "practice.jsonl"
	lockFile    = "practice.lock"
	tornFile    = "practice.torn"
)

// DefaultFolder returns the default folder of the journal, in the user's data folder
// (XDG Base Directory Specification). It is "" without a home folder, as it would then
// be at the root of the file system.
func DefaultFolder() string {
	if _, err := os.UserHomeDir(); err != nil && !filepath.IsAbs(os.Getenv("XDG_DATA_HOME")) {
		return ""
	}
	return filepath.Join(xdg.DataHome, "flicktally")
}

// Journal is the journal in a folder. Several programs may use it at once.
type Journal struct{ folder string }

// At returns the journal in a folder for reading. The folder need not exist.
func At(folder string) *Journal { return &Journal{folder} }

// Open returns the journal in a folder for writing. It creates the folder if
// necessary.
func Open(folder string) (*Journal, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("cannot create the folder of the practice journal: %w", err)
	}
	return &Journal{folder}, nil
}

// File returns the path of the journal.
func (j *Journal) File() string { return filepath.Join(j.folder, journalFile) }

// Read reads the journal; a missing one is empty.
func (j *Journal) Read() (*History, error) {
	return j.reading(func(f *os.File) (*History, error) { return readJournal(f) })
}

func (j *Journal) reading(read func(*os.File) (*History, error)) (*History, error) {
	f, err := os.Open(j.File())
	if errors.Is(err, fs.ErrNotExist) {
		return &History{}, nil
	}
	if err != nil {
		return nil, fmt.Errorf("cannot read the practice journal: %w", err)
	}
	defer f.Close()
	h, err := read(f)
	if err != nil {
		return nil, fmt.Errorf("cannot read the practice journal %s: %w", j.File(), err)
	}
	return h, nil
}

// append adds lines in one write.
func (j *Journal) append(lines []byte) error {
	err := j.locked(func() error {
		f, err := os.OpenFile(j.File(), os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o600)
		if err != nil {
			return err
		}
		defer f.Close()
		end, err := j.cutTorn(f)
		if err != nil {
			return err
		}
		if _, err := f.Write(lines); err != nil {
			// Else a retry would write the first lines twice.
			return errors.Join(err, os.Truncate(j.File(), end))
		}
		return f.Close()
	})
	if err != nil {
		return fmt.Errorf("cannot write the practice journal: %w", err)
	}
	return nil
}

// locked calls do under the lock.
func (j *Journal) locked(do func() error) error {
	f, err := os.OpenFile(filepath.Join(j.folder, lockFile), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := files.Lock(f, true); err != nil {
		return fmt.Errorf("lock %s: %w", f.Name(), err)
	}
	return do()
}

// cutTorn moves a torn last line to practice.torn and returns the new end of the
// journal. As lines are written under the lock, no program is still writing it.
func (j *Journal) cutTorn(f *os.File) (end int64, err error) {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return 0, err
	}
	end, err = lastLineEnd(f, size)
	if err != nil || end == size {
		return end, err
	}
	if err := j.keepTorn(io.NewSectionReader(f, end, size-end)); err != nil {
		return 0, err
	}
	return end, os.Truncate(j.File(), end) // on some systems f is open only for appending
}

// keepTorn appends a torn line to practice.torn and syncs the file.
func (j *Journal) keepTorn(torn io.Reader) error {
	f, err := os.OpenFile(filepath.Join(j.folder, tornFile), os.O_WRONLY|os.O_APPEND|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	defer f.Close()
	if _, err := io.Copy(f, io.MultiReader(torn, strings.NewReader("\n"))); err != nil {
		return err
	}
	return f.Sync()
}

// lastLineEnd returns the offset after the last line feed; 0 without one.
func lastLineEnd(f io.ReaderAt, size int64) (int64, error) {
	block := make([]byte, 4096)
	for end := size; end > 0; {
		from := max(0, end-int64(len(block)))
		part := block[:end-from]
		if _, err := f.ReadAt(part, from); err != nil {
			return 0, err
		}
		if i := bytes.LastIndexByte(part, '\n'); i >= 0 {
			return from + int64(i) + 1, nil
		}
		end = from
	}
	return 0, nil
}

// keeper writes one drill to the journal while it runs.
type keeper struct {
	journal               *Journal
	drill                 *trainer.Drill
	id                    string
	context               Context
	runs, flicks, results int // numbers written
}

// Begin writes the start of a drill, at a time of the calendar. keep writes what is
// new in the drill; call it after every call of the drill.
func (j *Journal) Begin(d *trainer.Drill, c Context, at time.Time) (keep func() error, err error) {
	id := make([]byte, 4)
	rand.Read(id) // never fails
	at = at.UTC().Round(time.Microsecond)
	k := &keeper{journal: j, drill: d, context: c, id: at.Format("20060102T150405Z") + "-" + hex.EncodeToString(id)}
	return k.keep, j.append(k.line(record{Type: typeDrill, Begin: newDrillPart(d, at)}))
}

// line returns a line of the drill with the given part.
func (k *keeper) line(r record) []byte {
	r.Schema, r.Drill, r.Context = schema, k.id, k.context
	return encode(r)
}

// keep writes what is new in the drill.
func (k *keeper) keep() error {
	runs, flicks, results := k.drill.Runs(), k.drill.Flicks(), k.drill.Results()
	var lines []byte
	for _, run := range runs[k.runs:] {
		lines = append(lines, k.line(record{Type: typeRun, Run: (*runPart)(&run)})...)
	}
	for _, flick := range flicks[k.flicks:] {
		lines = append(lines, k.line(record{Type: typeFlick, Flick: newFlickPart(flick)})...)
	}
	for _, result := range results[k.results:] {
		lines = append(lines, k.line(record{Type: typeTrial, Trial: (*trialPart)(&result)})...)
	}
	if len(lines) == 0 {
		return nil
	}
	if err := k.journal.append(lines); err != nil {
		return err
	}
	k.runs, k.flicks, k.results = len(runs), len(flicks), len(results)
	return nil
}
