package term

import (
	"math"
	"testing"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/uniseg"
	"github.com/stretchr/testify/require"
)

// luminance is the relative luminance of WCAG 2.1.
func luminance(c tcell.Color) float64 {
	linear := func(part int32) float64 {
		v := float64(part) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	r, g, b := c.RGB()
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

func contrast(a, b tcell.Color) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// WCAG 2.1, 1.4.11: what has to be seen has a contrast of at least 3. The terminal
// chooses the background, so this must hold on white and on black.
func TestColoursReadOnWhiteAndOnBlack(t *testing.T) {
	white, black := tcell.NewHexColor(0xFFFFFF), tcell.NewHexColor(0)
	require.InDelta(t, 21, contrast(white, black), 1e-9)
	require.InDelta(t, 5.1854, contrast(white, tcell.NewHexColor(0x0072B2)), 1e-4)
	for role, style := range stylesFor(1 << 24) {
		colour, _, _ := style.Decompose()
		if colour == tcell.ColorDefault {
			continue
		}
		require.GreaterOrEqual(t, contrast(colour, white), 3.0, "role %d", role)
		require.GreaterOrEqual(t, contrast(colour, black), 3.0, "role %d", role)
	}
}

func TestColoursAreOnlyUsedWhereTheTerminalHasThem(t *testing.T) {
	for _, tt := range []struct {
		colours int
		most    tcell.Color // the highest number of a palette colour; 0: no colour at all
	}{{0, 0}, {1, 0}, {8, tcell.PaletteColor(7)}, {16, tcell.PaletteColor(15)}} {
		for role, style := range stylesFor(tt.colours) {
			colour, background, _ := style.Decompose()
			require.Equal(t, tcell.ColorDefault, background)
			if colour != tcell.ColorDefault {
				require.LessOrEqual(t, colour, tt.most, "role %d of %d colours", role, tt.colours)
			}
		}
	}
}

func TestGlyphsTakeOneCellAndDiffer(t *testing.T) {
	for _, g := range []*Glyphs{unicodeGlyphs, asciiGlyphs} {
		all := []string{g.Low, g.Brief, g.Gap, g.Several, g.Absent, g.Between, g.Limit, g.Cursor, g.CursorHead,
			g.Mark, g.Tick, g.Selected, g.Ellipsis, g.LightOn, g.LightOff}
		all = append(all, g.Levels[:]...)
		all = append(all, g.Shades[:]...)
		all = append(all, g.Pixels[:]...)
		all = append(all, g.Rise[:]...)
		all = append(all, g.Fall[:]...)
		for _, glyph := range all {
			require.Equal(t, 1, uniseg.StringWidth(glyph), "%q", glyph)
			for _, r := range glyph {
				require.False(t, g.cannotShow(r), "%q", glyph)
			}
		}
		seen := map[string]bool{}
		for _, shade := range g.Shades {
			require.False(t, seen[shade], "%q fills two kinds of stretches", shade)
			seen[shade] = true
		}
	}
}

// POSIX.1-2017, XBD 8.2: LC_ALL overrides LC_CTYPE, which overrides LANG.
func TestTheLocaleDecidesTheGlyphs(t *testing.T) {
	for _, tt := range []struct {
		name string
		env  map[string]string
		want *Glyphs
	}{
		{"nothing set", nil, unicodeGlyphs},
		{"UTF-8", map[string]string{"LANG": "en_GB.UTF-8"}, unicodeGlyphs},
		{"utf8 with a modifier", map[string]string{"LANG": "de_DE.utf8@euro"}, unicodeGlyphs},
		{"C", map[string]string{"LC_ALL": "C", "LANG": "en_GB.UTF-8"}, asciiGlyphs},
		{"POSIX for characters only", map[string]string{"LC_CTYPE": "POSIX", "LANG": "en_GB.UTF-8"}, asciiGlyphs},
		{"C with UTF-8", map[string]string{"LC_ALL": "C.UTF-8"}, unicodeGlyphs},
		{"an older set", map[string]string{"LANG": "de_DE.ISO-8859-1"}, asciiGlyphs},
	} {
		t.Run(tt.name, func(t *testing.T) {
			charset := Charset(func(name string) string { return tt.env[name] })
			require.Same(t, tt.want, GlyphsFor(charset))
		})
	}
}
