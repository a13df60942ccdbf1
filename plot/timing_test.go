package plot

import (
	"bytes"
	"flag"
	"fmt"
	"image/color"
	"image/png"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/tell"
)

var update = flag.Bool("update", false, "write the golden files again")

const ms = sim.Millisecond

// clockScale returns the places of times on a drawing, from those of two labels
// of its axis.
func clockScale(t *testing.T, d drawing, first string, at sim.Micros, second string, then sim.Micros) func(sim.Micros) vg.Length {
	x0, x1 := d.text(t, first).centre().X, d.text(t, second).centre().X
	perMicro := (x1 - x0) / vg.Length(then-at)
	return func(m sim.Micros) vg.Length { return x0 + vg.Length(m-at)*perMicro }
}

// uprights returns the places of the vertical strokes of the longest path in a
// style.
func uprights(d drawing, colour lanes.RGB, width string) []float64 {
	stroke := strings.ToUpper(colour.Hex())
	var best []vg.Point
	for _, p := range d.paths {
		if p.style["stroke"] != stroke || p.style["stroke-width"] != width {
			continue
		}
		for _, run := range p.runs {
			if box := bounds(run); len(best) == 0 || box.Size().X > bounds(best).Size().X {
				best = run
			}
		}
	}
	var all []float64
	for i := 1; i < len(best); i++ {
		if best[i].X == best[i-1].X {
			all = append(all, float64(best[i].X))
		}
	}
	return all
}

func TestEdgesAreAtTheirTimesToAPixel(t *testing.T) {
	r, trace := flicks(heron(), 10*sim.Second, 280*ms, 2320*ms, 240*ms, 260*ms)
	d := readBack(t, timing(t, r, trace, TimingView{}))
	x := clockScale(t, d, "0:00", 0, "0:30", 30*sim.Second)

	var want []float64
	for _, e := range r.Lanes.Position.Edges {
		want = append(want, float64(x(e.At)))
	}
	require.Len(t, want, 8)
	assert.InDeltaSlice(t, want, uprights(d, light.Ink, "1.25"), float64(pixel), "position")
	assert.InDeltaSlice(t, want, uprights(d, light.Trace, "1.25"), float64(pixel), "channel")
}

func TestBandsAreAtTheirTimesToAPixel(t *testing.T) {
	r, trace := flicks(heron(), 10*sim.Second, 280*ms, 280*ms, 280*ms, 280*ms)
	d := readBack(t, timing(t, r, trace, TimingView{}))
	x := clockScale(t, d, "0:00", 0, "0:30", 30*sim.Second)

	recording := d.filled(lanes.Recording) // in the row of the camera and in that of the takes
	require.Len(t, r.Takes, 2)
	require.Len(t, recording, 4)
	for i, take := range append(slices.Clone(r.Takes), r.Takes...) {
		assert.InDelta(t, float64(x(take.Start)), float64(recording[i].Min.X), float64(pixel))
		assert.InDelta(t, float64(x(take.End)), float64(recording[i].Max.X), float64(pixel))
	}
	signs := d.filled(lanes.Toggled)[1:] // after the zone of the emblem
	require.Len(t, signs, 4)
	for i, p := range r.Presses {
		assert.InDelta(t, float64(x(p.Down)), float64(signs[i].Min.X+signs[i].Max.X)/2, float64(pixel), "a sign is above the start of its press")
		assert.GreaterOrEqual(t, signs[i].Size().X, 8*pixel)
	}
}

func TestPNGHasTheColoursOfItsLanes(t *testing.T) {
	r, trace := flicks(heron(), 10*sim.Second, 280*ms, 280*ms)
	for _, look := range []Look{{}, {Dark: true}} {
		c := timing(t, r, trace, TimingView{Look: look})
		picture, err := png.Decode(bytes.NewReader(written(t, c, pngFile)))
		require.NoError(t, err)
		require.Equal(t, c.size, Size{picture.Bounds().Dx(), picture.Bounds().Dy()})

		d := readBack(t, c)
		at := func(p vg.Point) lanes.RGB {
			c := color.NRGBAModel.Convert(picture.At(int(p.X/pixel), int((d.height-p.Y)/pixel))).(color.NRGBA)
			return lanes.RGB(c.R)<<16 | lanes.RGB(c.G)<<8 | lanes.RGB(c.B)
		}
		th := look.theme()
		beside := func(words string) vg.Point { // within the box of a label
			box := d.text(t, words).box
			return vg.Point{X: box.Max.X + 6, Y: box.Min.Y}
		}
		assert.Equal(t, th.Paper.Paper, at(vg.Point{X: 2, Y: 2}), "margin")
		assert.Equal(t, th.fill(lanes.Recording).colour, at(beside("1: 9.6 s")), "take")
		assert.Equal(t, th.fill(lanes.Armed).colour, at(beside("armed 18 s")), "armed")
		threshold := d.text(t, "press from 1250").centre()
		inLane := vg.Point{X: d.text(t, "0:02").centre().X + 20, Y: threshold.Y + 10}
		assert.Equal(t, th.Range, at(inLane), "press range")
		inLane.Y = threshold.Y - 6
		assert.Equal(t, th.Paper.Paper, at(inLane), "below the press range")
	}
}

func TestChartSaysWhatItShows(t *testing.T) {
	r, trace := flicks(everyStep(), 10*sim.Second, 280*ms, 2320*ms, 60*ms)
	r.Belief = []sim.BeliefStretch{{From: 0, To: r.End, Recording: 0.5, RecordingTo: 0.25}}
	findings := tell.Findings(r, tell.DefaultLimits())
	d := readBack(t, timing(t, r, trace, TimingView{Title: "1 of 3 flicks toggled", Name: "Heron: regatta.csv", Look: Look{Notes: []string{"camera values are examples"}}}))
	for _, words := range []string{
		"1 of 3 flicks toggled", "Heron: regatta.csv · 0:00.0 to 0:30.0", "camera values are examples",
		"aux2", "position", "= settled, 30 ms later", "one-shot", "line", "= wire, 40 ms later", "flicks", "camera", "armed", "takes",
		"press from 1250", "1: 300 ms", "3: 300 ms", "A", "toggles", "80 ms", "1500 ms",
	} {
		assert.Contains(t, d.allText(), words)
	}
	require.NotEmpty(t, findings)
	for _, f := range findings {
		assert.Contains(t, strings.ReplaceAll(d.allText(), "\n", " "), f.Text)
	}
	assert.Equal(t, "1 of 3 flicks toggled", d.title)
}

// The legend explains what the chart does not label in place, and nothing else.
func TestLegendExplainsOnlyWhatIsNotLabelled(t *testing.T) {
	r, trace := flicks(heron(), 10*sim.Second, 280*ms, 2320*ms, 60*ms)
	text := readBack(t, timing(t, r, trace, TimingView{})).allText()
	assert.Contains(t, text, "starting", "too narrow for its name")
	assert.Contains(t, text, "2: 2320 ms long", "named at its sign")
	assert.NotContains(t, text, "\nlong\nlong", "once in the emblem, not in a legend")
	assert.NotContains(t, text, "\ntoggled")
}

// With more presses than there is room for, bars count them, and add up.
func TestManyPressesAreCounted(t *testing.T) {
	r, trace := manyFlicks(heron(), 200)
	d := readBack(t, timing(t, r, trace, TimingView{}))
	assert.Contains(t, d.allText(), "Too many flicks to draw one by one: each bar counts 10 s by outcome")
	for _, words := range []string{"toggled", "short", "long", "off"} {
		assert.Contains(t, d.allText(), words)
	}
	requireReadable(t, d, "200 presses")

	few, trace := flicks(heron(), 10*sim.Second, 280*ms, 280*ms)
	assert.NotContains(t, readBack(t, timing(t, few, trace, TimingView{})).allText(), "Too many")
}

// A press whose outcome is doubtful has a frame and a question mark.
func TestDoubtIsDrawn(t *testing.T) {
	r, trace := flicks(heron(), 10*sim.Second, 280*ms, 280*ms)
	text := func() string { return readBack(t, timing(t, r, trace, TimingView{})).allText() }
	assert.NotContains(t, text(), "?")
	r.Presses[1].Doubtful = true
	assert.Contains(t, text(), "2: 280 ms?")
	assert.Contains(t, text(), "1: 9.6 s?", "and the take that it ended")
}

func TestPressCloseUpShowsItsWindow(t *testing.T) {
	rig := heron()
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	r, trace := flicks(rig, 10*sim.Second, 280*ms, 2320*ms, 60*ms)
	for _, test := range []struct {
		press int
		says  []string
	}{
		{1, []string{"released after 280 ms: toggle", "toggles", "long", "60 ms: short or toggles", "110 ms", "1500 ms"}},
		{2, []string{"released after 2320 ms: long"}},
		{3, []string{"released after 60 ms; the camera was off, so the window did not apply"}},
	} {
		d := readBack(t, timing(t, r, trace, TimingView{Press: test.press}))
		for _, words := range test.says {
			assert.Contains(t, d.allText(), words)
		}
	}

	d := readBack(t, timing(t, r, trace, TimingView{Press: 1}))
	x := clockScale(t, d, "0:05.0", 5*sim.Second, "0:06.0", 6*sim.Second)
	zones := d.filled(lanes.Toggled) // of the emblem, then the sign, then of the row
	toggles := zones[len(zones)-1]
	assert.InDelta(t, float64(x(5*sim.Second+110*ms)), float64(toggles.Min.X), float64(pixel))
	assert.InDelta(t, float64(x(6500*ms)), float64(toggles.Max.X), float64(pixel))
}

func TestCloseUpOfAPressThatIsDownAtTheEnd(t *testing.T) {
	chain := sim.NewChain(sim.TapChannel, heron())
	for at := sim.Micros(0); at <= sim.Second; at += 20 * ms {
		s := sim.Sample{At: at, Channel: 1000, Armed: sim.Absent}
		if at >= 800*ms {
			s.Channel = 2000
		}
		chain.Feed(s)
	}
	d := readBack(t, timing(t, chain.Finish(), nil, TimingView{Press: 1}))
	assert.Contains(t, d.allText(), "not released when the log ended")
}

func TestNoTextOverlapsAnother(t *testing.T) {
	long := strings.Repeat("the mark rounding of the fourth race ", 6)
	for presses, rig := range map[int]sim.Rig{3: everyStep(), 30: heron(), 300: heron()} {
		rig.Log.Channel = long
		r, trace := manyFlicks(rig, presses)
		for _, width := range []int{minWidth, 480, 1200} {
			for _, view := range []TimingView{
				{Title: long},
				{Title: "one", Press: 2},
				{Title: "part", Span: sim.Span{From: 3 * sim.Second, To: 9 * sim.Second}},
			} {
				view.Size.Width = width
				name := fmt.Sprintf("%d presses, %d wide, %s", presses, width, view.Title[:3])
				requireReadable(t, readBack(t, timing(t, r, trace, view)), name)
			}
		}
	}
}

// requireReadable requires that every text is on the page and overlaps no other.
func requireReadable(t *testing.T, d drawing, name string) {
	t.Helper()
	for i, a := range d.texts {
		onPage := a.box.Min.X >= 0 && a.box.Min.Y >= 0 && a.box.Max.X <= d.width+0.5 && a.box.Max.Y <= d.height
		require.True(t, onPage, "%s: %q leaves the page: %v", name, a.words, a.box)
		for _, b := range d.texts[:i] {
			apart := a.box.Max.X <= b.box.Min.X || b.box.Max.X <= a.box.Min.X ||
				a.box.Max.Y <= b.box.Min.Y || b.box.Max.Y <= a.box.Min.Y
			require.True(t, apart, "%s: %q overlaps %q", name, a.words, b.words)
		}
	}
}

func TestACrowdedChartSaysThatItLeavesThingsOut(t *testing.T) {
	r, trace := flicks(heron(), 10*sim.Second, 280*ms)
	assert.NotContains(t, readBack(t, timing(t, r, trace, TimingView{})).allText(), "dotted block")

	chain := sim.NewChain(sim.TapChannel, heron())
	for i := range sim.Micros(6_000) {
		chain.Feed(sim.Sample{At: i * 5 * ms, Channel: 1000 + 1000*sim.PulseWidth(i%2), Armed: sim.Absent})
	}
	d := readBack(t, timing(t, chain.Finish(), nil, TimingView{}))
	assert.Contains(t, d.allText(), "a dotted block stands for it")
}

// crowded returns a replay in which every lane changes about once a period, which
// is more than in any log.
func crowded(period sim.Micros) (*sim.Replay, *sim.Trace, []tell.Finding) {
	rig := everyStep()
	rig.OneShot.Trigger = sim.TriggerOff
	rig.Switch.Settle, rig.Line.Update, rig.Line.Delay = 0, period/30+1, period/9
	rig.Camera.MinPress, rig.Camera.StartDelay, rig.Camera.StopDelay = sim.Exactly(ms), period/7, period/7
	chain, trace := sim.NewChain(sim.TapChannel, rig), sim.NewTrace(sim.TapChannel, rig, 40_000)
	for i := range sim.Micros(10_000) {
		s := sim.Sample{At: i * period / 2, Channel: 1200 + 500*sim.PulseWidth(i%2) + sim.PulseWidth(i*7919%100), Armed: 1000 + 1000*sim.PulseWidth(i/2%2)}
		chain.Feed(s)
		trace.Feed(s)
	}
	r := chain.Finish()
	var findings []tell.Finding
	r.Lost = nil
	for i := range r.End / period {
		at := i * period
		r.Belief = append(r.Belief, sim.BeliefStretch{From: at, To: at + period, Recording: float64(i % 2), RecordingTo: 0.5})
		r.Lost = append(r.Lost, sim.Span{From: at, To: at + period/2})
		findings = append(findings, tell.Finding{At: at, Text: strings.Repeat("a long story ", 20)})
	}
	return r, trace, findings
}

// The limit that the package promises. A chart is largest if most of what it shows
// is as wide as a pixel, so the periods are about that long.
func TestSVGIsLimitedWhateverTheLog(t *testing.T) {
	for _, periods := range []sim.Micros{1000, 2500} {
		r, trace, findings := crowded(20 * ms)
		c, err := Timing(r, findings, trace, TimingView{Span: sim.Span{To: periods * 20 * ms}})
		require.NoError(t, err)
		assert.Less(t, len(written(t, c, SVG)), 800_000, "%d periods", periods)
	}
}

func TestEqualInputGivesEqualBytes(t *testing.T) {
	r, trace := manyFlicks(everyStep(), 4)
	for _, format := range []Format{pngFile, SVG, pdf} {
		view := TimingView{Title: "Heron", Look: Look{Size: Size{Width: minWidth}}}
		first := written(t, timing(t, r, trace, view), format)
		second := written(t, timing(t, r, trace, view), format)
		require.True(t, bytes.Equal(first, second), "%s", format)
	}
}

const golden = "testdata/timing.svg"

func goldenChart(t *testing.T, rig sim.Rig) []byte {
	r, trace := flicks(rig, 4*sim.Second, 280*ms, 1600*ms)
	return written(t, timing(t, r, trace, TimingView{Title: "Heron: regatta.csv", Look: Look{Size: Size{Width: 640}}}), SVG)
}

// To write the file again: go test ./plot -run Golden -update
func TestTimingIsTheGoldenOne(t *testing.T) {
	drawn := goldenChart(t, heron())
	if *update {
		require.NoError(t, os.WriteFile(golden, drawn, 0o666))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	wantLines, lines := strings.Split(string(want), "\n"), strings.Split(string(drawn), "\n")
	for i := range min(len(wantLines), len(lines)) {
		require.Equal(t, wantLines[i], lines[i], "line %d", i+1)
	}
	require.Len(t, lines, len(wantLines))
}

func TestGoldenNoticesALaneThatMoves(t *testing.T) {
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	for name, change := range map[string]func(*sim.Rig){
		"a lane more":    func(r *sim.Rig) { r.Line.Delay = 200 * ms },
		"a lane less":    func(r *sim.Rig) { r.Log.Armed = "" },
		"a band shifted": func(r *sim.Rig) { r.Camera.StartDelay += 50 * ms },
	} {
		rig := heron()
		change(&rig)
		assert.NotEqual(t, string(want), string(goldenChart(t, rig)), name)
	}
}

func TestViewRefusesWhatTheLogDoesNotHave(t *testing.T) {
	r, _ := flicks(heron(), 10*sim.Second, 280*ms)
	for name, test := range map[string]struct {
		view TimingView
		want string
	}{
		"no such press":    {TimingView{Press: 2}, "found no press 2, want one of the 1 in the log"},
		"backwards":        {TimingView{Span: sim.Span{From: 5 * sim.Second, To: 4 * sim.Second}}, "found a span from 0:05.000 to 0:04.000, want one that ends after it begins"},
		"past the log":     {TimingView{Span: sim.Span{From: 11 * sim.Second, To: 12 * sim.Second}}, "found a span from 0:11.000 on, want a time before the log ends at 0:10.000"},
		"too small a page": {TimingView{Look: Look{Size: Size{Width: 600, Height: 100}}}, "found a height of 100 pixels, want at least"},
		"too narrow":       {TimingView{Look: Look{Size: Size{Width: 50}}}, "found a width of 50 pixels, want 360 to 20000"},
	} {
		_, err := Timing(r, nil, nil, test.view)
		require.ErrorContains(t, err, test.want, name)
	}
}

func TestEmptyLogIsDrawn(t *testing.T) {
	chain := sim.NewChain(sim.TapChannel, heron())
	chain.Feed(sim.Sample{Channel: sim.Absent, Armed: sim.Absent})
	d := readBack(t, timing(t, chain.Finish(), sim.NewTrace(sim.TapChannel, heron(), 4), TimingView{}))
	assert.Contains(t, d.allText(), "standby")
}
