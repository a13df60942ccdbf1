package term

import (
	"testing"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func TestKeysHaveTheTimeOfReading(t *testing.T) {
	const ms = sim.Millisecond
	type read struct {
		at    sim.Micros
		chunk string
	}
	type key struct {
		key     byte
		decoded sim.Micros
		want    sim.Micros
	}
	for _, tt := range []struct {
		name  string
		reads []read
		keys  []key
	}{
		{"one key", []read{{10 * ms, " "}}, []key{{' ', 12 * ms, 10 * ms}}},
		{"two keys read before either is decoded", []read{{10 * ms, " "}, {30 * ms, " "}},
			[]key{{' ', 40 * ms, 10 * ms}, {' ', 41 * ms, 30 * ms}}},
		{"two keys in one read", []read{{10 * ms, "ab"}}, []key{{'a', 11 * ms, 10 * ms}, {'b', 11 * ms, 10 * ms}}},
		{"a key behind an arrow", []read{{10 * ms, "\x1b[A"}, {30 * ms, "A"}},
			[]key{{0, 11 * ms, 11 * ms}, {'A', 31 * ms, 30 * ms}}},
		{"a letter left over from a torn sequence is passed over", []read{{10 * ms, "[D"}, {20 * ms, " "}},
			[]key{{' ', 21 * ms, 20 * ms}}},
		{"a letter left over long ago is no key of now", []read{{10 * ms, "D"}},
			[]key{{'D', 3 * sim.Second, 3 * sim.Second}}},
		{"a key that was never read has the time of its decoding", nil, []key{{' ', 7 * ms, 7 * ms}}},
		{"letters beyond ASCII are not timed", []read{{10 * ms, "é"}}, []key{{0, 11 * ms, 11 * ms}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var s stamps
			for _, r := range tt.reads {
				keys := keyReader{stamp: func(key byte, kind KeyKind) { s.note(r.at, key, kind) }}
				keys.read(r.at, []byte(r.chunk))
			}
			for _, k := range tt.keys {
				at, _ := s.take(k.key, k.decoded)
				require.Equal(t, k.want, at)
			}
		})
	}
}

func TestOnlyKeysOfOneByteAreTimed(t *testing.T) {
	for key, want := range map[*tcell.EventKey]byte{
		tcell.NewEventKey(tcell.KeyRune, ' ', tcell.ModNone): ' ',
		tcell.NewEventKey(tcell.KeyRune, 'é', tcell.ModNone): 0,
		tcell.NewEventKey(tcell.KeyEnter, 0, tcell.ModNone):  '\r',
		tcell.NewEventKey(tcell.KeyTab, 0, tcell.ModNone):    '\t',
		tcell.NewEventKey(tcell.KeyUp, 0, tcell.ModNone):     0,
	} {
		require.Equal(t, want, keyByte(key), "%v", key)
	}
}
