// Package problem marks errors with their kind and with hints for the user.
// [Explain] writes an error with its hints.
package problem

import (
	"errors"
	"regexp"
	"strings"

	"flicktally/sim/excerpt"
)

// kind is the kind of an error. It decides the exit code.
type kind int

// The kinds.
const (
	Failed     kind = iota // an operation failed; also the kind of every unmarked error
	Usage                  // the command line or the rig is wrong
	Unreadable             // a log cannot be read
)

// marked is an error with its kind and hints.
type marked struct {
	kind  kind
	err   error
	hints []string
}

func (e *marked) Error() string { return e.err.Error() }
func (e *marked) Unwrap() error { return e.err }

// Hinted adds a hint to an error; "" adds none.
func Hinted(err error, hint string) error {
	if hint == "" {
		return err
	}
	return &marked{KindOf(err), err, []string{hint}}
}

// WrongUsage marks an error as one in the command line or the rig.
func WrongUsage(err error, hints ...string) error { return &marked{Usage, err, hints} }

// CannotRead marks an error as one in a log.
func CannotRead(err error, hints ...string) error { return &marked{Unreadable, err, hints} }

// KindOf returns the kind of an error.
func KindOf(err error) kind {
	var m *marked
	if errors.As(err, &m) {
		return m.kind
	}
	return Failed
}

// IsMarked reports whether an error has a kind or a hint.
func IsMarked(err error) bool {
	var m *marked
	return errors.As(err, &m)
}

// explained is an error that shows its place in an input. If it joins several errors,
// it also writes their hints.
type explained interface{ Explain() string }

// placed is an error that begins with its place.
var placed = regexp.MustCompile(`^((?:standard input|(?:[A-Za-z]:[\\/])?[^\s:]+):\d+(?::\d+)?): (.+)`)

// Explain writes an error, its place if any, and its hints, each on separate
// lines.
func Explain(err error) string {
	text := err.Error()
	var place explained
	if errors.As(err, &place) {
		text = place.Explain()
	} else if parts := placed.FindStringSubmatch(text); parts != nil {
		text = parts[2] + "\n  in " + excerpt.Place(parts[1]) + text[len(parts[0]):]
	}
	return text + hintsOf(err)
}

// hintsOf lists the hints of an error, those of its cause first.
func hintsOf(err error) string {
	var text strings.Builder
	switch e := err.(type) {
	case *marked:
		text.WriteString(hintsOf(e.err))
		for _, hint := range e.hints {
			text.WriteString("\n  → " + hint)
		}
	case interface{ Unwrap() error }:
		return hintsOf(e.Unwrap())
	case interface{ Unwrap() []error }:
		for _, part := range e.Unwrap() {
			text.WriteString(hintsOf(part))
		}
	}
	return text.String()
}
