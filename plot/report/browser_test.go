package report_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// shown returns the seconds from and to which the chart shows.
func (b *browser) shown(t *testing.T) (from, to float64) {
	t.Helper()
	box := eval[[]float64](t, b, `(() => {
		const v = document.querySelector(".time").viewBox.baseVal, unit = document.querySelector(".timing").dataset.unit / 1e6;
		return [v.x * unit, (v.x + v.width) * unit];
	})()`)
	return box[0], box[1]
}

// atSecond returns where a second of the log stands on the screen, at the
// height of a lane.
func (b *browser) atSecond(t *testing.T, second float64, lane string) (x, y float64) {
	t.Helper()
	from, to := b.shown(t)
	box := eval[[]float64](t, b, fmt.Sprintf(`(() => {
		document.querySelector(".timing").scrollIntoView();
		const chart = document.querySelector(".chart"), at = chart.getBoundingClientRect();
		const scale = at.width / chart.viewBox.baseVal.width, time = document.querySelector(".time");
		const lane = document.querySelector('.lane[data-name=%q] .base').getBoundingClientRect();
		return [at.left + time.x.baseVal.value * scale, time.width.baseVal.value * scale, lane.bottom - 4];
	})()`, lane))
	return box[0] + box[1]*(second-from)/(to-from), box[2]
}

const texts = `(selector) => [...document.querySelectorAll(selector)].map((e) => [Number(e.getAttribute("x")), Number(e.getAttribute("y")), e.textContent].join(" "))`

// What the script draws for the whole log is what stands in the file.
func TestBrowserScriptAgreesWithTheFile(t *testing.T) {
	for _, n := range []int{3, 30, 300} {
		page := manyPage(n)
		b := open(t, page)
		doc := parse(t, written(t, page))
		for selector, group := range map[string]string{".axis text": "axis", ".labels text": "labels"} {
			var want []string
			for _, e := range doc.all("g", group)[0].all("text", "") {
				if e.text != "" {
					want = append(want, fmt.Sprint(e.number(t, "x"), " ", e.number(t, "y"), " ", e.text))
				}
			}
			got := eval[[]string](t, b, `(`+texts+`)("`+selector+`").filter((line) => !line.endsWith(" "))`)
			require.Equal(t, want, got, "%d presses: %s", n, group)
		}
		b.quiet(t)
	}
}

func TestBrowserDrawsMarksAtTheirTimes(t *testing.T) {
	page := regattaPage()
	b := open(t, page)
	for i, p := range page.Parts[0].Replay.Presses {
		x, _ := b.atSecond(t, p.Down.Seconds(), "presses")
		drawn := eval[float64](t, b, fmt.Sprintf(`document.querySelectorAll(".mark.press")[%d].getBoundingClientRect().left`, i))
		require.InDelta(t, x, drawn, 1)
	}
	b.quiet(t)
}

func TestBrowserZooms(t *testing.T) {
	b := open(t, regattaPage())
	expect := func(what string, wantFrom, wantTo float64) {
		t.Helper()
		from, to := b.shown(t)
		require.InDelta(t, wantFrom, from, 0.01, what)
		require.InDelta(t, wantTo, to, 0.01, what)
	}
	expect("at first the whole log", 0, 180)

	b.do(t, chromedp.Click(chromedp.CSS(`[data-do="in"]`)))
	expect("closer", 45, 135)
	b.do(t, chromedp.Focus(chromedp.CSS(".timing .scroll")), chromedp.KeyEvent("+"), chromedp.KeyEvent("+"))
	expect("two keys closer", 78.75, 101.25)
	b.do(t, chromedp.KeyEvent(kb.ArrowRight))
	expect("a key to the right", 84.375, 106.875)
	b.do(t, chromedp.KeyEvent("-"))
	expect("a key wider", 73.125, 118.125)
	b.do(t, chromedp.KeyEvent("0"))
	expect("a key for all", 0, 180)

	x, y := b.atSecond(t, 91, "channel")
	// The browser wants both distances, and a zero is not sent.
	wheel := func(p *input.DispatchMouseEventParams) { p.DeltaX, p.DeltaY = 1, -600 }
	b.do(t, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseWheel, x, y, chromedp.ButtonModifiers(chromedp.ModifierCtrl), wheel))
	from, to := b.shown(t)
	require.Less(t, to-from, 60.0)
	require.InDelta(t, 91.0/180, (91-from)/(to-from), 0.01, "what is under the pointer stays there")

	b.do(t, chromedp.Click(chromedp.CSS(`[data-do="all"]`)), chromedp.Click(chromedp.CSS(".presses tbody tr:nth-child(6) .when")))
	expect("a time in a table shows that press", 150-2.32, 152.32+2.32)
	require.Equal(t, "6: 2.32s long", eval[string](t, b, `document.querySelector(".labels .press.long").textContent`))

	x, y = b.atSecond(t, 150, "channel")
	b.do(t, chromedp.DragAndDropXY(x, y, x-100, y))
	moved, _ := b.shown(t)
	require.Greater(t, moved, 150-2.32+0.1, "dragging to the left shows what comes later")
	b.quiet(t)
}

func TestBrowserReadsUnderThePointer(t *testing.T) {
	b := open(t, regattaPage())
	x, y := b.atSecond(t, 151, "channel")
	b.do(t, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y))
	readout := eval[string](t, b, `document.querySelector(".readout").textContent`)
	for _, want := range []string{"2:3", "channel 2000 µs", "press 6 at 2:30.000", "long", "camera standby", "armed"} {
		require.Contains(t, readout, want)
	}
	b.quiet(t)
}

func TestBrowserTellsAScreenReader(t *testing.T) {
	b := open(t, regattaPage())
	tree, err := chromedp.Call(b.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	require.NoError(t, err)
	names := map[string][]string{}
	for _, n := range tree.Nodes {
		if n.Role != nil && n.Name != nil {
			role := strings.Trim(string(n.Role.Value), `"`)
			names[role] = append(names[role], strings.Trim(string(n.Name.Value), `"`))
		}
	}
	require.Contains(t, names["image"], "Timing chart")
	require.Contains(t, names["toolbar"], "Zoom of the timing chart")
	require.Subset(t, names["button"], []string{"zoom in", "zoom out", "earlier", "later", "show the whole log"})
	require.Subset(t, names["columnheader"], []string{"press", "down", "held", "verdict", "take", "length", "ended by"})
	require.Subset(t, names["heading"], []string{"Findings", "Takes", "Presses", "Rig and model", "Cautions"})
	require.Equal(t, "regatta.csv: recording tally", get(t, b, chromedp.Title()))
}

func TestBrowserShowsDarkAndPrint(t *testing.T) {
	const paper = "getComputedStyle(document.body).backgroundColor"
	dark := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}}
	b := open(t, regattaPage(), command(emulation.SetEmulatedMedia, dark))
	require.Equal(t, "rgb(16, 23, 29)", eval[string](t, b, paper))

	onPaper := dark
	onPaper.Media = "print"
	b.do(t, command(emulation.SetEmulatedMedia, onPaper))
	require.Equal(t, "rgb(255, 255, 255)", eval[string](t, b, paper), "paper is white, in the dark too")
	require.Equal(t, "none", eval[string](t, b, `getComputedStyle(document.querySelector(".tools")).display`))

	pdf := string(get(t, b, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize())))
	require.True(t, strings.HasPrefix(pdf, "%PDF-"))
	pages := regexp.MustCompile(`/Type /Page\b`).FindAllString(pdf, -1)
	require.Contains(t, []int{2, 3}, len(pages), "a flight prints on few pages")
	b.quiet(t)
}

func TestBrowserNeedsNoScript(t *testing.T) {
	b := open(t, regattaPage(), command(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}))
	require.Contains(t, get(t, b, chromedp.OuterHTML(chromedp.CSS(".tools"), chromedp.NodeReady)), `hidden="hidden"`)
	require.Contains(t, get(t, b, chromedp.OuterHTML(chromedp.CSS(".axis"), chromedp.NodeReady)), "1:30")
	require.Contains(t, get(t, b, chromedp.OuterHTML(chromedp.CSS(".summary"), chromedp.NodeReady)), "2 takes recorded")
}

// A name that is a script does not run: the policy allows only the page's own.
func TestBrowserRunsNoStrangersScript(t *testing.T) {
	page := regattaPage()
	page.Source = `</title><script>window.stranger = 1</script><img src="https://flicktally.invalid/x" onerror="window.stranger = 1">`
	page.Parts[0].Replay.Rig.Name = page.Source
	b := open(t, page)
	require.True(t, eval[bool](t, b, "window.stranger === undefined"))
	require.Contains(t, eval[string](t, b, `document.querySelector("h1").textContent`), "<script>window.stranger")
	b.quiet(t)
}

func TestBrowserFitsNarrowScreens(t *testing.T) {
	b := open(t, regattaPage(), chromedp.EmulateViewport(380, 800))
	require.LessOrEqual(t, eval[float64](t, b, "document.documentElement.scrollWidth"), 380.0, "the page itself never scrolls sideways")
	b.quiet(t)
}
