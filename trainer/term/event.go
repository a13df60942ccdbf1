package term

import (
	"strings"

	"github.com/gdamore/tcell/v2"

	"flicktally/sim"
)

// Event is something that happened to a program. Its time is on the clock of
// the session, which starts at 0 and never goes back.
type Event interface{ When() sim.Micros }

// KeyEvent is a press or a repeat of a key. It reports a release only to a
// keyHolder, and only if the terminal does.
type KeyEvent struct {
	At sim.Micros // when the key's byte was read from the terminal
	// Name is the character typed ("e", "E", "+"), or the name of the key, with
	// its modifiers: "space", "left", "shift-left", "ctrl-c".
	Name string
	Kind KeyKind
}

// KeyboardEvent tells a keyHolder whether the terminal reports releases, which
// is unknown until it comes. It can come again.
type KeyboardEvent struct {
	At       sim.Micros
	Releases bool
}

// PointerAction is what the pointer did.
type PointerAction string

// What the pointer can do.
const (
	PointerPress PointerAction = "press"
	PointerDrag  PointerAction = "drag"
	WheelUp      PointerAction = "wheel-up"
	WheelDown    PointerAction = "wheel-down"
)

// PointerEvent is an action of the pointer over a cell.
type PointerEvent struct {
	At     sim.Micros
	X, Y   int
	Action PointerAction
}

// ResizeEvent carries the size of the screen, before the first picture and
// after every change.
type ResizeEvent struct {
	At            sim.Micros
	Width, Height int
}

// TickEvent is the moment that a program requested by its Wake.
type TickEvent struct{ At sim.Micros }

// SourceEvent carries a value that a [Source] posted.
type SourceEvent struct {
	At    sim.Micros
	Value any
}

// When returns the time of the event.
func (e KeyEvent) When() sim.Micros { return e.At }

// When returns the time of the event.
func (e KeyboardEvent) When() sim.Micros { return e.At }

// When returns the time of the event.
func (e PointerEvent) When() sim.Micros { return e.At }

// When returns the time of the event.
func (e ResizeEvent) When() sim.Micros { return e.At }

// When returns the time of the event.
func (e TickEvent) When() sim.Micros { return e.At }

// When returns the time of the event.
func (e SourceEvent) When() sim.Micros { return e.At }

// keyName names a key as in [KeyEvent].
func keyName(e *tcell.EventKey) string {
	held := e.Modifiers()
	var name string
	switch e.Key() {
	case tcell.KeyRune:
		name = string(e.Rune())
		if name == " " {
			name = "space"
		}
		held &^= tcell.ModShift // the character shows it
	case tcell.KeyBacktab:
		name, held = "tab", tcell.ModShift
	default:
		name = strings.ToLower(tcell.KeyNames[e.Key()])
		if strings.HasPrefix(name, "ctrl-") {
			held &^= tcell.ModCtrl // the name has it
		}
	}
	for _, modifier := range []struct {
		mask tcell.ModMask
		name string
	}{{tcell.ModShift, "shift-"}, {tcell.ModCtrl, "ctrl-"}, {tcell.ModAlt, "alt-"}} {
		if held&modifier.mask != 0 {
			name = modifier.name + name
		}
	}
	return name
}

// pointer turns the terminal's reports, which only say what is down, into
// actions.
type pointer struct{ down bool }

// action returns what a report means; "" for a mere move or a release.
func (p *pointer) action(e *tcell.EventMouse) PointerAction {
	wasDown := p.down
	p.down = e.Buttons()&tcell.ButtonPrimary != 0
	switch {
	case e.Buttons()&tcell.WheelUp != 0:
		return WheelUp
	case e.Buttons()&tcell.WheelDown != 0:
		return WheelDown
	case p.down && wasDown:
		return PointerDrag
	case p.down:
		return PointerPress
	default:
		return ""
	}
}
