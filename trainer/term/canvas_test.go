package term

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTextOnACanvas(t *testing.T) {
	for _, tt := range []struct {
		name   string
		text   string
		glyphs *Glyphs
		want   string
		next   int
	}{
		{"plain", "press", unicodeGlyphs, "press\n", 5},
		{"cut off at the edge", "a longer text", unicodeGlyphs, "a longer\n", 8},
		{"wide characters take two cells", "日本 x", unicodeGlyphs, "日本 x\n", 6},
		{"a wide character that does not fit is left out", "1234567日", unicodeGlyphs, "1234567\n", 7},
		{"an accent belongs to its letter", "re\u0301gate", unicodeGlyphs, "re\u0301gate\n", 6},
		{"what a terminal would act on is shown as a question mark", "a\x1b[2Jb\n", unicodeGlyphs, "a?[2Jb?\n", 7},
		{"direction marks are not obeyed", "a\u202eb", unicodeGlyphs, "a?b\n", 3},
		{"only ASCII where the terminal has no more", "Régate", asciiGlyphs, "R?gate\n", 6},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := NewCanvas(8, 1, tt.glyphs)
			require.Equal(t, tt.next, c.Text(0, 0, tt.text, Plain))
			require.Equal(t, tt.want, c.String())
		})
	}
}

func TestAnAreaCutsOffWhatIsOutside(t *testing.T) {
	c := NewCanvas(6, 3, unicodeGlyphs)
	area := c.Area(2, 1, 3, 9)
	require.Equal(t, 2, area.Height)
	area.Text(0, 0, "abcdef", Plain)
	area.Text(1, 1, "xyz", Plain)
	area.Set(-1, 0, "!", Plain)
	area.Set(0, 2, "!", Plain)
	area.TextRight(1, "z", Plain)
	require.Equal(t, "\n  abc\n   xz\n", c.String())
	require.Nil(t, area.At(3, 0))
}

func TestTextIsBrokenBetweenWords(t *testing.T) {
	draw := func(width, height int, text string) string {
		c := NewCanvas(width, height, unicodeGlyphs)
		c.Wrapped(text, Plain)
		return c.String()
	}
	require.Equal(t, "a press was\ntoo short\n", draw(12, 2, "a press was too short"))
	require.Equal(t, "a press was…\n", draw(12, 1, "a press was too short"))
	require.Equal(t, "a press…\n", draw(11, 1, "a press was too short"))
	require.Equal(t, "too-long-a-w\nb\n", draw(12, 2, "too-long-a-word b"))
	require.Equal(t, "\n", draw(12, 1, ""))
}
