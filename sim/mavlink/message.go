package mavlink

import (
	"encoding/binary"

	"flicktally/sim"
)

// Numbers of the messages.
const (
	msgHeartbeat      = 0
	msgRCChannelsRaw  = 35
	msgServoOutputRaw = 36
	msgRCChannels     = 65
)

// message describes a message of the standard.
type message struct {
	crcExtra byte // ends the check sum
	length   int  // with all extensions
}

// messages has the four; the numbers are from minimal.xml and common.xml.
var messages = map[uint32]message{
	msgHeartbeat:      {50, 9},
	msgRCChannelsRaw:  {244, 22},
	msgServoOutputRaw: {222, 37},
	msgRCChannels:     {118, 42},
}

// payload is a payload padded with zeros to full length: version 2 cuts off
// trailing zeros, and version 1 lacks the extensions.
type payload [42]byte

func fullPayload(f frame) payload {
	var p payload
	copy(p[:messages[f.message].length], f.payload)
	return p
}

func (p *payload) uint16(at int) uint16 { return binary.LittleEndian.Uint16(p[at:]) }

func (p *payload) uint32(at int) uint32 { return binary.LittleEndian.Uint32(p[at:]) }

// width reads a channel or an output. 65535 marks an unused one by the
// standard; real recordings use 0 as well.
func (p *payload) width(at int) sim.PulseWidth {
	switch v := p.uint16(at); v {
	case 0, 65535:
		return sim.Absent
	default:
		return sim.PulseWidth(v)
	}
}

// heartbeat reports whether the sender is armed and whether it is a flight
// controller. Ground stations, cameras and gimbals send heartbeats too.
func (p *payload) heartbeat() (armed, flies bool) {
	const noAutopilot, armedFlag = 8, 128
	return p[6]&armedFlag != 0, p[5] != noAutopilot
}

// value returns the line's value in the message; ok is false if the message
// does not carry it.
func (p *payload) value(message uint32, l Line) (v sim.PulseWidth, ok bool) {
	switch {
	case message == msgRCChannels && !l.Output:
		return p.width(4 + 2*(l.Number-1)), true
	case message == msgRCChannelsRaw && !l.Output:
		// Port p holds the channels from 8·p + 1 on.
		i := l.Number - 1 - 8*int(p[20])
		if i < 0 || i > 7 {
			return 0, false
		}
		return p.width(4 + 2*i), true
	case message == msgServoOutputRaw && l.Output && int(p[20]) == l.Port:
		if l.Number > 8 {
			return p.width(21 + 2*(l.Number-9)), true
		}
		return p.width(4 + 2*(l.Number-1)), true
	default:
		return 0, false
	}
}

// clock returns the sender's time in the message.
func (p *payload) clock(message uint32) sim.Micros {
	if message == msgServoOutputRaw {
		return sim.Micros(p.uint32(0))
	}
	return sim.Micros(p.uint32(0)) * sim.Millisecond
}
