package rigfile

import (
	"fmt"
	"strings"

	"flicktally/sim/excerpt"
	"flicktally/sim/problem"
)

// Error is one fault of a rig file.
type Error struct {
	File string
	// Line and Column count from 1, the column in characters. A fault of a
	// missing key is placed at its table, or else at 1:1.
	Line, Column int
	Key          string // "camera.long_press"; "" if no key is concerned
	Text         string // what was found and what would be accepted

	line string // of the file
	at   int    // offset of the place in line
}

// Error writes "heron.toml:12:14: camera.long_press: found …, want …", on one
// line.
func (e *Error) Error() string { return e.place() + ": " + e.message() }

func (e *Error) place() string {
	return fmt.Sprintf("%s:%d:%d", excerpt.Printable(e.File), e.Line, e.Column)
}

func (e *Error) message() string {
	if e.Key != "" {
		return e.Key + ": " + e.Text
	}
	return e.Text
}

// Explain writes the error and its place with the line, each on its own line.
func (e *Error) Explain() string {
	return excerpt.Explain(e.message(), e.place(), e.line, e.at)
}

// Errors is all faults of a rig file, in file order: each an [Error], with its
// hint. It is not empty.
type Errors []error

// Error writes one line per error.
func (list Errors) Error() string { return list.join(error.Error) }

// Explain writes every error with its place and its hint.
func (list Errors) Explain() string { return list.join(problem.Explain) }

func (list Errors) join(write func(error) string) string {
	var lines []string
	for _, err := range list {
		lines = append(lines, write(err))
	}
	return strings.Join(lines, "\n")
}

// fault is an error whose place is not yet a line and a column: it has a path
// that the document knows, or an offset.
type fault struct {
	path   string
	offset int
	key    string // as in [Error]
	text   string
	hint   string // what to try; may be ""
}
