// Package problem marks errors with their kind and with hints. Hints are added
// where an error arises; [Explain] writes them for the user.
package problem

import (
	"errors"
	"regexp"

	"flicktally/sim/excerpt"
)

// kind says who can fix an error.
type kind int

// The kinds.
const (
	Failed     kind = iota // something did not work; also every unmarked error
	Usage                  // the command line or the rig is wrong
	Unreadable             // a log cannot be read
)

// marked is an error with its kind and hints.
type marked struct {
	kind  kind
	err   error
	hints []string
}

func (e *marked) Error() string   { return e.err.Error() }
func (e *marked) Unwrap() error   { return e.err }
func (e *marked) Hints() []string { return e.hints }

// Hinted adds a hint to an error.
func Hinted(err error, hints ...string) error { return &marked{KindOf(err), err, hints} }

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

// explained is an error that shows its place in an input.
type explained interface{ Explain() string }

// hinted is an error with hints of its own.
type hinted interface {
	error
	Hints() []string
}

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
	var h hinted
	if !errors.As(err, &h) {
		return ""
	}
	text := hintsOf(errors.Unwrap(h))
	for _, hint := range h.Hints() {
		if hint != "" {
			text += "\n  → " + hint
		}
	}
	return text
}
