package report

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim/lanes"
)

// Every colour that the style sheet uses is in the key, on both papers.
func TestEveryColourIsInTheKey(t *testing.T) {
	css := keyStyle() + asset("page.css")
	for _, paper := range []lanes.Paper{lanes.Light, lanes.Dark} {
		defined := map[string]bool{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): #[0-9a-f]{6};`).FindAllStringSubmatch(variables(paper), -1) {
			defined[m[1]] = true
		}
		used := regexp.MustCompile(`var\(--([a-z-]+)\)`).FindAllStringSubmatch(css, -1)
		require.NotEmpty(t, used)
		for _, m := range used {
			require.True(t, defined[m[1]], "--%s", m[1])
		}
	}
}

// Each look has a class of its own, and its marks have a fill: a colour, or a
// pattern on the page.
func TestEveryLookHasItsFill(t *testing.T) {
	there := map[string]bool{}
	for _, p := range patterns() {
		there[p.ID] = true
	}
	for _, m := range regexp.MustCompile(`url\(#([a-z-]+)\)`).FindAllStringSubmatch(keyStyle(), -1) {
		require.True(t, there[m[1]], m[1])
	}
	seen := map[string]bool{}
	for l := range lanes.Looks {
		require.False(t, seen[class(l)], "%s twice", class(l))
		seen[class(l)] = true
		require.Contains(t, keyStyle(), ".mark."+class(l)+" {")
	}
	shapes := map[string]bool{}
	for _, s := range symbols() {
		shapes[s.ID] = true
	}
	for _, l := range lanes.Outcomes {
		require.True(t, shapes[shapeID(l)], l.Name())
	}
}
