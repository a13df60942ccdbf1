package joystick

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

var le = binary.LittleEndian

// event makes a record as linux/input.h lays it out.
func event(l Layout, sec, usec uint64, kind, code uint16, value int32) []byte {
	b := make([]byte, l.Size())
	if l.LongSize == 8 {
		l.Order.PutUint64(b, sec)
		l.Order.PutUint64(b[8:], usec)
	} else {
		l.Order.PutUint32(b, uint32(sec))
		l.Order.PutUint32(b[4:], uint32(usec))
	}
	rest := b[2*l.LongSize:]
	l.Order.PutUint16(rest, kind)
	l.Order.PutUint16(rest[2:], code)
	l.Order.PutUint32(rest[4:], uint32(value))
	return b
}

// record makes a joystick record as joystick-api lays it out.
func record(ms uint32, value int16, kind, number byte) []byte {
	b := le.AppendUint32(nil, ms)
	b = le.AppendUint16(b, uint16(value))
	return append(b, kind, number)
}

func join(parts ...[]byte) []byte {
	var all []byte
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

func axis(at sim.Micros, number uint16, v sim.PulseWidth) Move {
	return Move{At: at, Control: Control{Axis, number}, Value: v}
}

func button(at sim.Micros, number uint16, v sim.PulseWidth) Move {
	return Move{At: at, Control: Control{Button, number}, Value: v}
}

func initial(m Move) Move {
	m.Initial = true
	return m
}

// TestRecords follows kernel.org, input/joydev/joystick-api.
func TestRecords(t *testing.T) {
	const read = 77 * sim.Second
	for _, test := range []struct {
		rule string
		data []byte
		want []Move
	}{
		{"an axis has −32767 to 32767", join(record(1, -32767, jsAxis, 0), record(2, 0, jsAxis, 0), record(3, 32767, jsAxis, 4)),
			[]Move{axis(read, 0, 1000), axis(read, 0, 1500), axis(read, 4, 2000)}},
		{"a button is pressed or not", join(record(1, 1, jsButton, 3), record(9, 0, jsButton, 3)), []Move{button(read, 3, 2000), button(read, 3, 1000)}},
		{"synthetic records tell where a control stands", record(0, 32767, jsAxis|jsInitial, 2), []Move{initial(axis(read, 2, 2000))}},
		{"another type is passed over", record(0, 1, 0x04, 2), nil},
		{"the record's own time does not count", record(123456, 1, jsButton, 0), []Move{button(read, 0, 2000)}},
	} {
		t.Run(test.rule, func(t *testing.T) {
			got := NewRecords(le).Decode(test.data, read)
			require.Equal(t, test.want, append([]Move(nil), got...))
		})
	}
	t.Run("synthetic records in between tell of an overflow", func(t *testing.T) {
		r := NewRecords(le)
		r.Decode(join(record(0, 0, jsAxis|jsInitial, 0), record(0, 0, jsAxis|jsInitial, 1), record(5, 9, jsAxis, 0)), read)
		require.False(t, r.Missed(), "initial records at the opening are not missed ones")
		r.Decode(record(9, 9, jsAxis|jsInitial, 0), read)
		require.True(t, r.Missed())
		require.False(t, r.Missed(), "reported once")
	})
}

// TestEvents follows Documentation/input/event-codes.rst.
func TestEvents(t *testing.T) {
	const absX, absHat, btnTrigger = 0x00, 0x10, 0x120
	ranges := map[uint16]Range{absX: {0, 2047}, absHat: {-1, 1}}
	for name, l := range map[string]Layout{
		"64 bits": {8, le}, "32 bits": {4, le}, "big-endian": {8, binary.BigEndian},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, map[int]int{8: 24, 4: 16}[l.LongSize], l.Size())
			e := NewEvents(l, ranges)
			const at = 3*sim.Second + 250
			got := e.Decode(join(
				event(l, 3, 250, evAbs, absX, 0), event(l, 3, 250, evAbs, absX, 2047), event(l, 3, 250, evAbs, absHat, 0),
				event(l, 3, 250, evAbs, 0x05, -32767), event(l, 3, 250, evKey, btnTrigger, 1), event(l, 3, 250, evKey, btnTrigger, keyRepeats),
				event(l, 3, 250, evKey, btnTrigger, 0), event(l, 3, 250, 0x04, 4, 1), event(l, 3, 250, evSyn, synReport, 0),
			), 99*sim.Second)
			require.Equal(t, []Move{
				axis(at, absX, 1000), axis(at, absX, 2000), axis(at, absHat, 1500), axis(at, 0x05, 1000),
				button(at, btnTrigger, 2000), button(at, btnTrigger, 1000),
			}, got)
		})
	}
	l := Layout{8, le}
	t.Run("after SYN_DROPPED all is left out up to the next report, and the state must be read", func(t *testing.T) {
		e := NewEvents(l, ranges)
		got := e.Decode(join(event(l, 1, 0, evSyn, synDropped, 0), event(l, 1, 0, evAbs, absX, 5)), 0)
		require.Empty(t, got)
		require.False(t, e.Missed(), "not before the report")
		got = e.Decode(join(event(l, 1, 0, evSyn, synReport, 0), event(l, 2, 0, evAbs, absX, 2047)), 0)
		require.Equal(t, []Move{axis(2*sim.Second, absX, 2000)}, got)
		require.True(t, e.Missed())
		require.False(t, e.Missed(), "reported once")
		require.Equal(t, initial(axis(7, absX, 1000)), e.Found(7, Control{Axis, absX}, 0))
		require.Equal(t, initial(button(7, btnTrigger, 2000)), e.Found(7, Control{Button, btnTrigger}, 1))
	})
}

func TestRangeWidth(t *testing.T) {
	require.Equal(t, sim.PulseWidth(1500), Range{5, 5}.width(5), "a range that is none")
	require.Equal(t, sim.PulseWidth(2500), Range{0, 10}.width(15), "beyond the end")
	require.Equal(t, sim.PulseWidth(1500), Range{-2147483648, 2147483646}.width(-1), "no overflow")
}

// However the bytes are split, the moves are the same, and a partial record waits
// for its rest.
func TestTornRecords(t *testing.T) {
	l := Layout{8, le}
	var events, records []byte
	for n := range 20 {
		events = append(events, event(l, uint64(n), 0, evAbs, 0, int32(n))...)
		records = append(records, record(uint32(n), int16(n), jsAxis, 0)...)
	}
	rapid.Check(t, func(t *rapid.T) {
		for _, try := range []struct {
			data []byte
			make func() Decoder
			size int
		}{
			{events, func() Decoder { return NewEvents(l, nil) }, 24},
			{records, func() Decoder { return NewRecords(le) }, 8},
		} {
			want := append([]Move{}, try.make().Decode(try.data, 0)...)
			d, rest, got := try.make(), try.data, []Move{}
			for len(rest) > 0 {
				n := rapid.IntRange(1, len(rest)).Draw(t, "cut")
				got = append(got, d.Decode(rest[:n], 0)...)
				rest = rest[n:]
				require.Equal(t, (len(try.data)-len(rest))%try.size, d.Torn())
			}
			require.Equal(t, want, got)
		}
	})
}

func TestFinder(t *testing.T) {
	find := func(moves ...Move) (Control, bool) {
		var f Finder
		for _, m := range moves {
			if c, found := f.Feed(m); found {
				return c, true
			}
		}
		return Control{}, false
	}
	aux, stick, key := Control{Axis, 5}, Control{Axis, 1}, Control{Button, 288}
	every := func(step sim.Micros, c Control, values ...sim.PulseWidth) (moves []Move) {
		for i, v := range values {
			moves = append(moves, Move{At: sim.Micros(i) * step, Control: c, Value: v, Initial: i == 0})
		}
		return moves
	}
	path := func(c Control, values ...sim.PulseWidth) []Move { return every(140*sim.Millisecond, c, values...) }
	for _, test := range []struct {
		rule  string
		moves []Move
		want  Control
		found bool
	}{
		{"there and back", path(aux, 1000, 2000, 1000), aux, true},
		{"once is not enough", path(aux, 1000, 2000), aux, false},
		{"three positions", path(aux, 1000, 1500, 2000), aux, true},
		{"a button", path(key, 1000, 2000, 1000), key, true},
		{"noise is no movement", path(aux, 1000, 1004, 998, 1003), aux, false},
		{"noise around a flick", path(aux, 1000, 1004, 2001, 1997, 1002), aux, true},
		{"a bounce is no flick", every(3*sim.Millisecond, aux, 1000, 2000, 1000, 2000), aux, false},
		{"a stick passes through what is between", every(8*sim.Millisecond, stick, 1500, 1600, 1720, 1850, 2000, 1800, 1500, 1200, 1000), stick, false},
		{"a stick flung is no switch", every(8*sim.Millisecond, stick, 1500, 1600, 1900, 1990, 1700, 1400, 1150, 1400, 1500), stick, false},
		{"where it stands is no jump", path(aux, 1000), aux, false},
		{"a position found again is no jump", []Move{{Control: aux, Value: 1000, Initial: true}, {Control: aux, Value: 2000, Initial: true}, {Control: aux, Value: 1000}}, aux, false},
		{"the first position need not be told", path(aux, 1000, 2000, 1000)[1:], aux, false},
		{"others meanwhile do not matter", append(path(stick, 1500, 1560, 1620, 1500), path(aux, 1000, 2000, 1000)...), aux, true},
	} {
		t.Run(test.rule, func(t *testing.T) {
			got, found := find(test.moves...)
			require.Equal(t, test.found, found)
			if found {
				require.Equal(t, test.want, got)
			}
		})
	}
}
