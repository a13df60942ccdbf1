package mavlink

import (
	"encoding/binary"

	"flicktally/sim"
)

// The framing, as mavlink.io describes it under "Packet serialization".
const (
	magic1     = 0xFE
	magic2     = 0xFD
	header1    = 6  // magic, length, sequence, system, component, message
	header2    = 10 // magic, length, two flags, sequence, system, component, message of 3 bytes
	checksum   = 2
	signature  = 13
	flagSigned = 0x01 // the only incompatibility flag there is

	stampSize = 8
	// maxFrame is the longest frame, with the time before it.
	maxFrame = stampSize + header2 + 255 + checksum + signature
)

// frame is one frame; payload lies in the reader's buffer.
type frame struct {
	stamped    bool
	stamp      sim.Micros // since 1970; 0 if not stamped
	sequence   byte
	system     byte
	component  byte
	message    uint32
	payload    []byte
	length     int  // in bytes, from the stamp to the last byte
	understood bool // it has no flag that may change its meaning
}

// outcome says what the bytes at a position are.
type outcome int

const (
	damaged    outcome = iota // not a frame
	incomplete                // may become a frame with more bytes
	foreign                   // the frame of a message that is not decoded here
	valid                     // a frame of one of the four, with the right check sum
)

// parse looks for a frame, with or without a time before it, at the start of
// data. final says that no more bytes will come.
func parse(data []byte, final bool) (frame, outcome) {
	if !mayBeStamp(data) {
		return parseBare(data, final)
	}
	if len(data) <= stampSize {
		return frame{}, incompleteUnless(final)
	}
	f, what := parseBare(data[stampSize:], final)
	f.length += stampSize
	f.stamped, f.stamp = true, sim.Micros(binary.BigEndian.Uint64(data))
	return f, what
}

// mayBeStamp reports whether data can start with a time: below 2^52 µs, which is
// in the year 2112.
func mayBeStamp(data []byte) bool {
	return len(data) > 0 && data[0] == 0 && (len(data) == 1 || data[1] < 0x10)
}

func incompleteUnless(final bool) outcome {
	if final {
		return damaged
	}
	return incomplete
}

// parseBare looks for a frame that starts with its magic byte.
func parseBare(data []byte, final bool) (frame, outcome) {
	if len(data) == 0 || data[0] != magic1 && data[0] != magic2 {
		return frame{}, damaged
	}
	header := header1
	if data[0] == magic2 {
		header = header2
	}
	if len(data) < header {
		return frame{}, incompleteUnless(final)
	}
	f := readHeader(data)
	if len(data) < f.length {
		return frame{}, incompleteUnless(final)
	}
	payloadEnd := header + int(data[1])
	f.payload = data[header:payloadEnd]
	known, ok := messages[f.message]
	if !ok {
		return f, foreignIfFollowed(data[f.length:], final)
	}
	sum := crc(crc(crcStart, data[1:payloadEnd]), []byte{known.crcExtra})
	if sum != binary.LittleEndian.Uint16(data[payloadEnd:]) {
		return frame{}, damaged
	}
	return f, valid
}

func readHeader(data []byte) frame {
	length := int(data[1])
	if data[0] == magic1 {
		return frame{
			sequence: data[2], system: data[3], component: data[4], message: uint32(data[5]),
			length: header1 + length + checksum, understood: true,
		}
	}
	f := frame{
		sequence: data[4], system: data[5], component: data[6],
		message: uint32(data[7]) | uint32(data[8])<<8 | uint32(data[9])<<16,
		length:  header2 + length + checksum, understood: data[2]&^flagSigned == 0,
	}
	if data[2]&flagSigned != 0 {
		f.length += signature
	}
	return f
}

// foreignIfFollowed judges a frame whose check sum cannot be verified by the
// bytes that follow it.
func foreignIfFollowed(rest []byte, final bool) outcome {
	if len(rest) == 0 && final {
		return foreign
	}
	if mayBeStamp(rest) {
		rest = rest[min(stampSize, len(rest)):]
	}
	switch {
	case len(rest) == 0:
		return incompleteUnless(final)
	case rest[0] == magic1 || rest[0] == magic2:
		return foreign
	}
	return damaged
}

// crcStart and crc are CRC-16/MCRF4XX, the check sum of the standard.
const crcStart = 0xFFFF

func crc(sum uint16, data []byte) uint16 {
	for _, b := range data {
		t := b ^ byte(sum)
		t ^= t << 4
		sum = sum>>8 ^ uint16(t)<<8 ^ uint16(t)<<3 ^ uint16(t)>>4
	}
	return sum
}
