package chanlog

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/klauspost/compress/gzip"

	"flicktally/sim/excerpt"
)

// maxWindow has room for what the search for the header keeps, and for a line
// that is one byte too long.
const maxWindow = 2*maxLine + 1

// maxUnpacked limits a compressed log, in bytes after unpacking.
const maxUnpacked = 64 << 30

// unpacked fails at the limit.
type unpacked struct {
	r    io.Reader
	left int64
}

func (u *unpacked) Read(p []byte) (int, error) {
	n, err := u.r.Read(p)
	if u.left -= int64(n); u.left < 0 {
		return 0, fmt.Errorf("more than %d GiB when unpacked, which is no log of a flight", maxUnpacked>>30)
	}
	return n, err
}

var (
	gzipMark      = []byte{0x1f, 0x8b}
	byteOrderMark = []byte("\xef\xbb\xbf")
	newline       = []byte("\n")
)

// source reads a stream into its own buffers. It decompresses gzip, and turns
// UTF-16 into UTF-8.
type source struct {
	name    string
	file    *origin
	pieces  pieces // of the text
	opened  bool   // the first bytes were examined
	gzip    bool
	utf16   bool
	refused error // why the input is not a log

	buf        []byte
	begin, end int       // of the unconsumed part of buf
	ahead      aheadRows // in buf
	// offset and line count the bytes and lines consumed.
	offset, line int64
	err          error // why reading ended: io.EOF or a fault
}

// origin remembers the error of the underlying reader, to distinguish an
// unreadable file from damaged compression.
type origin struct {
	r   io.Reader
	err error
}

func (o *origin) Read(p []byte) (int, error) {
	n, err := o.r.Read(p)
	if err != nil && err != io.EOF {
		o.err = err
	}
	return n, err
}

func newSource(r io.Reader, name string, size int, ahead bool) source {
	return source{name: name, file: &origin{r: r}, pieces: pieces{size: size, ahead: ahead}}
}

// window returns the unconsumed data.
func (s *source) window() []byte { return s.buf[s.begin:s.end] }

func (s *source) consume(bytes int, lines int64) {
	s.begin += bytes
	s.offset += int64(bytes)
	s.line += lines
}

// errorAt returns the error of a place in the window.
func (s *source) errorAt(at int, found, want string) *SyntaxError {
	data := s.window()
	e := &SyntaxError{SyntaxError: excerpt.SyntaxError{
		File:   s.name,
		Line:   int(s.line) + bytes.Count(data[:at], newline) + 1,
		Column: at - bytes.LastIndexByte(data[:at], '\n'),
		Found:  found, Want: want,
	}}
	e.Text, e.At = excerptAround(data, at)
	return e
}

// ended reports whether the window has all remaining data.
func (s *source) ended() bool { return s.err != nil }

// damaged reports whether the stream was compressed and is truncated or
// damaged.
func (s *source) damaged() bool {
	return s.gzip && s.err != nil && s.err != io.EOF && s.file.err == nil && s.refused == nil
}

// fill waits for the next piece.
func (s *source) fill() {
	if !s.opened {
		s.open()
		s.opened = true
		return
	}
	p := s.pieces.next()
	s.take(p)
	s.err = p.err
}

// open examines the start: compression and text encoding.
func (s *source) open() {
	whole := bufio.NewReaderSize(s.file, headSize)
	if head, _ := whole.Peek(len(gzipMark)); bytes.Equal(head, gzipMark) {
		s.gzip = true
		unzip, err := gzip.NewReader(whole)
		if err != nil {
			if err == io.EOF {
				err = io.ErrUnexpectedEOF
			}
			s.err = err
			return
		}
		whole = bufio.NewReaderSize(&unpacked{r: unzip, left: maxUnpacked}, headSize)
	}
	text, wide, err := asText(whole, s.gzip)
	s.utf16 = wide
	if e := new(SyntaxError); errors.As(err, &e) {
		e.File = s.name
		s.refused = err
	}
	if s.err = err; err == nil {
		s.pieces.start(text)
	}
}

// take appends a piece to the window. If there is room before the piece, it
// copies the window there, which usually is only part of a line.
func (s *source) take(p piece) {
	rest, spare := s.window(), p.buf
	if len(rest) <= p.begin {
		spare = s.buf
		s.buf, s.begin, s.end = p.buf, p.begin-len(rest), p.end
		s.ahead = p.ahead
		copy(s.buf[s.begin:], rest)
	} else {
		s.ahead = aheadRows{}
		s.makeRoom(p.end - p.begin)
		s.end += copy(s.buf[s.end:], p.buf[p.begin:p.end])
	}
	s.pieces.recycle(spare)
}

// rowsAhead returns the rows that were read ahead, if they start the window. It
// drops them if something within them was consumed.
func (s *source) rowsAhead() []fastRow {
	switch {
	case s.ahead.begin < s.begin:
		s.ahead = aheadRows{}
	case s.ahead.begin > s.begin:
		return nil
	}
	return s.ahead.rows
}

// tookAhead records that n of them were consumed.
func (s *source) tookAhead(n int) {
	s.ahead = aheadRows{s.begin, s.ahead.rows[n:]}
}

// untilAhead returns the window up to the rows that were read ahead.
func (s *source) untilAhead() []byte {
	if len(s.ahead.rows) == 0 {
		return s.window()
	}
	return s.buf[s.begin:s.ahead.begin]
}

// makeRoom makes room for n bytes after the window. It moves the window to the
// front of the buffer, or of one at least twice as large.
func (s *source) makeRoom(n int) {
	if s.end+n <= len(s.buf) {
		return
	}
	rest := s.window()
	if len(rest) >= maxWindow {
		panic(fmt.Sprintf("internal error: %d bytes of a log were read and not consumed", len(rest)))
	}
	if len(rest)+n > len(s.buf) {
		s.buf = newBuffer(max(len(rest)+n, 2*len(s.buf)))
	}
	s.begin, s.end = 0, copy(s.buf, rest)
}

// failure returns the error to report at the end of the stream; io.EOF if it
// ended without a fault. Its place is the line that was read last, if any.
func (s *source) failure() error {
	if s.err == io.EOF {
		return io.EOF
	}
	place := excerpt.Printable(s.name)
	if s.line > 0 {
		place += fmt.Sprintf(":%d", s.line)
	}
	switch {
	case s.damaged() && errors.Is(s.err, io.ErrUnexpectedEOF):
		return fmt.Errorf("%s: %w", place, ErrBreaksOff)
	case s.refused != nil:
		return s.refused
	case s.damaged():
		return fmt.Errorf("%s: the compressed log is damaged: %w", place, s.err)
	default:
		return fmt.Errorf("%s: %w", place, s.err)
	}
}
