package joystick

import (
	"encoding/binary"
)

// Types of joystick records, to which jsInitial is added (joystick-api, "2.2
// __u8 type").
const (
	jsButton  = 0x01
	jsAxis    = 0x02
	jsInitial = 0x80

	recordSize = 8 // u32 time in ms, s16 value, u8 type, u8 number
)

// Records decodes joystick records.
type Records struct {
	assembler
	order binary.ByteOrder
	// initial says that the latest record was an initial one. A run of them
	// among others follows an overflow.
	initial bool
	any     bool // there was a record
}

// NewRecords returns a decoder of records in the kernel's byte order. Moves have
// the time at which they were read. After missed records, the kernel has repeated
// the positions as initial moves.
func NewRecords(order binary.ByteOrder) *Records {
	r := &Records{order: order}
	r.assembler = assembler{size: recordSize, record: r.decode}
	return r
}

func (r *Records) decode(b []byte) {
	value, kind, number := int16(r.order.Uint16(b[4:])), b[6], b[7]
	initial := kind&jsInitial != 0
	if initial && !r.initial && r.any {
		r.missed = true
	}
	r.any, r.initial = true, initial
	m := Move{At: r.read, Initial: initial}
	switch kind &^ jsInitial {
	case jsButton:
		m.Control, m.Value = Control{Button, uint16(number)}, buttonWidth(value != 0)
	case jsAxis:
		m.Control, m.Value = Control{Axis, uint16(number)}, fullRange.width(int32(value))
	default:
		return
	}
	r.moves = append(r.moves, m)
}
