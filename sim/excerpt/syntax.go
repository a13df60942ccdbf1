package excerpt

import "fmt"

// SyntaxError is a place in an input that cannot be read.
type SyntaxError struct {
	File string
	// Line and Column are where the fault starts. They count from 1, the column
	// in bytes.
	Line, Column int
	Found, Want  string // printable
	// Text is the line, or the part of it around the place, as it is in the
	// input; "" if it would show nothing.
	Text string
	At   int // offset of the place in Text
}

// Error writes "heron.csv:12:9: found …, want …", on one line.
func (e *SyntaxError) Error() string { return e.place() + ": " + e.message() }

func (e *SyntaxError) place() string {
	return fmt.Sprintf("%s:%d:%d", Printable(e.File), e.Line, e.Column)
}

func (e *SyntaxError) message() string { return "found " + e.Found + ", want " + e.Want }

// Explain writes the error, and on the next line its place with the text there.
func (e *SyntaxError) Explain() string { return Explain(e.message(), e.place(), e.Text, e.At) }
