package joystick

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// position is a record of the system with x on the first axis.
func position(x, buttons uint32) []byte {
	b := make([]byte, PositionSize)
	binary.LittleEndian.PutUint32(b, PositionSize)
	binary.LittleEndian.PutUint32(b[8:], x)
	binary.LittleEndian.PutUint32(b[32:], buttons)
	return b
}

func TestPositionsTellWhatMoved(t *testing.T) {
	p := NewPositions([6]Range{{0, 65535}}, 2)
	require.Equal(t, []Move{
		{At: 5, Control: Control{Axis, 0}, Value: 1000, Initial: true},
		{At: 5, Control: Control{Button, 0}, Value: 1000, Initial: true},
		{At: 5, Control: Control{Button, 1}, Value: 2000, Initial: true},
	}, p.Decode(position(0, 2), 5))
	require.Empty(t, p.Decode(position(0, 2), 6), "nothing moved")
	require.Equal(t, []Move{{At: 7, Control: Control{Axis, 0}, Value: 2000}}, p.Decode(position(65535, 2), 7))
	require.Equal(t, []Move{
		{At: 8, Control: Control{Button, 0}, Value: 2000}, {At: 8, Control: Control{Button, 1}, Value: 1000},
	}, p.Decode(position(65535, 5), 8), "a third button is none of this device")
	require.False(t, p.Missed())
}

// TestPositionsMayBeCutAnywhere: however the bytes are split, the moves are the same.
func TestPositionsMayBeCutAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 0, 4*PositionSize).Draw(t, "bytes")
		cut := rapid.IntRange(0, len(data)).Draw(t, "cut")
		ranges := [6]Range{{0, 65535}, {0, 255}}
		whole, parts := NewPositions(ranges, 32), NewPositions(ranges, 32)
		want := append([]Move(nil), whole.Decode(data, 1)...)
		got := append([]Move(nil), parts.Decode(data[:cut], 1)...)
		got = append(got, parts.Decode(data[cut:], sim.Micros(1))...)
		if len(want) != len(got) {
			t.Fatalf("got %v, want %v", got, want)
		}
		for i := range want {
			if want[i] != got[i] {
				t.Fatalf("got %v, want %v", got, want)
			}
		}
	})
}
