package session

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/require"

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

// The signal of telemetry with two values a second counts as lost after three steps
// (M2), whether the stream is plain or compressed, and arrives at once or byte by byte.
func TestSlowTelemetryIsGivenTime(t *testing.T) {
	var plainly, zipped bytes.Buffer
	zip := gzip.NewWriter(&zipped)
	var rows, pieces [][]byte
	for i := range 20 {
		row := telemetry(1, byte(i), sim.Micros(i)*500*ms, 1000)
		rows = append(rows, row)
		plainly.Write(row)
		before := zipped.Len()
		_, err := zip.Write(row)
		require.NoError(t, err)
		require.NoError(t, zip.Flush())
		pieces = append(pieces, bytes.Clone(zipped.Bytes()[before:]))
	}
	before := zipped.Len()
	require.NoError(t, zip.Close())
	pieces = append(pieces, zipped.Bytes()[before:])
	opts := plain
	opts.Source.Spec.Channel = "aux2"
	for name, pieces := range map[string][][]byte{
		"plain": {plainly.Bytes()}, "rows": rows, "gzip": {zipped.Bytes()}, "gzip, a byte first": {zipped.Bytes()[:1], zipped.Bytes()[1:]}, "gzip, row by row": pieces,
	} {
		t.Run(name, func(t *testing.T) {
			a := takeOff(t, firstSeconds, opts)
			for _, piece := range pieces {
				a.come(string(piece))
				a.wait(500 * ms)
			}
			replay := a.land()[0].Replay
			require.Equal(t, 1500*ms, replay.Rig.SignalLoss.StaleAfter)
			require.Equal(t, 20, replay.Samples.Count)
			require.Empty(t, replay.Lost)
		})
	}
}
