package term

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

// reading is a keyReader with its reports: "a" for a press, "a+" for a repeat, "a-"
// for a release, "yes" and "no" for answers.
type reading struct {
	keyReader
	reported []string
}

func newReading() *reading {
	r := &reading{}
	r.stamp = func(key byte, kind KeyKind) {
		r.reported = append(r.reported, string(rune(key))+[]string{"", "+", "-"}[kind])
	}
	r.paired = func() { r.reported = append(r.reported, "pairs") }
	r.answer = func(releases bool) {
		r.reported = append(r.reported, map[bool]string{true: "yes", false: "no"}[releases])
	}
	return r
}

// The sequences are those of the published protocols: progressive keyboard
// enhancement, and the console's form (mode 9001); DA1 is that of ECMA-48 and its
// implementations, from memory.
func TestKeysAreReadInEveryForm(t *testing.T) {
	for _, tt := range []struct {
		name, sent, decoded, reported string
	}{
		{"typed", "a b", "a b", "a   b"},
		{"an arrow is none of ours", "\x1b[A", "\x1b[A", ""},
		{"alt with a letter", "\x1bx", "\x1bx", ""},
		{"the pointer", "\x1b[<0;7;3M\x1b[<0;7;3m", "\x1b[<0;7;3M\x1b[<0;7;3m", ""},
		{"press as text, repeats, release", " \x1b[32;1:2u\x1b[32;1:2u\x1b[32;1:3u", "    ", "   +  +  -"},
		{"press by the sequence", "\x1b[32u\x1b[32;1:1u\x1b[32;1:3u", "   ", "     -"},
		{"with the number lock on", "\x1b[32;129:1u\x1b[32;129:3u", "  ", "   -"},
		{"let go with shift held", "\x1b[32;2:3u", " ", " -"},
		{"press with its text, release without", "\x1b[32;;32u\x1b[32;1:3u", "  ", "   -"},
		{"a capital", "\x1b[101;2;69u\x1b[101;2:2;69u\x1b[101;2:3u", "EEe", "E E+ e-"},
		{"a question mark by shift, which comes by itself", "\x1b[57441;2u\x1b[47;2;63u\x1b[47;2:3u\x1b[57441;1:3u", "?/", "? /-"},
		{"a letter beyond ASCII", "\x1b[246;;246u\x1b[246;1:3u", "ö", ""},
		{"a capital whose letter is not reported", "\x1b[101;2u", "\x1b[101;2u", ""},
		{"with ctrl", "\x1b[99;5:1u\x1b[99;5:3u", "\x1b[99;5uc", "c-"},
		{"enter", "\x1b[13;1:2u\x1b[13;1:3u", "\x1b[13;1u", ""},
		{"an arrow with its events", "\x1b[1;1:1A\x1b[1;1:2A\x1b[1;1:3A", "\x1b[1;1A\x1b[1;1A", ""},
		{"the console: press, repeat", "\x1b[32;57;32;1;0;1_\x1b[32;57;32;1;0;1_", "  ", "   +"},
		{"the console: ctrl-c is the decoder's", "\x1b[67;46;3;1;8;1_", "\x1b[67;46;3;1;8;1_", ""},
		{"it reports them", "\x1b[?27u\x1b[?62;c", "", "yes no"},
		{"not those of the space bar", "\x1b[?3u\x1b[?62;c", "", "no"},
		{"it can, but was not made to", "\x1b[?1u\x1b[?62c", "", "no"},
		{"the console does", "\x1b[?9001;1$y\x1b[?61;4c", "", "yes no"},
		{"it does not know that mode", "\x1b[?9001;0$y\x1b[?1;2c", "", "no"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			whole := newReading()
			require.Equal(t, tt.decoded, string(whole.read(0, []byte(tt.sent))))
			require.Equal(t, tt.reported, strings.Join(whole.reported, " "))

			bytewise, decoded := newReading(), ""
			for _, b := range []byte(tt.sent) {
				decoded += string(bytewise.read(0, []byte{b}))
			}
			require.Equal(t, strings.ReplaceAll(tt.decoded, "\x1b[", "["), nothing.Replace(decoded), "byte by byte")
			if !strings.HasPrefix(tt.sent, "\x1bx") {
				require.Equal(t, whole.reported, bytewise.reported)
			}
		})
	}
}

// nothing removes what has no meaning: an escape that was passed on before it turned
// out to start a sequence read here, and the escapes themselves.
var nothing = strings.NewReplacer("\x1b[u", "", "\x1b[", "[")

func TestAnEscapeAloneIsAKeyOfItsOwn(t *testing.T) {
	r := newReading()
	require.Equal(t, "\x1b", string(r.read(0, []byte("\x1b"))), "it does not wait for the next key")
	require.Equal(t, "[", string(r.read(sim.Second, []byte("["))))
	require.Equal(t, " ", string(r.read(2*sim.Second, []byte(" "))))
	require.Equal(t, []string{"[", " "}, r.reported)
}

// Whatever the bytes are and however they are torn, no typed key is lost, and no
// sequence grows.
func TestAnyBytesAreRead(t *testing.T) {
	pieces := []string{" ", "q", "\x1b", "[", "\x1b[", ";", ":", "3", "32", "u", "_", "?", "$", "A", "\xc3\xa9", "\x1b[32;1:3u", strings.Repeat("9", 80)}
	rapid.Check(t, func(t *rapid.T) {
		sent := strings.Join(rapid.SliceOfN(rapid.SampledFrom(pieces), 0, 30).Draw(t, "pieces"), "")
		r := newReading()
		var got bytes.Buffer
		for rest := []byte(sent); len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(t, "chunk")
			got.Write(r.read(0, rest[:n]))
			rest = rest[n:]
			require.LessOrEqual(t, len(r.sequence), longestSequence+1)
		}
		got.Write(r.sequence)
		require.LessOrEqual(t, got.Len(), len(sent)+2*strings.Count(sent, "\x1b"), fmt.Sprintf("%q", sent))
		if !strings.Contains(sent, "\x1b") {
			require.Equal(t, sent, got.String())
		}
	})
}
