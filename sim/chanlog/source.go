package chanlog

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"

	"flicktally/sim/excerpt"
)

// maxBuffer holds what the search for the header looks back on, and a line as
// long as one may be, and more, so that a longer one is known for it.
const maxBuffer = 2*maxLine + 1

// zipBuffer is what is read at once of a compressed log.
const zipBuffer = 64 << 10

var (
	gzipMark      = []byte{0x1f, 0x8b}
	byteOrderMark = []byte("\xef\xbb\xbf")
	newline       = []byte("\n")
)

// source reads a stream into a buffer of its own, decompressed where it is
// gzip by its first bytes.
type source struct {
	name  string
	file  *origin
	r     io.Reader // file, or what decompresses it; nil before the first fill
	gzip  bool
	buf   []byte
	begin int // of what was not consumed, in buf
	end   int
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

func newSource(r io.Reader, name string, size int) source {
	return source{name: name, file: &origin{r: r}, buf: make([]byte, size)}
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
	e.Text, e.caret = excerptAround(data, at)
	return e
}

// ended reports whether the window holds all that is left.
func (s *source) ended() bool { return s.err != nil }

// damaged reports whether the stream was compressed and breaks off or is
// spoilt.
func (s *source) damaged() bool {
	return s.gzip && s.err != nil && s.err != io.EOF && s.file.err == nil
}

// fill reads once, so that a live pipe is not waited for longer than needed.
func (s *source) fill() {
	if s.r == nil {
		s.open()
		if s.err != nil {
			return
		}
	}
	s.makeRoom()
	const patience = 100 // reads without a byte, as bufio has it
	for range patience {
		n, err := s.r.Read(s.buf[s.end:])
		s.end += n
		s.err = err
		if n > 0 || err != nil {
			return
		}
	}
	s.err = io.ErrNoProgress
}

// open looks at the first two bytes.
func (s *source) open() {
	head := make([]byte, len(gzipMark))
	n, err := io.ReadFull(s.file, head)
	if err != nil && err != io.ErrUnexpectedEOF {
		s.err = err
		return
	}
	if !bytes.Equal(head[:n], gzipMark) {
		s.end = copy(s.buf, head[:n])
		s.r = s.file
		return
	}
	s.gzip = true
	unzip, err := gzip.NewReader(bufio.NewReaderSize(io.MultiReader(bytes.NewReader(head), s.file), zipBuffer))
	if err != nil {
		if err == io.EOF {
			err = io.ErrUnexpectedEOF
		}
		s.err = err
		return
	}
	s.r = unzip
}

// makeRoom moves the window to the front, and doubles a buffer that it fills.
func (s *source) makeRoom() {
	if s.begin > 0 {
		s.end = copy(s.buf, s.buf[s.begin:s.end])
		s.begin = 0
	}
	if s.end < len(s.buf) {
		return
	}
	if len(s.buf) >= maxBuffer {
		panic(fmt.Sprintf("internal error: %d bytes of a log were read and not consumed", s.end))
	}
	larger := make([]byte, min(2*len(s.buf), maxBuffer))
	s.end = copy(larger, s.buf[:s.end])
	s.buf = larger
}

// failure returns the error to report at the end of the stream, io.EOF if it
// ended as it should.
func (s *source) failure() error {
	switch {
	case s.damaged() && errors.Is(s.err, io.ErrUnexpectedEOF):
		return fmt.Errorf("%s: the compressed log breaks off", excerpt.Printable(s.name))
	case s.damaged():
		return fmt.Errorf("%s: the compressed log is damaged: %w", excerpt.Printable(s.name), s.err)
	case s.err == io.EOF:
		return io.EOF
	default:
		return fmt.Errorf("%s: %w", excerpt.Printable(s.name), s.err)
	}
}
