package session

import (
	"encoding/binary"

	"flicktally/sim"
)

// telemetry is a frame of MAVLink version 1 with RC_CHANNELS_RAW (message 35 of
// common.xml: u32 time_boot_ms, eight u16, u8 port, u8 rssi), whose sixth channel
// is given. Its check sum is CRC-16/MCRF4XX, which ends with the message's extra
// byte 244 (mavlink.io, "Packet serialization").
func telemetry(system, sequence byte, at sim.Micros, value uint16) []byte {
	p := make([]byte, 22)
	binary.LittleEndian.PutUint32(p, uint32(at/sim.Millisecond))
	binary.LittleEndian.PutUint16(p[4+2*5:], value)
	frame := append([]byte{0xfe, 22, sequence, system, 1, 35}, p...)
	sum := uint16(0xffff)
	for _, b := range append(frame[1:len(frame):len(frame)], 244) {
		b ^= byte(sum)
		b ^= b << 4
		sum = sum>>8 ^ uint16(b)<<8 ^ uint16(b)<<3 ^ uint16(b)>>4
	}
	return binary.LittleEndian.AppendUint16(frame, sum)
}
