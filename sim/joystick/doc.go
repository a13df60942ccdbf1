// Package joystick decodes the records of the two Linux interfaces for game
// controllers, through which a transmitter on USB shows its sticks and switches:
//
//   - event records, struct input_event of linux/input.h, which carry the
//     kernel's time ([NewEvents]);
//   - the older joystick records, struct js_event of
//     kernel.org/doc/Documentation/input/joydev/joystick-api, whose own times are
//     coarse, so that they are stamped when they are read ([NewRecords]).
//
// Both turn bytes into [Move] values, which have pulse widths as a channel log
// has them. [Finder] tells which control is the switch when the pilot moves it.
// The package opens nothing and asks no clock. Of a stream it keeps one unfinished
// record, and of each control, of which there can be 131 072, its latest value: 16 MiB at most.
package joystick

import (
	"strconv"

	"flicktally/sim"
)

// Kind is a kind of control.
type Kind byte

// The kinds.
const (
	Axis Kind = iota
	Button
)

// Control is one axis or button, by the number that its interface gives it.
type Control struct {
	Kind   Kind
	Number uint16
}

// String writes "axis 2" or "button 288".
func (c Control) String() string {
	if c.Kind == Axis {
		return "axis " + strconv.Itoa(int(c.Number))
	}
	return "button " + strconv.Itoa(int(c.Number))
}

// Move is a control's new position.
type Move struct {
	At      sim.Micros // on the clock of the kernel, or of the caller who stamps
	Control Control
	Value   sim.PulseWidth // 1000 at one end, 2000 at the other; buttons know only these
	// Initial marks a position that was found, not a movement that was seen: all
	// controls when a device is opened, or after moves were missed.
	Initial bool
}

// The ends of every control, as a transmitter's channels have them.
const (
	lowEnd  sim.PulseWidth = 1000
	highEnd sim.PulseWidth = 2000
)

// Range is the lowest and the highest raw value of an axis.
type Range struct{ Low, High int32 }

// fullRange is that of an axis of joystick records, which the kernel rescales,
// and what is taken for an axis of which nothing is known.
var fullRange = Range{-32767, 32767}

// width turns a raw value into a pulse width. Values beyond the range go beyond
// the ends; a range that is none gives the middle.
func (r Range) width(raw int32) sim.PulseWidth {
	if r.High <= r.Low {
		return (lowEnd + highEnd) / 2
	}
	share := (float64(raw) - float64(r.Low)) / (float64(r.High) - float64(r.Low))
	return lowEnd + sim.PulseWidth(share)*(highEnd-lowEnd)
}

func buttonWidth(pressed bool) sim.PulseWidth {
	if pressed {
		return highEnd
	}
	return lowEnd
}

// Decoder turns bytes, cut anywhere, into moves.
type Decoder interface {
	// Decode takes the next bytes, read at a time, and returns the moves of all
	// records that are whole by now; they are valid until the next call. What is
	// left of a record waits for its rest.
	Decode(data []byte, read sim.Micros) []Move
	// Missed reports, once, that the kernel had to drop records: the positions
	// must be read again, or come again by themselves. What comes before
	// they do is left out.
	Missed() bool
	// Torn returns how many bytes of an unfinished record wait.
	Torn() int
}

// assembler cuts a stream into records of one size.
type assembler struct {
	size int
	rest []byte
}

func (a *assembler) each(data []byte, record func([]byte)) {
	if len(a.rest) > 0 {
		n := min(a.size-len(a.rest), len(data))
		a.rest = append(a.rest, data[:n]...)
		data = data[n:]
		if len(a.rest) < a.size {
			return
		}
		record(a.rest)
		a.rest = a.rest[:0]
	}
	for ; len(data) >= a.size; data = data[a.size:] {
		record(data[:a.size])
	}
	a.rest = append(a.rest, data...)
}

// Torn returns how many bytes wait.
func (a *assembler) Torn() int { return len(a.rest) }
