package mavlink

import (
	"bufio"
	"encoding/hex"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// golden returns the frames of testdata/frames.txt, by name. They were made
// with the MAVLink C library; the file says how.
func golden(t testing.TB) map[string][]byte {
	file, err := os.Open("testdata/frames.txt")
	require.NoError(t, err)
	defer file.Close()
	frames := map[string][]byte{}
	for lines := bufio.NewScanner(file); lines.Scan(); {
		words := strings.Fields(lines.Text())
		if !strings.HasPrefix(words[0], "v") {
			continue
		}
		bytes, err := hex.DecodeString(words[len(words)-1])
		require.NoError(t, err)
		frames[strings.Join(words[:len(words)-2], " ")] = bytes
	}
	require.Len(t, frames, 12)
	return frames
}

// The check value of CRC-16/MCRF4XX, as the C library gives it.
func TestCRC(t *testing.T) {
	require.Equal(t, uint16(0x6F91), crc(crcStart, []byte("123456789")))
}

func TestParseGoldenFrames(t *testing.T) {
	for name, data := range golden(t) {
		t.Run(name, func(t *testing.T) {
			f, what := parse(data, false)
			require.Equal(t, valid, what)
			require.Equal(t, len(data), f.length)
			require.True(t, f.understood)
			require.Zero(t, f.stamp)
			for n := range data {
				_, what := parse(data[:n], false)
				if n > 0 {
					require.Equal(t, incomplete, what, "the first %d bytes", n)
				}
				_, what = parse(data[:n], true)
				require.Equal(t, damaged, what, "the first %d bytes and no more", n)
			}
		})
	}
}

// A single flipped bit of a frame is always found: the check sum covers all but the
// magic byte.
func TestParseFindsEveryFlippedBit(t *testing.T) {
	for name, data := range golden(t) {
		for bit := range 8 * len(data) {
			spoilt := append([]byte{}, data...)
			spoilt[bit/8] ^= 1 << (bit % 8)
			_, what := parse(spoilt, true)
			require.NotEqual(t, valid, what, "%s, bit %d", name, bit)
		}
	}
}

func TestParseFraming(t *testing.T) {
	heartbeat := golden(t)["v2 HEARTBEAT armed"]
	unknown := frameV1(1, 1, 200, []byte{1, 2, 3})
	stamp := []byte{0, 5, 0xF0, 1, 2, 3, 4, 5}
	signed := frameV2(flagSigned, 7, 1, 1, msgHeartbeat, make([]byte, 9))
	signed = append(signed, make([]byte, signature)...)
	for _, test := range []struct {
		rule  string
		data  []byte
		final bool
		want  outcome
		bytes int
	}{
		{"a time may come before a frame", join(stamp, heartbeat), false, valid, 8 + len(heartbeat)},
		{"half a time may become one", stamp[:3], false, incomplete, 0},
		{"half a time at the end is none", stamp[:3], true, damaged, 0},
		{"a time beyond 2112 is none", join([]byte{0, 0x10}, stamp[2:], heartbeat), false, damaged, 0},
		{"a signature belongs to its frame", signed, false, valid, len(signed)},
		{"a foreign frame waits for what follows", unknown, false, incomplete, 0},
		{"a foreign frame at the end", unknown, true, foreign, len(unknown)},
		{"a foreign frame before a frame", join(unknown, heartbeat), false, foreign, len(unknown)},
		{"a foreign frame before a time and a frame", join(unknown, stamp, heartbeat), false, foreign, len(unknown)},
		{"a foreign frame before half a time", join(unknown, stamp[:4]), false, incomplete, 0},
		{"a foreign frame before anything else is none", join(unknown, []byte{7}), false, damaged, 0},
		{"no magic byte", []byte{7, 8, 9}, false, damaged, 0},
	} {
		t.Run(test.rule, func(t *testing.T) {
			f, what := parse(test.data, test.final)
			require.Equal(t, test.want, what)
			if what == valid || what == foreign {
				require.Equal(t, test.bytes, f.length)
			}
		})
	}
	f, _ := parse(join(stamp, heartbeat), false)
	require.EqualValues(t, 0x0005F00102030405, f.stamp)
	f, _ = parse(frameV2(2, 0, 1, 1, msgHeartbeat, make([]byte, 9)), false)
	require.False(t, f.understood, "a flag that may change the meaning of the frame")
}

func join(parts ...[]byte) []byte {
	var all []byte
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// frameV1 and frameV2 make frames, which the golden frames check.
func frameV1(sequence, system byte, message byte, payload []byte) []byte {
	return seal(append([]byte{magic1, byte(len(payload)), sequence, system, 1, message}, payload...), uint32(message))
}

func frameV2(incompat, sequence, system, component byte, message uint32, payload []byte) []byte {
	for len(payload) > 1 && payload[len(payload)-1] == 0 {
		payload = payload[:len(payload)-1]
	}
	return seal(append([]byte{
		magic2, byte(len(payload)), incompat, 0, sequence, system, component,
		byte(message), byte(message >> 8), byte(message >> 16),
	}, payload...), message)
}

func seal(data []byte, message uint32) []byte {
	sum := crc(crc(crcStart, data[1:]), []byte{messages[message].crcExtra})
	return append(data, byte(sum), byte(sum>>8))
}

func TestFramesOfTheTests(t *testing.T) {
	for name, want := range golden(t) {
		f, _ := parse(want, false)
		got := frameV1(f.sequence, f.system, byte(f.message), f.payload)
		if want[0] == magic2 {
			got = frameV2(0, f.sequence, f.system, f.component, f.message, f.payload)
		} else {
			got[4] = f.component
			got = seal(got[:len(got)-2], f.message)
		}
		require.Equal(t, want, got, name)
	}
}
