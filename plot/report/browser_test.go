package report_test

import (
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/benchcard"
	"flicktally/sim/rigcheck"
)

// shown returns the first and the last second that the chart shows.
func (b *browser) shown(t *testing.T) (from, to float64) {
	t.Helper()
	box := eval[[]float64](t, b, `(() => {
		const v = document.querySelector(".time").viewBox.baseVal, unit = document.querySelector(".timing").dataset.unit / 1e6;
		return [v.x * unit, (v.x + v.width) * unit];
	})()`)
	return box[0], box[1]
}

// atSecond returns the place of a second of the log on the screen, at the height
// of a lane.
func (b *browser) atSecond(t *testing.T, second float64, lane string) (x, y float64) {
	t.Helper()
	from, to := b.shown(t)
	box := eval[[]float64](t, b, fmt.Sprintf(`(() => {
		document.querySelector(".timing").scrollIntoView();
		const lane = document.querySelector('.lane[data-name=%q]'), at = lane.querySelector(".base").getBoundingClientRect();
		return [at.left, at.width, at.bottom - 4];
	})()`, lane))
	return box[0] + box[1]*(second-from)/(to-from), box[2]
}

const texts = `(selector) => [...document.querySelectorAll(selector)].map((e) => [Number(e.getAttribute("x")), Number(e.getAttribute("y")), e.textContent].join(" "))`

// The script draws the whole log as it is in the file.
func TestBrowserScriptAgreesWithTheFile(t *testing.T) {
	for _, n := range []int{3, 30, 300} {
		page := manyPage(n)
		b := open(t, page)
		doc := parse(t, written(t, page))
		for selector, group := range map[string]string{".axis text": "axis", ".lane .label": "chart"} {
			var want []string
			for _, e := range textsOf(doc, group) {
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

// textsOf returns the texts of the axis, or the labels of all lanes.
func textsOf(doc *node, group string) []*node {
	if group == "axis" {
		return doc.all("g", "axis")[0].all("text", "")
	}
	return doc.all("svg", "chart")[0].all("text", "label")
}

func TestBrowserDrawsMarksAtTheirTimes(t *testing.T) {
	page := regattaPage()
	b := open(t, page)
	for i, take := range page.Parts[0].Replay.Takes {
		x, _ := b.atSecond(t, take.Start.Seconds(), "takes")
		drawn := eval[float64](t, b, fmt.Sprintf(`document.querySelectorAll('.lane[data-name="takes"] .mark')[%d].getBoundingClientRect().left`, i))
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

	b.do(t, chromedp.Click(chromedp.CSS(`[data-do="all"]`)), chromedp.Click(chromedp.CSS(".flicks tbody tr:nth-child(6) .when")))
	expect("a time in a table shows that press", 150-2.32, 152.32+2.32)
	require.Equal(t, "6: 2320 ms long", eval[string](t, b, `document.querySelector(".label.long").textContent`))

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
	for _, want := range []string{"2:3", "channel 2000 µs", "flick 6 at 2:30.0", "long", "camera standby", "armed"} {
		require.Contains(t, readout, want)
	}
	b.quiet(t)
}

func TestBrowserServesAScreenReader(t *testing.T) {
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
	require.Contains(t, names["toolbar"], "Zoom the timing chart")
	require.Subset(t, names["button"], []string{"zoom in", "zoom out", "earlier", "later", "whole log"})
	require.Subset(t, names["columnheader"], []string{"flick", "at", "held", "outcome", "take", "length", "ended by"})
	require.Subset(t, names["heading"], []string{"Findings", "Takes", "Flicks", "Rig and model", "Cautions"})
	require.Equal(t, "regatta.csv: recording tally", get(t, b, chromedp.Title()))
}

func TestBrowserShowsDarkAndPrint(t *testing.T) {
	const paper = "getComputedStyle(document.body).backgroundColor"
	dark := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}}
	b := open(t, regattaPage(), command(emulation.SetEmulatedMedia, dark))
	require.Equal(t, "rgb(18, 25, 31)", eval[string](t, b, paper))

	onPaper := dark
	onPaper.Media = "print"
	b.do(t, command(emulation.SetEmulatedMedia, onPaper))
	require.Equal(t, "rgb(255, 255, 255)", eval[string](t, b, paper), "paper is white, in the dark too")
	require.Equal(t, "none", eval[string](t, b, `getComputedStyle(document.querySelector(".tools")).display`))

	pages, _ := b.printed(t)
	require.Contains(t, []int{2, 3}, pages, "a flight prints on few pages")
	b.quiet(t)
}

func TestBrowserNeedsNoScript(t *testing.T) {
	b := open(t, regattaPage(), command(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}))
	require.Contains(t, get(t, b, chromedp.OuterHTML(chromedp.CSS(".tools"), chromedp.NodeReady)), `hidden="hidden"`)
	require.Contains(t, get(t, b, chromedp.OuterHTML(chromedp.CSS(".axis"), chromedp.NodeReady)), "1:30")
	require.Contains(t, get(t, b, chromedp.OuterHTML(chromedp.CSS(".summary"), chromedp.NodeReady)), "in 2 takes")
}

// A name that is a script does not run, as the policy allows only that of the page.
func TestBrowserRunsNoStrangersScript(t *testing.T) {
	page := regattaPage()
	page.Source = `</title><script>window.stranger = 1</script><img src="https://flicktally.invalid/x" onerror="window.stranger = 1">`
	page.Parts[0].Replay.Rig.Name = page.Source
	b := open(t, page)
	require.True(t, eval[bool](t, b, "window.stranger === undefined"))
	require.Contains(t, eval[string](t, b, `document.querySelector("h1").textContent`), "<script>window.stranger")
	b.quiet(t)
}

// On a phone the chart is as wide as the screen, its text has its usual size, and
// two fingers zoom it. A flick's outcome shows without scrolling.
func TestBrowserFitsAPhone(t *testing.T) {
	b := open(t, regattaPage(), chromedp.EmulateViewport(360, 780),
		command(emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 2}))
	require.LessOrEqual(t, eval[float64](t, b, "document.documentElement.scrollWidth"), 360.0, "the page itself never scrolls sideways")
	require.LessOrEqual(t, eval[float64](t, b, `document.querySelector(".flicks .outcome").getBoundingClientRect().right`), 360.0)
	require.InDelta(t, 1, eval[float64](t, b, `(() => {
		const chart = document.querySelector(".chart");
		return chart.getBoundingClientRect().width / chart.viewBox.baseVal.width;
	})()`), 0.01, "a px of the chart is one of the screen")
	require.Contains(t, eval[string](t, b, `document.querySelector(".span").textContent`), "the whole log")

	x, y := b.atSecond(t, 90, "channel")
	touch := func(kind input.DispatchTouchEventType, apart float64) {
		t.Helper()
		var points []*input.TouchPoint
		if kind != input.DispatchTouchEventTypeTouchEnd {
			first, second := 1.0, 2.0
			points = []*input.TouchPoint{{X: x - apart, Y: y, ID: &first}, {X: x + apart, Y: y, ID: &second}}
		}
		b.do(t, command(input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points}))
	}
	touch(input.DispatchTouchEventTypeTouchStart, 20)
	touch(input.DispatchTouchEventTypeTouchMove, 40)
	touch(input.DispatchTouchEventTypeTouchMove, 80)
	touch(input.DispatchTouchEventTypeTouchEnd, 0)
	from, to := b.shown(t)
	require.InDelta(t, 45, to-from, 2, "four times as far apart, a quarter of the time")
	require.InDelta(t, 90, (from+to)/2, 2, "about what was between the fingers")
	b.quiet(t)
}

// A zoom makes no line wider, and the cursor stays at its moment.
func TestBrowserZoomKeepsLinesAndTheCursor(t *testing.T) {
	b := open(t, regattaPage())
	x, y := b.atSecond(t, 91, "channel")
	b.do(t, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y))
	cursor := func() float64 {
		return eval[float64](t, b, `document.querySelector(".cursor").getBoundingClientRect().left`)
	}
	require.InDelta(t, x, cursor(), 1)
	b.do(t, chromedp.Click(chromedp.CSS(`[data-do="in"]`)), chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, 5, 5))
	x, _ = b.atSecond(t, 91, "channel")
	require.InDelta(t, x, cursor(), 1)
	require.Equal(t, "non-scaling-stroke", eval[string](t, b, `getComputedStyle(document.querySelector(".trace")).vectorEffect`))
	require.Equal(t, 1.0, eval[float64](t, b, `(() => {
		const m = document.querySelector(".mark.recording").getScreenCTM(), chart = document.querySelector(".chart").getScreenCTM();
		return m.a / chart.a;
	})()`), "marks are not stretched")
	b.quiet(t)
}

// Many flicks are counted, and shown one by one when a zoom has room for them.
func TestBrowserZoomsFromCountsToFlicks(t *testing.T) {
	b := open(t, manyPage(200))
	shown := func(selector string) int {
		return int(eval[float64](t, b, `[...document.querySelectorAll("`+selector+`")].filter((e) => e.getAttribute("display") !== "none").length`))
	}
	require.Zero(t, shown(".flick"))
	require.Positive(t, shown(".mark.count"))
	for range 4 {
		b.do(t, chromedp.Click(chromedp.CSS(`[data-do="in"]`)))
	}
	require.Positive(t, shown(".flick"))
	require.Zero(t, shown(".mark.count"))
	b.quiet(t)
}

// A flight of 200 flicks takes at most six screens of a desk or twelve of a phone,
// and is complete on paper.
func TestBrowserFoldsLongLists(t *testing.T) {
	for _, screen := range []struct{ width, height, most int }{{1280, 800, 6}, {390, 844, 12}} {
		b := open(t, manyPage(200), chromedp.EmulateViewport(int64(screen.width), int64(screen.height)))
		height := eval[float64](t, b, "document.documentElement.scrollHeight")
		require.LessOrEqual(t, height, float64(screen.most*screen.height), "%d px wide", screen.width)
		if screen.width == 1280 {
			pages, size := b.printed(t)
			require.Greater(t, pages, 4, "200 flicks have their rows")
			require.Less(t, size, 20<<20, "bytes for a printer")
		}
	}
}

// printed returns the number of sheets of paper and of bytes of a printed page.
func (b *browser) printed(t *testing.T) (pages, size int) {
	t.Helper()
	pdf := string(get(t, b, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize())))
	require.True(t, strings.HasPrefix(pdf, "%PDF-"))
	return len(regexp.MustCompile(`/Type /Page\b`).FindAllString(pdf, -1)), len(pdf)
}

// card writes the bench card of a rig as a page.
type card struct{ rig sim.Rig }

func (c card) Write(w io.Writer) error {
	return benchcard.New(c.rig, rigcheck.Check(c.rig, rigcheck.DefaultWithin), nil).Write(w, benchcard.HTML)
}

// The bench card fits a phone and two sheets of paper, for a plain rig and for one
// with every step.
func TestBrowserFitsTheBenchCard(t *testing.T) {
	const ms = sim.Millisecond
	full := sim.DefaultRig()
	full.Switch.Settle, full.SignalLoss.Then, full.Link = 30*ms, sim.LossPress, sim.LinkSpec{Frame: 20 * ms, Loss: 0.05}
	full.OneShot.Trigger, full.Line.Through, full.Line.Update = sim.TriggerBoth, sim.ThroughInverting, 20*ms
	full.Camera.MinPress, full.Camera.LongPress = sim.Interval{Low: 80 * ms, High: 150 * ms}, sim.Interval{Low: 600 * ms, High: sim.Second}
	full.Camera.Start, full.Camera.WakePress, full.Camera.AutoOff = sim.StartUnknown, sim.Second, sim.Minute
	for name, rig := range map[string]sim.Rig{"plain": sim.DefaultRig(), "full": full} {
		b := open(t, card{rig}, chromedp.EmulateViewport(390, 844))
		require.LessOrEqual(t, eval[float64](t, b, "document.documentElement.scrollWidth"), 390.0, name)
		pages, _ := b.printed(t)
		require.Equal(t, 2, pages, "%s: sheets of paper", name)
		b.quiet(t)
	}
}
