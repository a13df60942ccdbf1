package vcd

import (
	"bufio"
	"bytes"
	"fmt"
	"io"

	"flicktally/sim/excerpt"
)

const (
	bufferSize = 256 << 10
	maxToken   = 1 << 20
)

// scanner splits a stream into tokens at white space (§18.2).
type scanner struct {
	tokens *bufio.Scanner
	name   string

	started   bool  // a byte-order mark was skipped if there is one
	offset    int64 // of the next unconsumed byte
	line      int
	lineBegin int64 // offset of the line's first byte
	token     []byte
	place     place // of the token
	torn      bool  // the stream ended within the token or right after it
}

// place is where a token starts. Both numbers count from 1.
type place struct{ line, column int }

func newScanner(r io.Reader, name string) *scanner {
	s := &scanner{tokens: bufio.NewScanner(r), name: name, line: 1}
	s.tokens.Buffer(make([]byte, bufferSize), maxToken+2) // a token, and the byte that ends it
	s.tokens.Split(s.split)
	return s
}

// next moves to the next token, which is valid until the next call. It returns
// io.EOF at the end.
func (s *scanner) next() error {
	if s.tokens.Scan() && !s.torn {
		s.token = s.tokens.Bytes()
		return nil
	}
	s.token = s.tokens.Bytes()
	switch err := s.tokens.Err(); {
	case err == bufio.ErrTooLong:
		return s.wrong("a word of more than 1 MiB", "a value change dump (IEEE 1364-2005 §18)")
	case err != nil:
		return fmt.Errorf("%s:%d: %w", excerpt.Printable(s.name), s.line, err)
	case len(s.token) == 0:
		return io.EOF
	}
	return nil
}

// byteOrderMark may precede UTF-8 text.
const byteOrderMark = "\ufeff"

// split is a [bufio.SplitFunc] that keeps track of the place.
func (s *scanner) split(data []byte, atEOF bool) (advance int, token []byte, err error) {
	if !s.started {
		if len(data) < len(byteOrderMark) && !atEOF {
			return 0, nil, nil
		}
		s.started = true
		if bytes.HasPrefix(data, []byte(byteOrderMark)) {
			advance = len(byteOrderMark)
		}
	}
	for advance < len(data) && isSpace(data[advance]) {
		advance++
		if data[advance-1] == '\n' {
			s.line++
			s.lineBegin = s.offset + int64(advance)
		}
	}
	end := advance
	for end < len(data) && !isSpace(data[end]) {
		end++
	}
	s.offset += int64(advance)
	s.place = s.here()
	if end == len(data) && !atEOF || end == advance {
		return advance, nil, nil
	}
	s.torn = end == len(data)
	s.offset += int64(end - advance)
	return end, data[advance:end], nil
}

// isSpace reports whether a byte is white space; no other byte up to a space
// occurs.
func isSpace(b byte) bool { return b <= ' ' }

// here returns the place of the next unconsumed byte.
func (s *scanner) here() place { return place{s.line, int(s.offset-s.lineBegin) + 1} }

// wrong returns the error for the token.
func (s *scanner) wrong(found, want string) error { return s.wrongAt(s.place, found, want) }

func (s *scanner) wrongAt(at place, found, want string) error {
	return &excerpt.SyntaxError{File: s.name, Line: at.line, Column: at.column, Found: found, Want: want}
}

// shown quotes the token for a message.
func (s *scanner) shown() string { return excerpt.Quote(s.token) }
