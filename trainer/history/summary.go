package history

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"time"

	"flicktally/sim"
	"flicktally/trainer"
)

// The summary has the contents of the journal's whole lines in few bytes, so that a
// long journal need not be read line by line each time. It has the size and a check sum
// of the part of the journal that it covers. If anything does not match, the summary
// is made again from the journal.

const (
	summaryFile = "practice.summary"
	summaryNew  = "practice.summary.new"
	// summaryMark is the start of a summary; its number is that of the format.
	summaryMark = "flicktally practice summary 1\n"
)

// castagnoli is a polynomial other than that of the lines.
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// covered is how much of a journal, from its start, has been read.
type covered struct {
	size  int64
	sum   uint32 // CRC-32C of it
	lines int
}

// ReadBrief reads the journal as [Journal.Read] does, but without moves, presses, runs
// and words, and if possible from the summary. It renews the summary, and ignores
// errors of that.
func (j *Journal) ReadBrief() (*History, error) {
	return j.reading(func(f *os.File) (*History, error) {
		size, err := f.Seek(0, io.SeekEnd)
		if err != nil {
			return nil, err
		}
		end, err := lastLineEnd(f, size)
		if err != nil {
			return nil, err
		}
		h, c := j.fromSummary(f, end)
		if c.size < end {
			if c, err = h.cover(f, c, end); err != nil {
				return nil, err
			}
			j.writeSummary(pack(h, c))
		}
		return h, h.readLines(io.NewSectionReader(f, end, size-end), c.lines, true)
	})
}

// cover reads the journal from the covered part up to end.
func (h *History) cover(f io.ReaderAt, c covered, end int64) (covered, error) {
	sum := &summing{sum: c.sum}
	lines := io.TeeReader(io.NewSectionReader(f, c.size, end-c.size), sum)
	err := h.readLines(lines, c.lines, true)
	return covered{end, sum.sum, c.lines + sum.lines}, err
}

// summing counts the lines written to it and computes their check sum.
type summing struct {
	sum   uint32
	lines int
}

func (s *summing) Write(p []byte) (int, error) {
	s.sum = crc32.Update(s.sum, castagnoli, p)
	s.lines += bytes.Count(p, []byte{'\n'})
	return len(p), nil
}

// fromSummary returns the history in the summary, and how much of the journal it
// covers; an empty one if there is no summary of this journal.
func (j *Journal) fromSummary(f io.ReaderAt, end int64) (*History, covered) {
	text, err := readAtMost(filepath.Join(j.folder, summaryFile), end+int64(len(summaryMark))+64)
	if err != nil {
		return newHistory(), covered{}
	}
	c, body, err := unseal(text)
	if err != nil || c.size > end || !c.fits(f) {
		return newHistory(), covered{}
	}
	h, err := unpack(body)
	if err != nil {
		return newHistory(), covered{}
	}
	return h, c
}

// readAtMost reads a file, unless it is larger.
func readAtMost(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > most {
		return nil, errUnfit
	}
	return os.ReadFile(path)
}

// fits reports whether a journal starts with the covered bytes.
func (c covered) fits(f io.ReaderAt) bool {
	var sum uint32
	block := make([]byte, 256<<10)
	for at := int64(0); at < c.size; {
		part := block[:min(int64(len(block)), c.size-at)]
		if _, err := f.ReadAt(part, at); err != nil {
			return false
		}
		sum = crc32.Update(sum, castagnoli, part)
		at += int64(len(part))
	}
	return sum == c.sum
}

// writeSummary replaces the summary. If that fails or the program is killed, the old
// one remains.
func (j *Journal) writeSummary(text []byte) {
	fresh := filepath.Join(j.folder, summaryNew)
	j.locked(func() error {
		if err := os.WriteFile(fresh, text, 0o600); err != nil {
			return errors.Join(err, os.Remove(fresh))
		}
		return os.Rename(fresh, filepath.Join(j.folder, summaryFile))
	})
}

var errUnfit = errors.New("found no summary of this journal")

// pack returns a history as a summary.
func pack(h *History, c covered) []byte {
	room := len(summaryMark) + 100
	for _, d := range h.Drills {
		room += 100 + 32*(len(d.Flicks)+len(d.Results))
	}
	p := packer{bytes: append(make([]byte, 0, room), summaryMark...), index: map[string]int{}}
	p.covered(&c)
	p.history(h)
	return binary.BigEndian.AppendUint32(p.bytes, crc32.Checksum(p.bytes, castagnoli))
}

// unseal checks a summary. It returns what the summary covers, and a reader of the
// rest.
func unseal(text []byte) (covered, *packer, error) {
	var c covered
	end := len(text) - 4
	if end < len(summaryMark) || string(text[:len(summaryMark)]) != summaryMark ||
		crc32.Checksum(text[:end], castagnoli) != binary.BigEndian.Uint32(text[end:]) {
		return c, nil, errUnfit
	}
	p := &packer{bytes: text[len(summaryMark):end], reads: true}
	p.covered(&c)
	if p.wrong || c.size < 0 || c.lines < 0 {
		return c, nil, errUnfit
	}
	return c, p, nil
}

func unpack(p *packer) (*History, error) {
	h := newHistory()
	p.history(h)
	if p.wrong || len(p.bytes) > 0 {
		return nil, errUnfit
	}
	for _, d := range h.Drills {
		h.drills[d.ID] = d
	}
	return h, nil
}

// packer appends values to its bytes, or reads them from the front. One method for each
// kind of value does both.
type packer struct {
	bytes []byte
	reads bool
	wrong bool           // the data is not a summary
	texts []string       // so far
	index map[string]int // of the texts, for writing
}

// number64 packs a whole number.
func number64[T ~int | ~int64 | ~uint32](p *packer, v *T) {
	if !p.reads {
		p.bytes = binary.AppendVarint(p.bytes, int64(*v))
		return
	}
	n, size := binary.Varint(p.bytes)
	if size <= 0 {
		p.wrong, p.bytes = true, nil
		return
	}
	*v, p.bytes = T(n), p.bytes[size:]
}

// text packs a text: as the number of an earlier one, or in full.
func text[T ~string](p *packer, v *T) {
	n, known := p.index[string(*v)]
	if !known {
		n = len(p.texts)
	}
	number64(p, &n)
	switch {
	case !p.reads && !known:
		p.index[string(*v)] = n
		p.texts = append(p.texts, string(*v))
		size := len(*v)
		number64(p, &size)
		p.bytes = append(p.bytes, *v...)
	case !p.reads || p.wrong:
	case n >= 0 && n < len(p.texts):
		*v = T(p.texts[n])
	case n == len(p.texts):
		*v = T(p.newText())
	default:
		p.wrong = true
	}
}

func (p *packer) newText() string {
	size := p.count(0, 1)
	fresh := string(p.bytes[:size])
	p.bytes, p.texts = p.bytes[size:], append(p.texts, fresh)
	return fresh
}

// count packs the length of a list, whose elements take at least each bytes.
func (p *packer) count(n, each int) int {
	number64(p, &n)
	if p.reads && (n < 0 || n > len(p.bytes)/each) {
		p.wrong, n = true, 0
	}
	return n
}

// list packs a list, whose elements take at least each bytes.
func list[T any](p *packer, all *[]T, each int, pack func(*T)) {
	n := p.count(len(*all), each)
	if p.reads && n > 0 {
		*all = make([]T, n)
	}
	for i := range *all {
		if p.wrong {
			return
		}
		pack(&(*all)[i])
	}
}

// flags packs up to 63 booleans.
func (p *packer) flags(flags ...*bool) {
	var n int64
	for i, f := range flags {
		if *f {
			n |= 1 << i
		}
	}
	number64(p, &n)
	for i, f := range flags {
		*f = n&(1<<i) != 0
	}
}

func (p *packer) covered(c *covered) {
	number64(p, &c.size)
	number64(p, &c.sum)
	number64(p, &c.lines)
}

func (p *packer) history(h *History) {
	number64(p, &h.Damaged)
	list(p, &h.Damage, 2, p.damage)
	list(p, &h.Drills, 8, func(d **Drill) {
		if p.reads {
			*d = &Drill{}
		}
		p.drill(*d)
	})
}

func (p *packer) damage(d *Damage) {
	why := ""
	if !p.reads {
		why = d.Reason.Error()
	}
	number64(p, &d.Line)
	text(p, &why)
	d.Reason = errors.New(why)
}

func (p *packer) drill(d *Drill) {
	text(p, &d.ID)
	for _, s := range []*string{&d.Device, &d.RigName, &d.RigHash, &d.Version} {
		text(p, s)
	}
	number64(p, &d.Resolution)
	seconds, rest := d.Began.Unix(), d.Began.Nanosecond()
	number64(p, &seconds)
	number64(p, &rest)
	d.Began = time.Unix(seconds, int64(rest)).UTC()
	text(p, &d.Kind)
	list(p, &d.Flicks, 11, p.flick)
	list(p, &d.Results, 9, p.result)
}

func (p *packer) flick(f *trainer.Flick) {
	p.flags(&f.Cold, &f.TooClose, &f.Unsure)
	number64(p, &f.N)
	number64(p, &f.Run)
	text(p, &f.Verdict)
	text(p, &f.Effect)
	for _, m := range []*sim.Micros{&f.Down, &f.Up, &f.Seen, &f.Margin, &f.Wait, &f.Took} {
		number64(p, m)
	}
}

func (p *packer) result(r *trainer.Result) {
	p.flags(&r.Right, &r.Within, &r.Uncounted, &r.Cold, &r.Scored, &r.Top)
	number64(p, &r.N)
	number64(p, &r.Level)
	text(p, &r.Kind)
	text(p, &r.Outcome)
	for _, m := range []*sim.Micros{&r.Began, &r.Ended, &r.Off, &r.Tolerance} {
		number64(p, m)
	}
}

// brief removes what a summary lacks.
func (r *record) brief() {
	if r.Flick != nil {
		r.Flick.Moves, r.Flick.Presses = nil, nil
	}
	if r.Trial != nil {
		r.Trial.Words = ""
	}
}
