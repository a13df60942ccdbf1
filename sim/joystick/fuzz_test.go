package joystick

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// FuzzDecoders checks that whatever a device sends is read as if it had arrived in
// one piece, and that the samples are in order of time.
func FuzzDecoders(f *testing.F) {
	wide, narrow := Layout{8, le}, Layout{4, le}
	f.Add(record(1, 5, jsAxis, 1), 3)
	f.Add(join(record(0, 0, jsAxis|jsInitial, 1), record(1, 32767, jsAxis, 1), record(90, -32767, jsAxis, 1)), 9)
	f.Add(event(wide, 1, 2, evSyn, synDropped, 0), 5)
	f.Add(join(event(wide, 1, 2, evAbs, 5, 90), event(wide, 0, 9, evAbs, 5, -90), event(wide, 1<<62, 1<<62, evAbs, 5, 0)), 30)
	f.Add(join(event(wide, 1e13, 0, evAbs, 5, 90), event(wide, 9e12, 0, evAbs, 5, -90)), 30)
	f.Add(join(event(narrow, 1, 2, evKey, 5, 1), event(narrow, 1<<31, 9, evKey, 5, 0)), 30)
	f.Fuzz(func(t *testing.T, data []byte, cut int) {
		cut = min(max(cut, 0), len(data))
		for _, fresh := range []func() Decoder{
			func() Decoder { return NewEvents(wide, map[uint16]Range{5: {Low: 7, High: 7}}) },
			func() Decoder { return NewEvents(narrow, nil) },
			func() Decoder { return NewRecords(le) },
		} {
			whole, torn := fresh(), fresh()
			want := append([]Move{}, whole.Decode(data, 1)...)
			got := append([]Move{}, torn.Decode(data[:cut], 1)...)
			got = append(got, torn.Decode(data[cut:], 1)...)
			require.Equal(t, want, got)
			require.Equal(t, whole.Torn(), torn.Torn())
			requireFollowed(t, want)
		}
	})
}

// requireFollowed searches for the switch among the moves, and follows the control
// of the first.
func requireFollowed(t *testing.T, moves []Move) {
	if len(moves) == 0 {
		return
	}
	var finder Finder
	follower := Follower{Control: moves[0].Control}
	last := sim.Micros(0)
	for _, m := range moves {
		require.False(t, m.Value != m.Value, "a move always has a value")
		finder.Feed(m)
		for _, s := range follower.Move(m) {
			require.GreaterOrEqual(t, s.At, last)
			last = s.At
		}
	}
}
