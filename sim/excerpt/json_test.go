package excerpt_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"flicktally/sim/excerpt"
)

func TestJSON(t *testing.T) {
	for text, want := range map[string]string{
		"µs \"灰鷺\"\n":       `"µs \"灰鷺\"\n"`,
		"\x1b[2J\x7f\u009b": `"\u001b[2J\u007f\u009b"`,
		"turned \u202e":     `"turned \u202e"`,
		"\U000e0041":        `"\udb40\udc41"`, // a tag, by its pair of surrogates (RFC 8259 §7)
	} {
		var out bytes.Buffer
		assert.NoError(t, json.NewEncoder(excerpt.JSON(&out)).Encode(text))
		assert.Equal(t, want+"\n", out.String())
	}
}

// Any string reads back the same, and has no control character.
func TestJSONKeepsEveryString(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.StringOf(rapid.OneOf(rapid.Rune(), rapid.RuneFrom(nil, unicode.C))).Filter(utf8.ValidString).Draw(t, "text")
		var out bytes.Buffer
		encoder := json.NewEncoder(excerpt.JSON(&out))
		encoder.SetIndent("", " ")
		assert.NoError(t, encoder.Encode([]string{want}))
		for _, r := range out.String() {
			assert.True(t, r == '\n' || unicode.IsPrint(r), "%q", r)
		}
		var got []string
		assert.NoError(t, json.Unmarshal(out.Bytes(), &got))
		assert.Equal(t, []string{want}, got)
	})
}

func TestJSONReturnsTheErrorOfTheStream(t *testing.T) {
	full := errors.New("no space left")
	in, out := io.Pipe()
	assert.NoError(t, in.CloseWithError(full))
	for _, text := range []string{"plain", "\x1b"} {
		assert.ErrorIs(t, json.NewEncoder(excerpt.JSON(out)).Encode(text), full)
	}
}
