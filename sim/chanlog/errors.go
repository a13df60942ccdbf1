package chanlog

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"unicode/utf8"

	"flicktally/sim/excerpt"
)

// SyntaxError is a place in a log that cannot be read. Its texts are printable:
// unprintable characters of the log are escaped or replaced.
type SyntaxError struct {
	File string
	// Line and Column count from 1, the column in bytes. They are those of the
	// start of the wrong field, or of the line.
	Line, Column int
	Found, Want  string
	// Skippable says that a lenient reader would leave out the place and go on.
	Skippable bool
	// Misfit says that the columns are not those that were asked for.
	Misfit bool
	// Text is the line around the column, as it is in the log, at most 120
	// bytes of it; "" if that would show nothing.
	Text string

	at int // offset of the column in Text
}

// Error writes "heron.csv:12:9: found …, want …", on one line.
func (e *SyntaxError) Error() string { return e.place() + ": " + e.message() }

func (e *SyntaxError) place() string {
	return fmt.Sprintf("%s:%d:%d", excerpt.Printable(e.File), e.Line, e.Column)
}

func (e *SyntaxError) message() string { return "found " + e.Found + ", want " + e.Want }

// Explain writes the error and its place with the line, each on a line of its
// own.
func (e *SyntaxError) Explain() string {
	return excerpt.Explain(e.message(), e.place(), e.Text, e.at)
}

// ErrBreaksOff says that a compressed log ends too early. A lenient reader uses
// what came before.
var ErrBreaksOff = errors.New("the compressed log breaks off")

// maxShown is the most bytes of a field that a message shows.
const maxShown = 40

// quoteShort quotes a text of the log for a message.
func quoteShort[T string | []byte](text T) string {
	if len(text) <= maxShown {
		return strconv.Quote(string(text))
	}
	return strconv.Quote(string(text[:maxShown])) + "…"
}

// excerptAround cuts the line around an offset of data.
func excerptAround(data []byte, at int) (text string, offset int) {
	const before, after = 60, 60
	begin := bytes.LastIndexByte(data[:at], '\n') + 1
	end := len(data)
	if i := bytes.IndexByte(data[at:], '\n'); i >= 0 {
		end = at + i
	}
	if end > begin && data[end-1] == '\r' && end > at {
		end--
	}
	begin, end = max(begin, at-before), min(end, at+after)
	for begin < at && !utf8.RuneStart(data[begin]) {
		begin++
	}
	return string(data[begin:end]), at - begin
}
