package liveview

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
	"flicktally/trainer/term"
)

// Stream is what the live screen shows.
type Stream interface {
	// Look returns the current moment.
	Look() live.View
	// See adds a glance at the camera's light, Unsee removes the latest; ok is false
	// if no sample has arrived, or there is no glance.
	See(light belief.Light) (g belief.Glance, ok bool)
	Unsee() (g belief.Glance, ok bool)
	// Notice returns a message about the stream; it may be "".
	Notice() string
	// About says what is read and what was left out; it may be "".
	About() string
}

// Screen shows a tally while it happens. It is a [term.Program].
type Screen struct {
	name   string // of the stream
	stream Stream

	view    live.View
	notice  string
	about   string
	message string // the effect of the last key
	leaving bool   // q was pressed once
	help    term.Help
	width   int
	height  int
	wake    sim.Micros
}

// New returns the screen of a stream.
func New(name string, stream Stream) *Screen { return &Screen{name: name, stream: stream} }

// look updates what is shown.
func (l *Screen) look() {
	l.view, l.notice, l.about = l.stream.Look(), l.stream.Notice(), l.stream.About()
}

// see adds a glance at the camera's light.
func (l *Screen) see(light belief.Light) {
	g, ok := l.stream.See(light)
	if !ok {
		l.message = "too early: nothing received yet"
		return
	}
	l.message = fmt.Sprintf("light: %s at %s; u undoes", light, g.At.Clock())
}

func (l *Screen) unsee() {
	g, ok := l.stream.Unsee()
	if !ok {
		l.message = "nothing to undo"
		return
	}
	l.message = "undone: the light at " + g.At.Clock()
}
