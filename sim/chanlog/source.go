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

// maxWindow holds what the search for the header looks back on, and a line as
// long as one may be, and more, so that a longer one is known for it.
const maxWindow = 2*maxLine + 1

// maxUnpacked bounds a compressed log, in bytes as they are unpacked.
const maxUnpacked = 64 << 30

// unpacked ends what is unpacked at its bound.
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

// source reads a stream into buffers of its own, decompressed where it is gzip
// by its first bytes.
type source struct {
	name   string
	file   *origin
	pieces pieces // of file, or of what decompresses it
	opened bool   // the first bytes were looked at
	gzip   bool
	utf16  bool
	// refused says why the log is none.
	refused *SyntaxError
	buf     []byte
	begin   int // of what was not consumed, in buf
	end     int
	// stretch is of rows in buf that were read ahead.
	stretch stretch
	// offset and line are how many bytes and lines were consumed.
	offset, line int64
	err          error // why no more comes: io.EOF, or what went wrong
}

// origin remembers the error of the reader beneath, to tell a file that cannot
// be read from one whose compression is damaged.
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

// window is what was read and not consumed.
func (s *source) window() []byte { return s.buf[s.begin:s.end] }

func (s *source) consume(bytes int, lines int64) {
	s.begin += bytes
	s.offset += int64(bytes)
	s.line += lines
}

// errorAt returns the error of a place in the window.
func (s *source) errorAt(at int, found, want string) *SyntaxError {
	data := s.window()
	e := &SyntaxError{
		File:   s.name,
		Line:   int(s.line) + bytes.Count(data[:at], newline) + 1,
		Column: at - bytes.LastIndexByte(data[:at], '\n'),
		Found:  found, Want: want,
	}
	e.Text, e.at = excerptAround(data, at)
	return e
}

// ended reports whether the window holds all that is left.
func (s *source) ended() bool { return s.err != nil }

// damaged reports whether the stream was compressed and breaks off or is
// spoilt.
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

// open looks at the beginning: at what is packed, and at how its text is written.
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
		s.refused = e
	}
	if s.err = err; err == nil {
		s.pieces.start(text)
	}
}

// take appends a piece to the window: it puts what there is in front of the
// piece, where there is room for it, as it mostly is but a part of a line.
func (s *source) take(p piece) {
	rest, spare := s.window(), p.buf
	if len(rest) <= p.begin {
		spare = s.buf
		s.buf, s.begin, s.end = p.buf, p.begin-len(rest), p.end
		s.stretch = p.stretch
		copy(s.buf[s.begin:], rest)
	} else {
		s.stretch = stretch{}
		s.makeRoom(p.end - p.begin)
		s.end += copy(s.buf[s.end:], p.buf[p.begin:p.end])
	}
	s.pieces.recycle(spare)
}

// rowsAhead returns the rows at the beginning of the window that were read ahead.
// Those that something else was taken of are dropped.
func (s *source) rowsAhead() []fastRow {
	switch {
	case s.stretch.begin < s.begin:
		s.stretch = stretch{}
	case s.stretch.begin > s.begin:
		return nil
	}
	return s.stretch.rows
}

// tookAhead notes that some of them were consumed.
func (s *source) tookAhead(n int) {
	s.stretch = stretch{s.begin, s.stretch.rows[n:]}
}

// untilAhead is the window up to the rows that were read ahead.
func (s *source) untilAhead() []byte {
	if len(s.stretch.rows) == 0 {
		return s.window()
	}
	return s.buf[s.begin:s.stretch.begin]
}

// makeRoom makes room for n bytes behind the window: it moves it to the front
// of the buffer, or of one that is at least twice as large.
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

// failure returns the error to report at the end of the stream, io.EOF if it
// ended as it should. Its place is the line that was read last,
// if one was.
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
