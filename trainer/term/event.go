package term

import (
	"strings"

	"github.com/gdamore/tcell/v2"

	"flicktally/sim"
)

// Event is an input to a program. Its time is on the clock of the session, which
// starts at 0 and never goes back.
type Event interface{ When() sim.Micros }

// KeyEvent is a press, a repeat or a release of a key. Only a keyHolder gets
// releases, and only if the terminal reports them.
type KeyEvent struct {
	At sim.Micros // when the key's byte was read from the terminal
	// Name is the character typed ("e", "E", "+"), or the name of the key, with
	// its modifiers: "space", "left", "shift-left", "ctrl-c".
	Name string
	Kind KeyKind
}

// KeyboardEvent says whether the terminal reports releases. It is sent to a
// keyHolder, once this is known and whenever it changes.
type KeyboardEvent struct {
	At       sim.Micros
	Releases bool
}

// PointerAction is what the pointer did.
type PointerAction string

// The actions of the pointer.
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

// TickEvent comes at the time that a program requested by its Wake.
type TickEvent struct{ At sim.Micros }

// SourceEvent carries a value that a [Source] posted.
type SourceEvent struct {
	At    sim.Micros
	Value any
}

// When returns the time of the event; for every kind of event.
func (e KeyEvent) When() sim.Micros      { return e.At }
func (e KeyboardEvent) When() sim.Micros { return e.At }
func (e PointerEvent) When() sim.Micros  { return e.At }
func (e ResizeEvent) When() sim.Micros   { return e.At }
func (e TickEvent) When() sim.Micros     { return e.At }
func (e SourceEvent) When() sim.Micros   { return e.At }

// keyName returns the name of a key for [KeyEvent].
func keyName(e *tcell.EventKey) string {
	held := e.Modifiers()
	var name string
	switch e.Key() {
	case tcell.KeyRune:
		name = string(e.Rune())
		if name == " " {
			name = "space"
		}
		held &^= tcell.ModShift // shown by the character
	case tcell.KeyBacktab:
		name, held = "tab", tcell.ModShift
	default:
		name = strings.ToLower(tcell.KeyNames[e.Key()])
		if strings.HasPrefix(name, "ctrl-") {
			held &^= tcell.ModCtrl // part of the name
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

// pointer converts the terminal's reports, which only say which buttons are down,
// to actions.
type pointer struct{ down bool }

// action returns the action of a report; "" for a mere move or a release.
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
