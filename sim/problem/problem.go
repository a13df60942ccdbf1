// Package problem says of an error whose it is, and what to try. Wherever an error
// arises, it takes its hints along; whoever shows it to the person calls [Explain].
package problem

import (
	"errors"
	"regexp"
	"strings"

	"flicktally/sim/excerpt"
)

// kind says whose an error is.
type kind int

// The kinds.
const (
	Failed     kind = iota // something did not work; that of every other error
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

// Hinted adds to an error what to try.
func Hinted(err error, hints ...string) error { return &marked{KindOf(err), err, hints} }

// WrongUsage marks an error in the command line or the rig.
func WrongUsage(err error, hints ...string) error { return &marked{Usage, err, hints} }

// CannotRead marks an error in a log.
func CannotRead(err error, hints ...string) error { return &marked{Unreadable, err, hints} }

// KindOf returns the kind of an error.
func KindOf(err error) kind {
	var m *marked
	if errors.As(err, &m) {
		return m.kind
	}
	return Failed
}

// IsMarked reports whether it was said whose an error is, or what to try.
func IsMarked(err error) bool {
	var m *marked
	return errors.As(err, &m)
}

// explained is an error that shows the place that it is about, and what to try.
type explained interface{ Explain() string }

// placed is an error that begins with its place.
var placed = regexp.MustCompile(`^((?:standard input|(?:[A-Za-z]:[\\/])?[^\s:]+):\d+(?::\d+)?): (.+)`)

// Explain writes an error, its place where it has one, and what to try, each on
// lines of their own.
func Explain(err error) string {
	text := err.Error()
	var place explained
	if errors.As(err, &place) {
		text = place.Explain()
	} else {
		if parts := placed.FindStringSubmatch(text); parts != nil {
			text = parts[2] + "\n  in " + excerpt.Place(parts[1]) + text[len(parts[0]):]
		}
	}
	return text + hintsOf(err)
}

// hintsOf writes the hints of an error, those of what caused it first.
func hintsOf(err error) string {
	var m *marked
	if !errors.As(err, &m) {
		return ""
	}
	var text strings.Builder
	text.WriteString(hintsOf(m.err))
	for _, hint := range m.hints {
		text.WriteString(excerpt.Hint(hint))
	}
	return text.String()
}
