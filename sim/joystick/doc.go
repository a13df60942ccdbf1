// Package joystick decodes the records in which game controllers report the
// sticks and switches of a transmitter on USB:
//
//   - Linux's event records, struct input_event of linux/input.h, which have the
//     kernel's time ([NewEvents]);
//   - Linux's older joystick records, struct js_event of
//     kernel.org/doc/Documentation/input/joydev/joystick-api, whose times are
//     coarse ([NewRecords]);
//   - Windows' position records, which have no time ([NewPositions]).
//
// Records of the last two kinds get the time at which they were read. All
// decoders turn bytes into [Move] values, with pulse widths as in a channel log.
// [Finder] determines which control is the switch when the pilot moves it. The
// package opens nothing and reads no clock. It keeps one unfinished record of a
// stream and the latest value of each control, of which there can be 131 072:
// at most 16 MiB.
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

// Control is one axis or button, by its number in the interface.
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
	At      sim.Micros // on the kernel's clock, or on that of the caller
	Control Control
	Value   sim.PulseWidth // 1000 at one end, 2000 at the other; buttons have only these
	// Initial says that this is a position, not a move that was seen. All controls
	// have one when a device is opened and after moves were missed.
	Initial bool
}

// The ends of travel of every control, as in a transmitter's channels.
const (
	lowEnd  sim.PulseWidth = 1000
	highEnd sim.PulseWidth = 2000
)

// Range is the lowest and the highest raw value of an axis.
type Range struct{ Low, High int32 }

// fullRange is the range of an axis in joystick records, which the kernel
// rescales. It also serves for an axis whose range is unknown.
var fullRange = Range{-32767, 32767}

// width turns a raw value into a pulse width. Values beyond the range map
// beyond the ends; an empty range gives the middle.
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

// Decoder turns bytes, split anywhere, into moves.
type Decoder interface {
	// Decode takes the next bytes, read at the given time, and returns the
	// moves of all records now complete. They are valid until the next call. A
	// partial record waits for its rest.
	Decode(data []byte, read sim.Micros) []Move
	// Missed reports, once, that the kernel had to drop records. The positions
	// must be read again or will be repeated; moves before that are left out.
	Missed() bool
	// Torn returns the number of bytes of an unfinished record.
	Torn() int
}

// assembler splits a stream into records of fixed size. It has what all decoders
// have in common.
type assembler struct {
	size   int
	record func(record []byte) // decodes a record
	rest   []byte              // of an unfinished record
	read   sim.Micros          // time at which the bytes were read
	moves  []Move
	missed bool
}

// Decode implements [Decoder].
func (a *assembler) Decode(data []byte, read sim.Micros) []Move {
	a.moves, a.read = a.moves[:0], read
	if len(a.rest) > 0 {
		n := min(a.size-len(a.rest), len(data))
		a.rest = append(a.rest, data[:n]...)
		data = data[n:]
		if len(a.rest) < a.size {
			return nil
		}
		a.record(a.rest)
		a.rest = a.rest[:0]
	}
	for ; len(data) >= a.size; data = data[a.size:] {
		a.record(data[:a.size])
	}
	a.rest = append(a.rest, data...)
	return a.moves
}

// Missed implements [Decoder].
func (a *assembler) Missed() bool {
	missed := a.missed
	a.missed = false
	return missed
}

// Torn implements [Decoder].
func (a *assembler) Torn() int { return len(a.rest) }
