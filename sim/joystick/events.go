package joystick

import (
	"encoding/binary"

	"flicktally/sim"
)

// Layout is the memory layout of an input_event: seconds and microseconds, each
// the size of the kernel's long, then type, code and value.
type Layout struct {
	LongSize int // 8 or 4
	Order    binary.ByteOrder
}

// Size returns the size of a record: 24 bytes, or 16.
func (l Layout) Size() int { return 2*l.LongSize + 8 }

// time reads the time of a record. A kernel never gives one beyond the year
// 10000, but other input may.
func (l Layout) time(b []byte) (at sim.Micros, ok bool) {
	const most = 1 << 38 // seconds
	var sec, usec uint64
	if l.LongSize == 8 {
		sec, usec = l.Order.Uint64(b), l.Order.Uint64(b[8:])
	} else {
		sec, usec = uint64(l.Order.Uint32(b)), uint64(l.Order.Uint32(b[4:]))
	}
	return sim.Micros(sec)*sim.Second + sim.Micros(usec), sec < most && usec < most
}

// Types and codes of events, from linux/input-event-codes.h.
const (
	evSyn = 0x00
	evKey = 0x01
	evAbs = 0x03

	synReport  = 0
	synDropped = 3

	keyRepeats = 2
)

// Events decodes event records.
type Events struct {
	assembler
	layout Layout
	ranges map[uint16]Range
	// dropping is set from SYN_DROPPED to the report that follows it: the
	// events in between are useless (Documentation/input/event-codes.rst).
	dropping bool
}

// NewEvents returns a decoder; ranges are those of the axes by their codes. Moves
// have the kernel's time. After missed records, the positions must be read from
// the device.
func NewEvents(layout Layout, ranges map[uint16]Range) *Events {
	e := &Events{layout: layout, ranges: ranges}
	e.assembler = assembler{size: layout.Size(), record: e.decode}
	return e
}

func (e *Events) decode(b []byte) {
	order := e.layout.Order
	at, ok := e.layout.time(b)
	if !ok {
		return
	}
	b = b[2*e.layout.LongSize:]
	kind, code, value := order.Uint16(b), order.Uint16(b[2:]), int32(order.Uint32(b[4:]))
	switch {
	case kind == evSyn && code == synDropped:
		e.dropping = true
	case kind == evSyn && code == synReport && e.dropping:
		e.dropping, e.missed = false, true
	case e.dropping:
	case kind == evAbs:
		e.moves = append(e.moves, e.move(at, Control{Axis, code}, value))
	case kind == evKey && value != keyRepeats:
		e.moves = append(e.moves, e.move(at, Control{Button, code}, value))
	}
}

func (e *Events) move(at sim.Micros, c Control, raw int32) Move {
	if c.Kind == Button {
		return Move{At: at, Control: c, Value: buttonWidth(raw != 0)}
	}
	r, ok := e.ranges[c.Number]
	if !ok {
		r = fullRange
	}
	return Move{At: at, Control: c, Value: r.width(raw)}
}

// Found returns the initial move for a position read from the device: the raw
// value of an axis, or 0 for a button that is up.
func (e *Events) Found(at sim.Micros, c Control, raw int32) Move {
	m := e.move(at, c, raw)
	m.Initial = true
	return m
}
