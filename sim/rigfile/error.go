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
	Hint         string // what to try; may be ""

	line string // of the file
	at   int    // offset of the place in line
}

// Error writes "heron.toml:12:14: camera.long_press: found …, want …", on one
// line, without the hint.
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

// Hints returns the hint.
func (e *Error) Hints() []string { return []string{e.Hint} }

// Errors is all faults of a rig file, in file order. It is not empty.
type Errors []*Error

// Error writes one line per error.
func (list Errors) Error() string { return list.join((*Error).Error) }

// Explain writes every error with its place and its hint.
func (list Errors) Explain() string {
	return list.join(func(e *Error) string { return problem.Explain(e) })
}

// Hints returns none: each error has its own.
func (list Errors) Hints() []string { return nil }

// Unwrap returns the single errors.
func (list Errors) Unwrap() []error {
	var errs []error
	for _, e := range list {
		errs = append(errs, e)
	}
	return errs
}

func (list Errors) join(write func(*Error) string) string {
	var lines []string
	for _, e := range list {
		lines = append(lines, write(e))
	}
	return strings.Join(lines, "\n")
}

// fault is an error whose place is not yet resolved: it has a path that the
// document knows, or an offset.
type fault struct {
	path   string
	offset int
	text   string
	hint   string
}
