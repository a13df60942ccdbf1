package term

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestBigTextIsAsLargeAsTheCanvasAllows(t *testing.T) {
	for _, tt := range []struct {
		name          string
		width, height int
		glyphs        *Glyphs
		want          string
	}{
		{"text where there is no room for letters", 8, 2, unicodeGlyphs, "\n   It\n"[1:] + "\n"},
		{"two pixels a cell", 8, 3, unicodeGlyphs, " █ ▀█▀\n █  █\n ▀  ▀\n"},
		{"in ASCII", 8, 3, asciiGlyphs, " # '#'\n #  #\n '  '\n"},
		{"a pixel of two columns", 12, 5, unicodeGlyphs, " ██  ██████\n ██    ██\n ██    ██\n ██    ██\n ██    ██\n"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := NewCanvas(tt.width, tt.height, tt.glyphs)
			BigText(c, "It", Strong)
			require.Equal(t, tt.want, c.String())
		})
	}
}

func TestBigTextBreaksBetweenWords(t *testing.T) {
	lines, drawn := bigLines("Stop, and start again", 40)
	require.True(t, drawn)
	require.Len(t, lines, 3)
	for _, line := range lines {
		require.LessOrEqual(t, line.width(), 40)
	}
	_, drawn = bigLines("unbreakable", 20)
	require.False(t, drawn, "a word wider than the line")
	_, drawn = bigLines("5 %", 100)
	require.False(t, drawn, "a character without a drawing")
}

// All five rows of a letter have the same width.
func TestLettersAreRectangles(t *testing.T) {
	for r, rows := range letters {
		for _, row := range rows {
			require.Len(t, row, len(rows[0]), "%c", r)
			require.Empty(t, strings.Trim(row, "#."), "%c", r)
		}
	}
	for r := 'A'; r <= 'Z'; r++ {
		require.Contains(t, letters, r)
	}
}
