package term

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// keyRecord is a KEY_EVENT_RECORD, with the offsets of wincon.h.
func keyRecord(down bool, key, scan, character uint16, state uint32) *consoleRecord {
	r := &consoleRecord{kind: consoleKey}
	if down {
		r.data[0] = 1
	}
	for at, value := range map[int]uint16{4: 1, 6: key, 8: scan, 10: character} {
		binary.LittleEndian.PutUint16(r.data[at:], value)
	}
	binary.LittleEndian.PutUint32(r.data[12:], state)
	return r
}

// pointerRecord is a MOUSE_EVENT_RECORD.
func pointerRecord(x, y int16, buttons, event uint32) *consoleRecord {
	r := &consoleRecord{kind: consolePointer}
	binary.LittleEndian.PutUint16(r.data[0:], uint16(x))
	binary.LittleEndian.PutUint16(r.data[2:], uint16(y))
	binary.LittleEndian.PutUint32(r.data[4:], buttons)
	binary.LittleEndian.PutUint32(r.data[12:], event)
	return r
}

func TestRecordsBecomeTheBytesOfATerminal(t *testing.T) {
	wheelDown := int32(-120) << 16
	for _, tt := range []struct {
		name    string
		records []*consoleRecord
		want    string
	}{
		{"the space bar", []*consoleRecord{keyRecord(true, 32, 57, ' ', 0), keyRecord(false, 32, 57, ' ', 0)},
			"\x1b[32;57;32;1;0;1_\x1b[32;57;32;0;0;1_"},
		{"an arrow", []*consoleRecord{keyRecord(true, 38, 72, 0, 0x100)}, "\x1b[38;72;0;1;256;1_"},
		{"a letter beyond ASCII", []*consoleRecord{keyRecord(true, 0xde, 40, 'ä', 0), keyRecord(false, 0xde, 40, 'ä', 0)}, "ä"},
		{"what was pasted", []*consoleRecord{keyRecord(true, 0, 0, 'a', 0), keyRecord(false, 0, 0, 'a', 0)}, "a"},
		{"a character of two halves", []*consoleRecord{keyRecord(true, 0, 0, 0xd83d, 0), keyRecord(true, 0, 0, 0xde00, 0)}, "😀"},
		{"a press, a drag and its end", []*consoleRecord{
			pointerRecord(4, 2, 1, 0), pointerRecord(5, 2, 1, pointerMoved), pointerRecord(5, 2, 0, 0), pointerRecord(6, 2, 0, pointerMoved)},
			"\x1b[<0;5;3M\x1b[<32;6;3M\x1b[<0;6;3m"},
		{"the wheel", []*consoleRecord{pointerRecord(0, 0, 120<<16, pointerWheel), pointerRecord(0, 0, uint32(wheelDown), pointerWheel)},
			"\x1b[<64;1;1M\x1b[<65;1;1M"},
		{"focus and menu", []*consoleRecord{{kind: 0x10}, {kind: 0x08}}, ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var c consoleReader
			var got []byte
			for _, r := range tt.records {
				got = c.append(got, r)
			}
			require.Equal(t, tt.want, string(got))
		})
	}
}

// From the record to the event: holds are those of the key, whatever other keys are
// down.
func TestAConsoleReportsHowLongAKeyIsHeld(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var c consoleReader
		at := sim.Second
		var reported []stamp
		keys := keyReader{stamp: func(key byte, kind KeyKind) { reported = append(reported, stamp{at, key, kind}) }}
		keys.paired = func() { t.Fatal("taken for pairs") }
		var want []stamp
		for range rapid.IntRange(1, 10).Draw(t, "flicks") {
			for _, down := range []bool{true, false} {
				kind := KeyReleased
				if down {
					kind = KeyPressed
				}
				want = append(want, stamp{at, ' ', kind})
				keys.read(at, c.append(nil, keyRecord(down, 32, 57, ' ', 0)))
				at += sim.Micros(rapid.IntRange(1, 2_000_000).Draw(t, "µs"))
				keys.read(at, c.append(nil, keyRecord(down, 16, 42, 0, 0x10))) // shift
			}
		}
		require.Equal(t, want, reported)
	})
}

// A console that gets its keys from a terminal sends a release right after every
// press.
func TestPairsAreNoReleases(t *testing.T) {
	r := newReading()
	var c consoleReader
	pair := c.append(c.append(nil, keyRecord(true, 32, 57, ' ', 0)), keyRecord(false, 32, 57, ' ', 0))
	require.Equal(t, " ", string(r.read(sim.Second, pair)))
	require.Equal(t, " ", string(r.read(2*sim.Second, pair)))
	require.Equal(t, []string{" ", "pairs", " "}, r.reported)

	// A console that has reported a real hold is trusted from then on.
	r = newReading()
	r.read(0, c.append(c.append(nil, keyRecord(true, 13, 28, '\r', 0)), keyRecord(false, 13, 28, '\r', 0)))
	r.read(sim.Second, c.append(nil, keyRecord(true, 81, 16, 'q', 0)))
	r.read(2*sim.Second, c.append(nil, keyRecord(false, 81, 16, 'q', 0)))
	r.read(3*sim.Second, pair)
	require.Equal(t, []string{"q", "q-", " ", " -"}, r.reported)
}

func TestReleasesAreTakenBack(t *testing.T) {
	s := newStamps()
	s.ask()
	s.answer(true)
	s.takeBack()
	require.False(t, <-s.answers)
	s.answer(true)
	require.Empty(t, s.answers, "nobody asked")
	s.ask()
	s.answer(true)
	require.False(t, <-s.answers, "it stays so")
}
