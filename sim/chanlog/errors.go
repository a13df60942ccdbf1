package chanlog

import (
	"bytes"
	"errors"
	"fmt"
	"unicode/utf8"

	"flicktally/sim/excerpt"
)

// SyntaxError is a place in a log that cannot be read. Its texts are printable:
// unprintable characters of the log are escaped or replaced.
type SyntaxError struct {
	File string
	// Line and Column are where the wrong field, or its line, starts. They count
	// from 1, the column in bytes.
	Line, Column int
	Found, Want  string
	// Skippable says that a lenient reader would skip the place and continue.
	Skippable bool
	// Misfit says that the log lacks a requested column.
	Misfit bool
	// Text is the line around the column, as it is in the log, at most 120
	// bytes; "" if it would show nothing.
	Text string

	at int // offset of the column in Text
}

// Error writes "heron.csv:12:9: found …, want …", on one line.
func (e *SyntaxError) Error() string { return e.place() + ": " + e.message() }

func (e *SyntaxError) place() string {
	return fmt.Sprintf("%s:%d:%d", excerpt.Printable(e.File), e.Line, e.Column)
}

func (e *SyntaxError) message() string { return "found " + e.Found + ", want " + e.Want }

// Explain writes the error, and on the next line its place with the text there.
func (e *SyntaxError) Explain() string {
	return excerpt.Explain(e.message(), e.place(), e.Text, e.at)
}

// ErrBreaksOff says that a compressed log ends too early. A lenient reader keeps
// the rows before that.
var ErrBreaksOff = errors.New("the compressed log breaks off")

// excerptAround returns the part of the line around an offset of data, and the
// offset within it.
func excerptAround(data []byte, at int) (text string, offset int) {
	const before, after = 60, 60
	begin := bytes.LastIndexByte(data[:at], '\n') + 1
	line, _, _ := bytes.Cut(data[at:], newline)
	end := at + len(bytes.TrimSuffix(line, []byte("\r")))
	begin, end = max(begin, at-before), min(end, at+after)
	for begin < at && !utf8.RuneStart(data[begin]) {
		begin++
	}
	return string(data[begin:end]), at - begin
}
