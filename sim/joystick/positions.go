package joystick

import (
	"encoding/binary"

	"flicktally/sim"
)

// PositionSize is the size of a position record, struct JOYINFOEX of Windows: 13
// numbers of 32 bits. The third to the eighth are six axes, and the ninth has a
// bit for each of 32 buttons.
const PositionSize = 13 * 4

const (
	positionAxes    = 6
	firstAxisAt     = 2 * 4
	buttonsAt       = 8 * 4
	positionButtons = 32
)

// Positions decodes position records. Each record has the positions of all
// controls: a move is a difference from the record before. The first record
// gives initial moves.
type Positions struct {
	assembler
	ranges  [positionAxes]Range
	buttons int // that the device has
	last    [PositionSize]byte
	any     bool // there was a record
}

// NewPositions returns a decoder for a device with axes in these ranges, in the
// order of the record, and the given number of buttons. An axis with an empty
// range does not exist. Moves have the time at which they were read, and none is
// ever missed.
func NewPositions(ranges [6]Range, buttons int) *Positions {
	p := &Positions{ranges: ranges, buttons: min(buttons, positionButtons)}
	p.assembler = assembler{size: PositionSize, record: p.decode}
	return p
}

func (p *Positions) decode(b []byte) {
	for i, r := range p.ranges {
		at := firstAxisAt + 4*i
		raw, was := number(b, at), number(p.last[:], at)
		if r.High > r.Low && (!p.any || raw != was) {
			p.add(Control{Axis, uint16(i)}, r.width(int32(raw)))
		}
	}
	pressed, was := number(b, buttonsAt), number(p.last[:], buttonsAt)
	for i := range p.buttons {
		if bit := uint32(1) << i; !p.any || pressed&bit != was&bit {
			p.add(Control{Button, uint16(i)}, buttonWidth(pressed&bit != 0))
		}
	}
	copy(p.last[:], b)
	p.any = true
}

func (p *Positions) add(c Control, width sim.PulseWidth) {
	p.moves = append(p.moves, Move{At: p.read, Control: c, Value: width, Initial: !p.any})
}

func number(b []byte, at int) uint32 { return binary.LittleEndian.Uint32(b[at:]) }
