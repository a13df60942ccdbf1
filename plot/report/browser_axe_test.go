package report_test

import (
	"flag"
	"os"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"flicktally/plot/report"
)

var axe = flag.String("axe", "", "axe.min.js of axe-core, to check pages for readers who cannot see them")

// axe-core (Deque, MPL-2.0) checks what a program can check of WCAG 2.1: contrast,
// the order of headings, the names of buttons, and some ninety other rules.
func TestBrowserAxeFindsNothing(t *testing.T) {
	if *axe == "" {
		t.Skip("no axe-core, so nothing checks the page by its rules: .ci/axe/run does")
	}
	script, err := os.ReadFile(*axe)
	require.NoError(t, err)
	for name, prepare := range map[string]step{
		"light": chromedp.EmulateViewport(1280, 1000),
		"phone": chromedp.EmulateViewport(390, 844),
		"dark": command(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}},
		}),
	} {
		for what, page := range map[string]writer{
			"6 flicks": manyPage(6), "200 flicks": manyPage(200), "a season": seasonPage{},
			"an outing": report.Index{Entries: []report.Entry{{Page: manyPage(6), Href: "6.html"}, {Page: manyPage(200), Href: "200.html"}}},
		} {
			b := open(t, page, prepare)
			eval[bool](t, b, string(script)+"; true")
			found := get(t, b, chromedp.Evaluate[[]string](
				`axe.run().then((r) => (r.passes.length < 20 ? ["only " + r.passes.length + " rules were looked at"] : []).concat(r.violations.map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.target.join(" ") + " " + n.failureSummary).join("; "))))`,
				chromedp.EvalAwaitPromise))
			require.Empty(t, found, "%s, %s", name, what)
		}
	}
}
