package report_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/plot/report"
	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// lane returns the group of a lane in a page's first chart.
func lane(t *testing.T, doc *node, name string) *node {
	t.Helper()
	for _, g := range doc.all("g", "lane") {
		if g.attr["data-name"] == name {
			return g
		}
	}
	t.Fatalf("no lane %q", name)
	return nil
}

// The place of every mark is its time to a pixel, and so are the ticks that the
// script reads.
func TestMarksAreAtTheirTimes(t *testing.T) {
	page := regattaPage()
	r := page.Parts[0].Replay
	doc := parse(t, written(t, page))
	plot := doc.all("svg", "plot")[0]
	left, width := plot.number(t, "x"), plot.number(t, "width")
	figure := doc.all("figure", "timing")[0]
	ticks, unit := figure.number(t, "data-ticks"), figure.number(t, "data-unit")
	require.InDelta(t, float64(r.End), ticks*unit, unit)
	expect := func(at sim.Micros) float64 { return left + width*float64(at)/float64(r.End) }

	check := func(name, class string, spans []sim.Span) {
		marks := lane(t, doc, name).all("rect", class)
		require.Len(t, marks, len(spans), name)
		for i, span := range spans {
			x, w := marks[i].number(t, "x"), marks[i].number(t, "width")
			require.InDelta(t, expect(span.From), x, 1, "%s %d begins", name, i)
			require.InDelta(t, expect(span.To), x+w, 1, "%s %d ends", name, i)
			require.InDelta(t, float64(span.From), marks[i].number(t, "data-from")*unit, unit)
			require.InDelta(t, float64(span.To), marks[i].number(t, "data-to")*unit, unit)
		}
	}
	var presses, takes, recording []sim.Span
	for _, p := range r.Presses {
		presses = append(presses, sim.Span{From: p.Down, To: p.Up})
	}
	for _, k := range r.Takes {
		takes = append(takes, sim.Span{From: k.Start, To: k.End})
	}
	for i, s := range r.States {
		if s.State == sim.StateRecording {
			recording = append(recording, sim.Span{From: s.At, To: r.States[i+1].At})
		}
	}
	check("position", "pressed", presses)
	check("camera", "recording", recording)
	check("takes", "recording", takes)
	check("armed", "armed", r.Armed.Windows)

	signs := lane(t, doc, "flicks").all("g", "flick")
	require.Len(t, signs, len(r.Flicks))
	for i, f := range r.Flicks {
		var x, y float64
		_, err := fmt.Sscanf(signs[i].attr["transform"], "translate(%g %g)", &x, &y)
		require.NoError(t, err)
		require.InDelta(t, expect(f.Down), x, 1)
		require.Contains(t, signs[i].attr["class"], string(f.Outcome))
	}
}

// The trace is drawn in the channel's values, and its transform puts the press
// range at its line.
func TestTraceIsDrawnInItsValues(t *testing.T) {
	doc := parse(t, written(t, regattaPage()))
	channel := lane(t, doc, "channel")
	trace := channel.all("path", "trace")[0]
	boxes := regexp.MustCompile(`M(\d+) (\d+)H(\d+)V(\d+)H(\d+)Z`).FindAllStringSubmatch(trace.attr["d"], -1)
	require.Equal(t, "1000", boxes[0][2])
	flicks := 0
	for i, b := range boxes[1:] {
		require.Equal(t, boxes[i][3], b[1], "no hole in the trace")
		if b[4] == "2000" && boxes[i][4] == "1000" {
			flicks++
		}
	}
	require.Equal(t, len(regatta), flicks)

	var perPx, offset float64
	_, err := fmt.Sscanf(trace.attr["transform"], "scale(1 %g) translate(0 %g)", &perPx, &offset)
	require.NoError(t, err)
	band := channel.all("rect", "range")[0]
	require.InDelta(t, (1250+offset)*perPx, band.number(t, "y")+band.number(t, "height"), 1)
}

func TestChanceIsDrawnAsAnArea(t *testing.T) {
	page := regattaPage()
	page.Parts[0].Replay.Belief = []sim.BeliefStretch{
		{From: 0, To: 60 * sim.Second, Recording: 0.5, RecordingTo: 0.5},
		{From: 60 * sim.Second, To: 180 * sim.Second, Recording: 0.25, RecordingTo: 0.999},
	}
	doc := parse(t, written(t, page))
	strip := lane(t, doc, "recording")
	require.Equal(t, "M0 0V0.5L600000 0.5V0ZM600000 0V0.25L1800000 0.999V0Z", strip.all("path", "chance")[0].attr["d"])
	require.Contains(t, strip.content(), "25 % to more than 99 %")
	require.Len(t, doc.all("table", "chances")[0].all("tbody", "")[0].all("tr", ""), 2)
}

// The page says what is not known, and shows clips beside their takes. A clip's
// name shows only printable characters.
func TestDoubtAndClipsAreShown(t *testing.T) {
	page := regattaPage()
	require.NotContains(t, written(t, page), "Clips on the card")
	rig := heron()
	rig.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	page.Parts[0] = part(rig, regatta[:2], 70*sim.Second)
	clip := belief.Clip{Name: "LAKE\x1b1", Length: page.Parts[0].Replay.Takes[0].Length() + 370*sim.Millisecond}
	require.NoError(t, flight.Judge(page.Parts, tell.DefaultLimits(), belief.Observations{Clips: []belief.Clip{clip}, ClipError: sim.Second}))
	doc := parse(t, written(t, page))
	require.Contains(t, doc.all("table", "known")[0].content(), "min_press 60 to 110 ms")
	row := doc.all("table", "clips")[0].all("tbody", "")[0].content()
	require.Contains(t, row, "42 s 1 41.6 s +370 ms")
	require.NotContains(t, row, "\x1b")
}

// Texts in a row never overlap, with few flicks and with many.
func TestLabelsFitWithManyFlicks(t *testing.T) {
	for _, n := range []int{3, 30, 300} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			doc := parse(t, written(t, manyPage(n)))
			shown := 0
			for _, lane := range doc.all("g", "lane") {
				var row [][2]float64
				for _, label := range lane.all("text", "label") {
					if label.text == "" {
						continue
					}
					if label.attr["data-sign"] != "" {
						shown++
					}
					const glyph = 6.0 // px, about the mean of the font at this size
					half := float64(len([]rune(label.text))) * glyph / 2
					x := label.number(t, "x")
					for _, taken := range row {
						require.False(t, x-half < taken[1] && x+half > taken[0], "%q overlaps", label.text)
					}
					row = append(row, [2]float64{x - half, x + half})
				}
			}
			if n <= 30 {
				require.Equal(t, n, shown)
			} else {
				require.Zero(t, shown, "more flicks than there is room for are counted")
			}
		})
	}
}

// If flicks are counted, the bars count all of them.
func TestManyFlicksAreCounted(t *testing.T) {
	page := manyPage(300)
	flicks := lane(t, parse(t, written(t, page)), "flicks")
	counted := 0
	for _, bar := range flicks.all("rect", "count") {
		var n int
		_, err := fmt.Sscan(bar.content(), &n)
		require.NoError(t, err)
		counted += n
	}
	require.Equal(t, 300, counted)
	for _, sign := range flicks.all("g", "flick") {
		require.Equal(t, "none", sign.attr["display"], "hidden until a zoom")
	}
}

// maxChart is the largest drawing of a segment, whatever the log.
const maxChart = 2 << 20

// The worst log for the chart: every lane changes all the time, and findings are
// everywhere.
func TestChartIsLimited(t *testing.T) {
	for _, n := range []int{300, 600, 5_000, 30_000} {
		p := crowded(n)
		page := written(t, report.Page{Source: "crowded.csv", Parts: []flight.Flight{p}})
		from, to := bytes.Index(page, []byte(`<svg class="chart"`)), bytes.Index(page, []byte("</figure>"))
		t.Logf("%d changes in every lane: chart of %d KiB, page of %d KiB", n, (to-from)>>10, len(page)>>10)
		require.Less(t, to-from, maxChart)
		require.Equal(t, n > 300, bytes.Contains(page, []byte("too dense to draw one by one")))
	}
}

// crowded returns a part with n changes in every lane, at irregular distances.
func crowded(n int) flight.Flight {
	rig := heron()
	rig.OneShot.Trigger, rig.Line.Update = sim.TriggerBoth, sim.Millisecond
	r := &sim.Replay{Rig: rig, Window: rig.Camera.Window(), Armed: &sim.ArmedTime{}}
	p := flight.Flight{Replay: r, Trace: sim.NewTrace(sim.TapChannel, rig, report.TraceBins)}
	at := sim.Hour
	var level sim.Lane
	for i := range n {
		from := at
		at += sim.Micros(1+i*7919%11) * 100 * sim.Millisecond
		span := sim.Span{From: from, To: from + (at-from)/2}
		level.Edges = append(level.Edges, sim.Edge{At: span.From, Pressed: true}, sim.Edge{At: span.To})
		r.Flicks = append(r.Flicks, sim.Flick{N: i + 1, Down: span.From, Up: span.To, Outcome: sim.FlickToggled, Press: i + 1})
		r.Presses = append(r.Presses, sim.Press{N: i + 1, Flick: i + 1, Down: span.From, Up: span.To, Verdict: sim.VerdictToggle, StateAt: sim.StateStandby, Doubtful: true})
		r.Takes = append(r.Takes, sim.Take{N: i + 1, Start: span.From, End: span.To})
		r.States = append(r.States, sim.StateChange{At: span.From, State: sim.StateRecording}, sim.StateChange{At: span.To, State: sim.StateStandby})
		r.Armed.Windows = append(r.Armed.Windows, span)
		r.Lost = append(r.Lost, span)
		r.Belief = append(r.Belief, sim.BeliefStretch{From: from, To: at, Recording: 1.0 / 3, RecordingTo: 2.0 / 3})
		p.Findings = append(p.Findings, tell.Finding{At: from, Text: strings.Repeat("it was held too long ", 10), Costs: i%2 == 0})
		p.Trace.Feed(sim.Sample{At: from, Channel: sim.PulseWidth(1000 + i*7907%500)})
		p.Trace.Feed(sim.Sample{At: from + 1, Channel: sim.PulseWidth(1600 + i%400)})
	}
	r.End = at
	r.Lanes = sim.Lanes{Position: level, Settled: level, Pulse: level, Line: level, Wire: level}
	return p
}

func BenchmarkPage(b *testing.B) {
	for _, n := range []int{3, 300} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			page := manyPage(n)
			var out bytes.Buffer
			for b.Loop() {
				out.Reset()
				if err := page.Write(&out); err != nil {
					b.Fatal(err)
				}
			}
			b.SetBytes(int64(out.Len()))
		})
	}
}
