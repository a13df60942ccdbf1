package plot

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// luminance and contrast are the formulas of WCAG 2.1, "relative luminance" and
// "contrast ratio".
func luminance(c color.NRGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

func contrast(a, b color.NRGBA) float64 {
	high, low := max(luminance(a), luminance(b)), min(luminance(a), luminance(b))
	return (high + 0.05) / (low + 0.05)
}

func hex(c color.NRGBA) string { return fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B) }

// The values on white of WCAG 2.1's formula, computed apart from this code.
func TestContrastIsThatOfWCAG(t *testing.T) {
	for colour, want := range map[color.NRGBA]float64{
		rgb(0x000000): 21, rgb(0x767676): 4.5422, blue: 5.1854, vermilion: 3.8672, bluishGreen: 3.4211, skyBlue: 2.3075,
	} {
		assert.InDelta(t, want, contrast(colour, rgb(0xFFFFFF)), 5e-5, hex(colour))
	}
}

// Okabe and Ito, jfly.uni-koeln.de/color.
func TestColoursAreThePublishedSet(t *testing.T) {
	published := map[string]color.NRGBA{
		"#E69F00": orange, "#56B4E9": skyBlue, "#009E73": bluishGreen, "#F0E442": yellow,
		"#0072B2": blue, "#D55E00": vermilion, "#CC79A7": reddishPurple,
	}
	for want, colour := range published {
		assert.Equal(t, want, hex(colour))
	}
}

var themes = map[string]*theme{"light": light, "dark": dark}

// WCAG 2.1 wants 4.5 for text (1.4.3) and 3 for graphics that carry meaning
// (1.4.11).
func TestTextStandsOutFromWhatItStandsOn(t *testing.T) {
	for name, th := range themes {
		for _, ground := range []color.NRGBA{th.paper, th.mild, th.pressRange} {
			assert.GreaterOrEqual(t, contrast(th.ink, ground), 4.5, "%s: ink on %s", name, hex(ground))
		}
		assert.GreaterOrEqual(t, contrast(th.quiet, th.paper), 4.5, "%s: quiet text", name)
		for what, f := range fillsOf(th) {
			assert.GreaterOrEqual(t, contrast(f.text, f.colour), 4.5, "%s: text on %s", name, what)
		}
	}
}

func TestLinesStandOutFromWhatTheyStandOn(t *testing.T) {
	for name, th := range themes {
		for _, ground := range []color.NRGBA{th.paper, th.pressRange} {
			assert.GreaterOrEqual(t, contrast(th.signal, ground), 3.0, "%s: signal on %s", name, hex(ground))
		}
		assert.GreaterOrEqual(t, contrast(th.frame, th.paper), 3.0, "%s: axes", name)
		for i, line := range th.seriesLines {
			assert.GreaterOrEqual(t, contrast(line, th.paper), 3.0, "%s: series %d", name, i)
		}
	}
}

// fillsOf returns every fill that means something, by what it means.
func fillsOf(t *theme) map[string]fill {
	fills := map[string]fill{"toggling press": pressFill(t, pressToggles), "other press": pressFill(t, pressNot), "armed": armedFill(t)}
	for _, state := range stateOrder {
		fills[string(state)] = stateFill(t, state)
	}
	for _, z := range zonesOf(sim.Interval{Low: 1, High: 2}, sim.Interval{Low: 3, High: 4}, 5) {
		fills["zone "+z.name] = zoneFill(t, z, true)
	}
	return fills
}

// Without colour, neighbours in a lane differ by hatch or by a lightness that
// can be seen: a ratio of 1.5 is about a tenth of the grey scale.
func TestFillsOfALaneDifferWithoutColour(t *testing.T) {
	lanes := [][]string{
		{"toggling press", "other press"},
		{"standby", "starting", "recording", "stopping", "off", "booting", "unknown"},
		{"zone ignored", "zone ignored or toggles", "zone toggles", "zone toggles or long", "zone long"},
	}
	for name, th := range themes {
		fills := fillsOf(th)
		for _, lane := range lanes {
			for i, a := range lane {
				for _, b := range lane[i+1:] {
					if a == "zone ignored or toggles" && b == "zone toggles or long" {
						continue // both mean that it is open
					}
					fa, fb := fills[a], fills[b]
					require.True(t, fa.hatch != fb.hatch || contrast(fa.colour, fb.colour) >= 1.5, "%s: %s and %s", name, a, b)
				}
			}
		}
	}
}

func TestSeriesDifferWithoutColour(t *testing.T) {
	for i := range dashesOf {
		for j := range i {
			assert.NotEqual(t, dashesOf[i], dashesOf[j])
			assert.NotEqual(t, shapeOf[i], shapeOf[j])
		}
		assert.Len(t, light.seriesLines, len(dashesOf))
		assert.Len(t, dark.seriesLines, len(dashesOf))
	}
}
