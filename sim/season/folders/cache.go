package folders

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"

	"github.com/google/renameio/v2/maybe"

	"flicktally/sim/season"
)

// cache stores outings in files, so that a known log is not read again. An entry
// that cannot be used is computed again.
type cache struct {
	folder string // need not exist; "" means no cache
	fresh  bool   // existing entries are ignored
}

// format is the format of the entries; a changed format needs another number.
const format = "season 1"

// headAndTail is how much of each end of a log is hashed.
const headAndTail = 64 << 10

// Key identifies an outing by the rig and options, and by size, time, head and
// tail of all files read for it. It is "" if these cannot be determined.
func (o *Outing) Key(options string) string {
	sum := sha256.New()
	fmt.Fprintf(sum, "%s\n%q\n%q %q\n", format, options, o.Seen, o.among)
	for _, file := range o.Logs {
		if file.into(sum, headAndTail) != nil {
			return ""
		}
	}
	for _, file := range o.beside {
		if file.into(sum, 0) != nil {
			return ""
		}
	}
	for _, list := range o.Lists {
		info, err := os.Stat(list)
		if err != nil || info.IsDir() {
			return ""
		}
		if (Log{list, info.Size(), info.ModTime()}).into(sum, headAndTail) != nil {
			return ""
		}
	}
	return fmt.Sprintf("%x", sum.Sum(nil))
}

// into adds a file to a hash, with the given length of both its ends.
func (l Log) into(sum hash.Hash, ends int64) error {
	fmt.Fprintf(sum, "%q %d %d\n", l.Path, l.Size, l.Saved.UnixNano())
	if ends == 0 {
		return nil
	}
	file, err := os.Open(l.Path)
	if err != nil {
		return err
	}
	defer file.Close()
	if _, err := io.CopyN(sum, file, min(ends, l.Size)); err != nil {
		return err
	}
	if _, err := file.Seek(max(0, l.Size-ends), io.SeekStart); err != nil {
		return err
	}
	_, err = io.Copy(sum, io.LimitReader(file, ends))
	return err
}

// Get returns the outing cached under a key.
func (c *cache) Get(key string) (season.Outing, bool) {
	var o season.Outing
	if c.folder == "" || c.fresh || key == "" {
		return o, false
	}
	text, err := os.ReadFile(c.file(key))
	if err != nil || json.Unmarshal(text, &o) != nil || len(o.Flights) == 0 {
		return season.Outing{}, false
	}
	return o, true
}

// Put caches an outing. A failure is no error: the outing is computed again next
// time.
func (c *cache) Put(key string, o season.Outing) {
	if c.folder == "" || key == "" {
		return
	}
	text, err := json.Marshal(o)
	if err != nil || os.MkdirAll(c.folder, 0o777) != nil {
		return
	}
	_ = maybe.WriteFile(c.file(key), text, 0o666)
}

func (c *cache) file(key string) string { return filepath.Join(c.folder, key+".json") }
