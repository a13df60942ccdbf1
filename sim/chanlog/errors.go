package chanlog

import (
	"bytes"
	"errors"
	"unicode/utf8"

	"flicktally/sim/excerpt"
)

// SyntaxError is a place in a log that cannot be read: the start of the wrong
// field, or of its line. It shows at most 120 bytes of the line.
type SyntaxError struct {
	excerpt.SyntaxError
	Skippable bool // a lenient reader would skip the place and continue
	Misfit    bool // the log lacks a requested column
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
