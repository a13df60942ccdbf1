package mavlink

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// absent stands for no value in expected samples, since NaN equals nothing.
const absent = -1

func known(v sim.PulseWidth) sim.PulseWidth {
	if math.IsNaN(float64(v)) {
		return absent
	}
	return v
}

type sample struct {
	segment        int
	at             sim.Micros
	channel, armed sim.PulseWidth
}

func readAll(r *Reader) ([]sample, error) {
	var all []sample
	for {
		block, err := r.Next()
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = nil
			}
			return all, err
		}
		for _, s := range block.Samples {
			all = append(all, sample{block.Segment, s.At, known(s.Channel), known(s.Armed)})
		}
	}
}

func mustLine(t testing.TB, name string) Line {
	l, err := ParseLine(name)
	require.NoError(t, err)
	return l
}

func requireReads(t *testing.T, data []byte, line string, want []sample) Summary {
	t.Helper()
	whole := NewReader(bytes.NewReader(data), "heron.tlm", Options{Line: mustLine(t, line)})
	got, err := readAll(whole)
	require.NoError(t, err)
	require.Equal(t, want, got)
	sum := whole.Summary()
	require.Equal(t, int64(len(data)), sum.Bytes)
	require.Equal(t, sum.Bytes, sum.FrameBytes+sum.Damaged, "every byte is counted")

	inBytes := NewReader(iotest.OneByteReader(bytes.NewReader(data)), "heron.tlm", Options{Line: mustLine(t, line)})
	got, err = readAll(inBytes)
	require.NoError(t, err)
	require.Equal(t, want, got, "one byte at a time")
	require.Equal(t, sum, inBytes.Summary())
	return sum
}

// The golden frames contain 1500 1500 1000 1500 1000 2000 1500 1000 at
// 123456 ms, or at 123456789 µs for the outputs.
func TestReaderGoldenFrames(t *testing.T) {
	frames := golden(t)
	for _, version := range []string{"v1 ", "v2 "} {
		for number, want := range []sim.PulseWidth{1500, 1500, 1000, 1500, 1000, 2000, 1500, 1000} {
			chanN, servoN := Line{Number: number + 1}, Line{Output: true, Number: number + 1}
			requireReads(t, frames[version+"RC_CHANNELS"], chanN.String(), []sample{{1, 0, want, absent}})
			requireReads(t, frames[version+"RC_CHANNELS_RAW"], chanN.String(), []sample{{1, 0, want, absent}})
			requireReads(t, frames[version+"SERVO_OUTPUT_RAW"], servoN.String(), []sample{{1, 0, want, absent}})
		}
		for number := 9; number <= 18; number++ {
			requireReads(t, frames[version+"RC_CHANNELS"], Line{Number: number}.String(), []sample{{1, 0, absent, absent}})
		}
		armed := join(frames[version+"HEARTBEAT armed"], frames[version+"RC_CHANNELS"], frames[version+"HEARTBEAT disarmed"], frames[version+"RC_CHANNELS"])
		requireReads(t, armed, "aux2", []sample{{1, 0, 2000, armedValue}, {1, 0, 2000, disarmed}})

		p := fullPayload(mustParse(t, frames[version+"RC_CHANNELS"]))
		require.Equal(t, 123456*sim.Millisecond, p.clock(msgRCChannels))
		p = fullPayload(mustParse(t, frames[version+"SERVO_OUTPUT_RAW"]))
		require.Equal(t, 123456789*sim.Microsecond, p.clock(msgServoOutputRaw))
	}
}

func mustParse(t *testing.T, data []byte) frame {
	f, what := parse(data, false)
	require.Equal(t, valid, what)
	return f
}

// channels makes an RC_CHANNELS frame whose channel 6 is given.
func channels(sequence, system byte, ms uint32, aux2 uint16) []byte {
	p := make([]byte, 42)
	binary.LittleEndian.PutUint32(p, ms)
	binary.LittleEndian.PutUint16(p[4+2*5:], aux2)
	p[40] = 8
	return frameV2(0, sequence, system, 1, msgRCChannels, p)
}

// raw makes an RC_CHANNELS_RAW frame whose channel 6 is given.
func raw(sequence, system byte, ms uint32, aux2 uint16) []byte {
	p := make([]byte, 22)
	binary.LittleEndian.PutUint32(p, ms)
	binary.LittleEndian.PutUint16(p[4+2*5:], aux2)
	return frameV2(0, sequence, system, 1, msgRCChannelsRaw, p)
}

func heartbeat(sequence, system, autopilot, mode byte) []byte {
	return frameV2(0, sequence, system, 1, msgHeartbeat, []byte{0, 0, 0, 0, 2, autopilot, mode, 4, 3})
}

func outputs(sequence, port byte, us uint32, servo5, servo12 uint16) []byte {
	p := make([]byte, 37)
	binary.LittleEndian.PutUint32(p, us)
	binary.LittleEndian.PutUint16(p[4+2*4:], servo5)
	p[20] = port
	binary.LittleEndian.PutUint16(p[21+2*3:], servo12)
	return frameV2(0, sequence, 1, 1, msgServoOutputRaw, p)
}

func stamped(us uint64, frame []byte) []byte {
	return append(binary.BigEndian.AppendUint64(nil, us), frame...)
}

func TestReaderTime(t *testing.T) {
	const epoch = 1_764_000_000_000_000 // a day in 2025
	for _, test := range []struct {
		rule string
		data []byte
		want []sample
	}{
		{"counts from the first sample", join(channels(0, 1, 5000, 1000), channels(1, 1, 5020, 2000)),
			[]sample{{1, 0, 1000, absent}, {1, 20_000, 2000, absent}}},
		{"the sender's time, not that of the recording",
			join(stamped(epoch, channels(0, 1, 5000, 1000)), stamped(epoch, channels(1, 1, 5020, 2000)), stamped(epoch+900_000, channels(2, 1, 5040, 1000))),
			[]sample{{1, 0, 1000, absent}, {1, 20_000, 2000, absent}, {1, 40_000, 1000, absent}}},
		{"the time of the recording where the sender has none",
			join(stamped(epoch, channels(0, 1, 0, 1000)), stamped(epoch+33_333, channels(1, 1, 0, 2000))),
			[]sample{{1, 0, 1000, absent}, {1, 33_333, 2000, absent}}},
		{"an overtaken frame is left out", join(channels(0, 1, 5000, 1000), channels(2, 1, 5040, 2000), channels(1, 1, 5020, 1000), channels(3, 1, 5060, 2000)),
			[]sample{{1, 0, 1000, absent}, {1, 40_000, 2000, absent}, {1, 60_000, 2000, absent}}},
		{"equal times are passed on", join(channels(0, 1, 5000, 1000), channels(1, 1, 5000, 2000)),
			[]sample{{1, 0, 1000, absent}, {1, 0, 2000, absent}}},
		{"what repeats an instant counts once", join(channels(0, 1, 5000, 1000), raw(1, 1, 5000, 1000), channels(2, 1, 5020, 2000), raw(3, 1, 5020, 2000), raw(4, 1, 5040, 2000)),
			[]sample{{1, 0, 1000, absent}, {1, 20_000, 2000, absent}, {1, 40_000, 2000, absent}}},
		{"a restart at the same instant of its segment is none", join(channels(0, 1, 5000, 1000), channels(1, 1, 100, 1000), channels(2, 1, 100, 1000)),
			[]sample{{1, 0, 1000, absent}, {2, 0, 1000, absent}}},
		{"one wild time is left out", join(channels(0, 1, 50000, 1000), channels(1, 1, 900000, 2000), channels(2, 1, 50020, 1000), channels(3, 1, 700, 2000), channels(4, 1, 50040, 1000), channels(5, 1, 49999, 2000)),
			[]sample{{1, 0, 1000, absent}, {1, 20_000, 1000, absent}, {1, 40_000, 1000, absent}}},
		{"after a silence", join(channels(0, 1, 50000, 1000), channels(1, 1, 70000, 2000), channels(2, 1, 70020, 1000)),
			[]sample{{1, 0, 1000, absent}, {1, 20_000_000, 2000, absent}, {1, 20_020_000, 1000, absent}}},
		{"a restart begins a segment", join(channels(0, 1, 50000, 1000), channels(1, 1, 800, 2000), channels(2, 1, 900, 1000)),
			[]sample{{1, 0, 1000, absent}, {2, 0, 2000, absent}, {2, 100_000, 1000, absent}}},
		{"the counter of milliseconds wraps", join(channels(0, 1, math.MaxUint32-9, 1000), channels(1, 1, 10, 2000), channels(2, 1, math.MaxUint32, 1500), channels(3, 1, 30, 1000)),
			[]sample{{1, 0, 1000, absent}, {1, 20_000, 2000, absent}, {1, 40_000, 1000, absent}}},
	} {
		t.Run(test.rule, func(t *testing.T) { requireReads(t, test.data, "chan6", test.want) })
	}
	t.Run("the counter of microseconds wraps", func(t *testing.T) {
		requireReads(t, join(outputs(0, 0, math.MaxUint32, 1000, 0), outputs(1, 0, 999, 2000, 0)), "servo5",
			[]sample{{1, 0, 1000, absent}, {1, 1000, 2000, absent}})
	})
}

func TestReaderChoosesTheSystem(t *testing.T) {
	const anyAutopilot, noAutopilot, armed = 3, 8, 128
	t.Run("the first that sends the channel", func(t *testing.T) {
		sum := requireReads(t, join(channels(0, 7, 100, 1000), channels(0, 9, 110, 2000), channels(1, 7, 120, 1500)), "chan6",
			[]sample{{1, 0, 1000, absent}, {1, 20_000, 1500, absent}})
		require.Equal(t, uint8(7), sum.System)
		require.Equal(t, []SystemFrames{{7, 2}, {9, 1}}, sum.Systems)
	})
	t.Run("no ground station without a value", func(t *testing.T) {
		sum := requireReads(t, join(golden(t)["v2 RC_CHANNELS all-zero"], channels(0, 7, 100, 1000)), "chan6", []sample{{1, 0, 1000, absent}})
		require.Equal(t, uint8(7), sum.System)
	})
	t.Run("the one asked for", func(t *testing.T) {
		r := NewReader(bytes.NewReader(join(channels(0, 7, 100, 1000), channels(0, 9, 110, 2000))), "", Options{Line: Line{Number: 6}, System: 9})
		got, err := readAll(r)
		require.NoError(t, err)
		require.Equal(t, []sample{{1, 0, 2000, absent}}, got)
		_, err = readAll(NewReader(bytes.NewReader(join(channels(0, 7, 100, 1000), channels(0, 9, 110, 2000), channels(1, 9, 120, 0))), "heron.tlm", Options{Line: Line{Number: 6}, System: 8}))
		require.EqualError(t, err, "heron.tlm: found no message with chan6 from system 8 in 3 frames, want system 7 (1 frame) or system 9 (1 frame)")
	})
	t.Run("armed by its own heartbeats, not by those that do not fly", func(t *testing.T) {
		requireReads(t, join(
			heartbeat(0, 7, anyAutopilot, 0), heartbeat(0, 255, noAutopilot, armed), heartbeat(0, 9, anyAutopilot, armed), heartbeat(1, 7, noAutopilot, armed),
			channels(2, 7, 100, 1000), heartbeat(3, 7, anyAutopilot, armed|1), channels(4, 7, 200, 1000),
		), "chan6", []sample{{1, 0, 1000, disarmed}, {1, 100_000, 1000, armedValue}})
		require.True(t, ArmedRange.Contains(armedValue))
		require.False(t, ArmedRange.Contains(disarmed))
	})
}

func TestReaderLines(t *testing.T) {
	t.Run("outputs of a port", func(t *testing.T) {
		data := join(outputs(0, 0, 1000, 1100, 1200), outputs(1, 1, 2000, 1300, 1400))
		requireReads(t, data, "servo5", []sample{{1, 0, 1100, absent}})
		requireReads(t, data, "servo12", []sample{{1, 0, 1200, absent}})
		requireReads(t, data, "servo5@1", []sample{{1, 0, 1300, absent}})
	})
	t.Run("an output that version 1 does not have yet is absent", func(t *testing.T) {
		requireReads(t, golden(t)["v1 SERVO_OUTPUT_RAW"], "servo12", []sample{{1, 0, absent, absent}})
	})
	t.Run("RC_CHANNELS_RAW has eight channels a port", func(t *testing.T) {
		p := make([]byte, 22)
		binary.LittleEndian.PutUint16(p[4+2*1:], 1700)
		p[20] = 1
		requireReads(t, frameV1(0, 1, msgRCChannelsRaw, p), "chan10", []sample{{1, 0, 1700, absent}})
	})
	t.Run("0 and 65535 are absent", func(t *testing.T) {
		requireReads(t, join(channels(0, 1, 0, 65535), channels(1, 1, 10, 0), channels(2, 1, 20, 65534)), "chan6",
			[]sample{{1, 0, absent, absent}, {1, 10_000, absent, absent}, {1, 20_000, 65534, absent}})
	})
}

func TestReaderDamage(t *testing.T) {
	good := func(n byte) []byte { return channels(n, 1, 1000+20*uint32(n), 1000+uint16(n)) }
	samples := func(ns ...byte) (all []sample) {
		for _, n := range ns {
			all = append(all, sample{1, sim.Micros(n-ns[0]) * 20_000, 1000 + sim.PulseWidth(n), absent})
		}
		return all
	}
	foreignFrame := func(n byte) []byte { return frameV2(0, n, 1, 1, 30, bytes.Repeat([]byte{9}, 28)) }

	t.Run("noise between frames is counted", func(t *testing.T) {
		sum := requireReads(t, join([]byte("lake"), good(0), []byte{magic1, 0, magic2}, good(1), []byte{magic2, 200}), "chan6", samples(0, 1))
		require.EqualValues(t, 9, sum.Damaged)
		require.Zero(t, sum.Missing)
	})
	t.Run("a spoilt frame is missing", func(t *testing.T) {
		spoilt := good(1)
		spoilt[12] ^= 4
		sum := requireReads(t, join(good(0), spoilt, good(2)), "chan6", samples(0, 2))
		require.EqualValues(t, len(spoilt), sum.Damaged)
		require.Equal(t, 1, sum.Missing)
	})
	t.Run("bytes that are gone from a foreign frame", func(t *testing.T) {
		sum := requireReads(t, join(good(0), foreignFrame(1)[:20], good(2), good(3)), "chan6", samples(0, 2, 3))
		require.EqualValues(t, 20, sum.Damaged)
	})
	t.Run("foreign frames are no damage", func(t *testing.T) {
		sum := requireReads(t, join(foreignFrame(0), good(1), foreignFrame(2), foreignFrame(3), good(4), foreignFrame(5)), "chan6", samples(1, 4))
		require.Zero(t, sum.Damaged)
		require.Equal(t, 4, sum.Foreign)
		require.Equal(t, 2, sum.Frames)
	})
	t.Run("frames that did not come are counted", func(t *testing.T) {
		sum := requireReads(t, join(good(250), channels(3, 1, 6100, 1500)), "chan6", []sample{{1, 0, 1250, absent}, {1, 100_000, 1500, absent}})
		require.Equal(t, 8, sum.Missing, "251 to 255 and 0 to 2")
	})
	t.Run("a flag that is not known leaves the frame out", func(t *testing.T) {
		f := good(1)
		f = frameV2(0x40, 1, 1, 1, msgRCChannels, f[header2:len(f)-2])
		sum := requireReads(t, join(good(0), f, good(2)), "chan6", samples(0, 2))
		require.Equal(t, 1, sum.Unsupported)
		require.Zero(t, sum.Damaged)
	})
	t.Run("signed frames", func(t *testing.T) {
		f := good(1)
		f = frameV2(flagSigned, 1, 1, 1, msgRCChannels, f[header2:len(f)-2])
		f = append(f, bytes.Repeat([]byte{magic1}, signature)...)
		sum := requireReads(t, join(good(0), f, good(2)), "chan6", samples(0, 1, 2))
		require.Zero(t, sum.Damaged)
	})
}

func TestReaderErrors(t *testing.T) {
	for _, test := range []struct {
		rule string
		data []byte
		line Line
		want string
	}{
		{"empty", nil, Line{Number: 6}, "heron.tlm: found no MAVLink frame in 0 bytes, want a recording of version 1 or 2"},
		{"no frame", []byte("the lake is calm"), Line{Number: 6}, "heron.tlm: found no MAVLink frame in 16 bytes, want a recording of version 1 or 2"},
		{"no channels", join(heartbeat(0, 1, 3, 0), heartbeat(1, 1, 3, 0)), Line{Number: 6}, "heron.tlm: found no message with chan6 in 2 frames, want RC_CHANNELS or RC_CHANNELS_RAW"},
		{"no outputs", channels(0, 1, 0, 1000), Line{Output: true, Number: 5, Port: 1}, "heron.tlm: found no message with servo5@1 in 1 frames, want SERVO_OUTPUT_RAW"},
	} {
		t.Run(test.rule, func(t *testing.T) {
			_, err := readAll(NewReader(bytes.NewReader(test.data), "heron.tlm", Options{Line: test.line}))
			require.EqualError(t, err, test.want)
		})
	}
	t.Run("the stream's own error, after its samples", func(t *testing.T) {
		broken := io.MultiReader(bytes.NewReader(channels(0, 1, 0, 1000)), iotest.ErrReader(errors.New("the cable is out")))
		got, err := readAll(NewReader(broken, "radio", Options{Line: Line{Number: 6}}))
		require.EqualError(t, err, fmt.Sprintf("radio: after byte %d: the cable is out", len(channels(0, 1, 0, 1000))))
		require.Len(t, got, 1)
	})
}

// A sample is returned before the next frame arrives, as a live tally needs it.
func TestReaderDoesNotWait(t *testing.T) {
	in, out := io.Pipe()
	r := NewReader(in, "radio", Options{Line: Line{Number: 6}})
	go out.Write(channels(0, 1, 0, 1000))
	block, err := r.Next()
	require.NoError(t, err)
	require.Len(t, block.Samples, 1)
	out.Close()
	_, err = r.Next()
	require.ErrorIs(t, err, io.EOF)
}

// Random damage costs at most the frames that it touches and the length of a false
// frame after it. The samples stay in order.
func TestReaderSurvivesDamage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		var data []byte
		const frames = 200
		for n := range uint32(frames) {
			data = append(data, channels(byte(n), 1, 1000+20*n, 1000)...)
		}
		flips := rapid.IntRange(0, 5).Draw(t, "flips")
		for range flips {
			data[random.IntN(len(data))] ^= byte(1 + random.IntN(255))
		}
		got, err := readAll(NewReader(bytes.NewReader(data), "", Options{Line: Line{Number: 6}}))
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(got), frames-flips*(1+(maxFrame+30)/31))
		require.True(t, slices.IsSortedFunc(got, func(a, b sample) int { return int(a.at - b.at) }))
	})
}

func FuzzReader(f *testing.F) {
	var all []byte
	for _, frame := range golden(f) {
		f.Add(frame)
		f.Add(stamped(1_764_000_000_000_000, frame))
		all = append(all, frame...)
	}
	f.Add(all)
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, line := range []Line{{Number: 6}, {Output: true, Number: 5}} {
			r := NewReader(bytes.NewReader(data), "", Options{Line: line})
			got, err := readAll(r)
			sum := r.Summary()
			require.Equal(t, int64(len(data)), sum.FrameBytes+sum.Damaged)
			require.Equal(t, len(got), sum.Samples)
			require.Equal(t, err == nil, len(got) > 0)
			for i, s := range got {
				first := i == 0 || s.segment != got[i-1].segment
				require.True(t, first && s.at == 0 || !first && s.at >= got[i-1].at && s.at <= sim.MaxDuration)
				require.True(t, i == 0 || s.segment-got[i-1].segment <= 1)
			}
			again, _ := readAll(NewReader(iotest.HalfReader(bytes.NewReader(data)), "", Options{Line: line}))
			require.Equal(t, got, again)
			Recognise(data, true)
		}
	})
}

func BenchmarkReader(b *testing.B) {
	var data []byte
	for n := range uint32(200_000) {
		data = append(data, channels(byte(n), 1, 20*n, 1000)...)
	}
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		r := NewReader(bytes.NewReader(data), "", Options{Line: Line{Number: 6}})
		for {
			if _, err := r.Next(); err != nil {
				break
			}
		}
	}
}
