package vcd

import (
	"fmt"
	"io"
	"strings"

	"flicktally/sim/excerpt"
)

const (
	bufferSize = 256 << 10
	maxToken   = 1 << 20
)

// scanner splits a stream into tokens at white space (§18.2).
type scanner struct {
	r    io.Reader
	name string
	buf  []byte
	pos  int
	end  int
	err  error // why reading ended

	started   bool  // a byte-order mark was skipped if there is one
	offset    int64 // of buf[0] in the stream
	line      int
	lineBegin int64 // offset of the line's first byte
	token     []byte
	place     place // of the token
	torn      bool  // the stream ended within the token or right after it
}

// place is where a token starts. Both numbers count from 1.
type place struct{ line, column int }

func newScanner(r io.Reader, name string) scanner {
	return scanner{r: r, name: name, buf: make([]byte, bufferSize), line: 1}
}

// next moves to the next token, which is valid until the next call. It returns
// io.EOF at the end.
func (s *scanner) next() error {
	if !s.started {
		s.started = true
		s.skipMark()
	}
	for {
		for s.pos < s.end && isSpace(s.buf[s.pos]) {
			if s.buf[s.pos] == '\n' {
				s.line++
				s.lineBegin = s.offset + int64(s.pos) + 1
			}
			s.pos++
		}
		if s.pos < s.end {
			break
		}
		if !s.fill() {
			return s.failure()
		}
	}
	s.place = s.here()
	length := 0
	for {
		for s.pos+length < s.end && !isSpace(s.buf[s.pos+length]) {
			length++
		}
		s.torn = s.pos+length == s.end
		if !s.torn || !s.fill() {
			break
		}
	}
	s.token = s.buf[s.pos : s.pos+length]
	if length > maxToken {
		return s.wrong("a word of more than 1 MiB", "a value change dump (IEEE 1364-2005 §18)")
	}
	s.pos += length
	if s.torn && s.err != io.EOF {
		return s.failure()
	}
	return nil
}

// byteOrderMark may precede UTF-8 text.
const byteOrderMark = "\ufeff"

func (s *scanner) skipMark() {
	for s.end < len(byteOrderMark) && strings.HasPrefix(byteOrderMark, string(s.buf[:s.end])) && s.fill() {
	}
	if strings.HasPrefix(string(s.buf[:s.end]), byteOrderMark) {
		s.pos = len(byteOrderMark)
	}
}

// isSpace reports whether a byte is white space; no other byte up to a space
// occurs.
func isSpace(b byte) bool { return b <= ' ' }

// fill reads more data and reports whether there was any.
func (s *scanner) fill() bool {
	if s.err != nil || s.end-s.pos > maxToken {
		return false
	}
	s.offset += int64(s.pos)
	s.end = copy(s.buf, s.buf[s.pos:s.end])
	s.pos = 0
	if s.end == len(s.buf) {
		s.buf = append(s.buf, make([]byte, len(s.buf))...)
	}
	var n int
	for tries := 0; n == 0 && s.err == nil; tries++ {
		n, s.err = s.r.Read(s.buf[s.end:])
		if tries == 100 {
			s.err = io.ErrNoProgress
		}
	}
	s.end += n
	return n > 0
}

func (s *scanner) failure() error {
	if s.err == nil || s.err == io.EOF {
		return io.EOF
	}
	return fmt.Errorf("%s:%d: %w", excerpt.Printable(s.name), s.line, s.err)
}

// bytes returns the number of bytes consumed.
func (s *scanner) bytes() int64 { return s.offset + int64(s.pos) }

// here returns the place of the next unconsumed byte.
func (s *scanner) here() place { return place{s.line, int(s.bytes()-s.lineBegin) + 1} }

// wrong returns the error for the token.
func (s *scanner) wrong(found, want string) error { return s.wrongAt(s.place, found, want) }

func (s *scanner) wrongAt(at place, found, want string) error {
	return &syntaxError{File: s.name, Line: at.line, Column: at.column, Found: found, Want: want}
}

// shown quotes the token for a message.
func (s *scanner) shown() string { return excerpt.Quote(s.token) }

// syntaxError is a place in a capture that cannot be read. Its texts are
// printable.
type syntaxError struct {
	File         string
	Line, Column int // from 1, the column in bytes
	Found, Want  string
}

// Error writes "wire.vcd:12:3: found …, want …".
func (e *syntaxError) Error() string {
	return fmt.Sprintf("%s:%d:%d: found %s, want %s", excerpt.Printable(e.File), e.Line, e.Column, e.Found, e.Want)
}
