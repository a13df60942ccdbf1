package report

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// themes reads the colours of the style sheet: light, dark, print.
func themes(t *testing.T) map[string]map[string]string {
	blocks := strings.SplitAfter(asset("page.css"), ":root {")
	require.Len(t, blocks, 4)
	read := func(block string) map[string]string {
		colours := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6});`).FindAllStringSubmatch(block[:strings.Index(block, "}")], -1) {
			colours[m[1]] = m[2]
		}
		return colours
	}
	all := map[string]map[string]string{"light": read(blocks[1]), "dark": read(blocks[2]), "print": read(blocks[3])}
	for name, colour := range all["light"] {
		if _, ok := all["print"][name]; !ok {
			all["print"][name] = colour
		}
	}
	return all
}

// luminance and contrast are those of WCAG 2.1 (w3.org/TR/WCAG21, definitions
// of relative luminance and contrast ratio).
func luminance(colour string) float64 {
	channel := func(hex string) float64 {
		n, err := strconv.ParseUint(hex, 16, 8)
		if err != nil {
			panic(err)
		}
		if c := float64(n) / 255; c <= 0.04045 {
			return c / 12.92
		} else {
			return math.Pow((c+0.055)/1.055, 2.4)
		}
	}
	return 0.2126*channel(colour[1:3]) + 0.7152*channel(colour[3:5]) + 0.0722*channel(colour[5:7])
}

func contrast(a, b string) float64 {
	high, low := luminance(a), luminance(b)
	if high < low {
		high, low = low, high
	}
	return (high + 0.05) / (low + 0.05)
}

// Contrast on white of published colours, recomputed from the formula.
func TestContrastFormula(t *testing.T) {
	for colour, want := range map[string]float64{
		"#000000": 21, "#767676": 4.5422, "#0072b2": 5.1854, "#d55e00": 3.8672, "#009e73": 3.4211, "#56b4e9": 2.3075,
	} {
		require.InDelta(t, want, contrast(colour, "#ffffff"), 0.0001, colour)
	}
}

// WCAG 2.1: text needs 4.5 (1.4.3), what a drawing is understood by needs 3
// (1.4.11).
func TestColoursAreTold(t *testing.T) {
	for name, c := range themes(t) {
		for _, text := range [][2]string{
			{"ink", "paper"}, {"soft", "paper"}, {"ink", "panel"}, {"ink", "range"}, {"alarm-text", "paper"}, {"on-blue", "blue"},
		} {
			require.GreaterOrEqual(t, contrast(c[text[0]], c[text[1]]), 4.5, "%s: text %s on %s", name, text[0], text[1])
		}
		for _, drawn := range []string{"blue", "green", "vermilion", "soft"} {
			require.GreaterOrEqual(t, contrast(c[drawn], c["paper"]), 3.0, "%s: %s on paper", name, drawn)
		}
	}
}

// The colours that tell things apart are those of Okabe and Ito (Color
// Universal Design, jfly.uni-koeln.de/color).
func TestColoursArePublished(t *testing.T) {
	published := map[string]string{
		"sky": "#56b4e9", "green": "#009e73", "vermilion": "#d55e00", "purple": "#cc79a7",
	}
	for theme, c := range themes(t) {
		for name, want := range published {
			require.Equal(t, want, c[name], theme)
		}
		require.Contains(t, []string{"#0072b2", "#56b4e9"}, c["blue"], theme)
	}
}

// Every class that a mark can have has a style of its own, and no style stands
// for a class that is not there.
func TestEveryMarkHasAStyle(t *testing.T) {
	styled := map[string]bool{}
	for _, m := range regexp.MustCompile(`\.mark\.([a-z]+)`).FindAllStringSubmatch(asset("page.css"), -1) {
		styled[m[1]] = true
	}
	require.Equal(t, map[string]bool{
		"pressed": true, "press": true, "window": true, "take": true, "armed": true, "lost": true, "finding": true, "shot": true,
		"chance": true, "dense": true,
		"off": true, "booting": true, "standby": true, "starting": true, "recording": true, "stopping": true, "unknown": true,
	}, styled)
}
