package export

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
	"flicktally/sim/vcd"
)

const ms = sim.Millisecond

// regatta is a short flight of the Heron: a take from the start line, a press
// that is too short during it, and a take that still runs at the end.
func regatta(change func(*sim.Rig)) flight.Flight {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Camera.StartDelay, rig.Camera.StopDelay = 300*ms, 200*ms
	if change != nil {
		change(&rig)
	}
	chain := sim.NewChain(sim.TapChannel, rig)
	at := sim.Micros(0)
	hold := func(value sim.PulseWidth, length sim.Micros) {
		for end := at + length; at < end; at += 10 * ms {
			chain.Feed(sim.Sample{At: at, Channel: value, Armed: 2000})
		}
	}
	hold(1000, 2000*ms)
	hold(2000, 250*ms) // starts
	hold(1000, 4000*ms)
	hold(2000, 40*ms) // short
	hold(1000, 1710*ms)
	hold(2000, 300*ms) // stops
	hold(1000, 3000*ms)
	hold(2000, 280*ms) // starts
	hold(1000, 2420*ms)
	replay := chain.Finish()
	return flight.Flight{File: "regatta.csv", Segment: 1, Replay: replay, Findings: tell.Findings(replay, tell.DefaultLimits())}
}

func written(t *testing.T, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	return b.String()
}

func TestTakesCSV(t *testing.T) {
	got := written(t, func(w io.Writer) error { return Takes(w, []flight.Flight{regatta(nil)}, CSV) })
	require.Equal(t, strings.ReplaceAll(`log,segment,take,start_us,end_us,length_us,start,end,length,ended,ended_by_press,clip_name,clip_length_us
regatta.csv,1,1,2550000,8300000,5750000,0:02.550,0:08.300,0:05.750,press,3,,
regatta.csv,1,2,11880000,13990000,2110000,0:11.880,0:13.990,0:02.110,log-end,,,
`, "\n", "\r\n"), got, "lines end in CRLF: RFC 4180 §2")
}

func TestPressesJSONLines(t *testing.T) {
	got := written(t, func(w io.Writer) error { return Presses(w, []flight.Flight{regatta(nil)}, JSONLines) })
	lines := strings.Split(strings.TrimSuffix(got, "\n"), "\n")
	require.Len(t, lines, 4)
	require.Equal(t, `{"log":"regatta.csv","segment":1,"press":2,"down_us":6250000,"up_us":6290000,"hold_us":40000,`+
		`"hold_least_us":30000,"hold_most_us":50000,"down":"0:06.250","verdict":"short","state_at":"recording","state_after":"recording",`+
		`"from_start":false,"doubtful":false,"clip":1,"clip_down_us":3700000}`, lines[1])
	require.NotContains(t, lines[0], "clip", "no take ran when the first press went down")
	for _, line := range lines {
		require.True(t, json.Valid([]byte(line)))
	}
}

// Both formats say the same, for open presses and every other kind.
func TestFormatsAgree(t *testing.T) {
	flights := []flight.Flight{regatta(nil), regatta(func(r *sim.Rig) { r.SignalLoss.Then = sim.LossPress; r.Camera.Start = sim.StartUnknown })}
	chain := sim.NewChain(sim.TapChannel, sim.DefaultRig())
	chain.Feed(sim.Sample{At: 0, Channel: 2000, Armed: sim.Absent})
	flights = append(flights, flight.Flight{File: "open", Segment: 2, Replay: chain.Finish()})
	for name, table := range map[string]func(io.Writer, []flight.Flight, Format) error{"takes": Takes, "presses": Presses} {
		t.Run(name, func(t *testing.T) {
			rows, err := csv.NewReader(strings.NewReader(written(t, func(w io.Writer) error { return table(w, flights, CSV) }))).ReadAll()
			require.NoError(t, err)
			lines := strings.Split(strings.TrimSpace(written(t, func(w io.Writer) error { return table(w, flights, JSONLines) })), "\n")
			require.Len(t, lines, len(rows)-1)
			for n, row := range rows[1:] {
				var object map[string]any
				decoder := json.NewDecoder(strings.NewReader(lines[n]))
				decoder.UseNumber()
				require.NoError(t, decoder.Decode(&object))
				for i, field := range row {
					value, there := object[rows[0][i]]
					require.Equal(t, field != "", there, rows[0][i])
					if there {
						text, err := json.Marshal(value)
						require.NoError(t, err)
						require.Equal(t, field, strings.Trim(string(text), `"`), rows[0][i])
					}
				}
			}
		})
	}
}

// A spreadsheet must not take a name for a formula (OWASP, CSV Injection).
func TestCSVHoldsNoFormula(t *testing.T) {
	for _, name := range []string{"=1+1", "+1", "-1", "@SUM(A1)"} {
		f := regatta(nil)
		f.File = name
		got := written(t, func(w io.Writer) error { return Takes(w, []flight.Flight{f}, CSV) })
		rows, err := csv.NewReader(strings.NewReader(got)).ReadAll()
		require.NoError(t, err)
		require.True(t, strings.HasPrefix(rows[1][0], "'"), "%q", rows[1][0])
		require.Contains(t, written(t, func(w io.Writer) error { return Takes(w, []flight.Flight{f}, JSONLines) }), `{"log":"`+strings.Trim(mustJSON(t, name), `"`)+`"`,
			"JSON keeps the name as it is")
	}
	require.Equal(t, "log", cell("log"))
	require.Panics(t, func() { cell(1.5) })
}

func mustJSON(t *testing.T, v any) string {
	text, err := json.Marshal(v)
	require.NoError(t, err)
	return string(text)
}

func TestCues(t *testing.T) {
	require.Equal(t, `WEBVTT

NOTE
Heron: takes. Times are modelled; only the camera's own light is proof.

1
00:00:02.550 --> 00:00:08.300
take 1, 0:05.750, ended by press 3

2
00:00:11.880 --> 00:00:13.990
take 2, 0:02.110, still running when the log ends
`, written(t, func(w io.Writer) error { return Cues(w, []flight.Flight{regatta(nil)}) }))
}

func TestChapters(t *testing.T) {
	require.Equal(t, `WEBVTT

NOTE
Heron: chapters. Times are modelled; only the camera's own light is proof.

1
00:00:00.000 --> 00:00:02.550
no take

2
00:00:02.550 --> 00:00:08.300
take 1

3
00:00:08.300 --> 00:00:11.880
no take

4
00:00:11.880 --> 00:00:13.990
take 2
`, written(t, func(w io.Writer) error { return Chapters(w, []flight.Flight{regatta(nil)}) }))
}

// Times of a clip count from its take; anything outside it is left out.
func TestClipCues(t *testing.T) {
	f := regatta(nil)
	f.Findings = []tell.Finding{
		{At: 2_000_000, Text: "before"}, {At: 6_250_000, Text: "too <short> & early"}, {At: 8_000_000, Text: "near the end"}, {At: 8_300_000, Text: "behind"},
	}
	require.Equal(t, `WEBVTT

NOTE
Heron: clip of take 1. Times are modelled; only the camera's own light is proof.

1
00:00:00.000 --> 00:00:05.750
take 1, 0:05.750, ended by press 3, from 0:02.550 of the flight

2
00:00:03.700 --> 00:00:05.700
press 2, held 40 ms: short

3
00:00:03.700 --> 00:00:05.700
too &lt;short&gt; &amp; early

4
00:00:05.450 --> 00:00:05.750
press 3, held 300 ms: toggle

5
00:00:05.450 --> 00:00:05.750
near the end
`, written(t, func(w io.Writer) error { return CueFiles(&f)[0].Write(w) }))
}

// The rules of w3.org/TR/webvtt1 for a cue's times: §4.1, "WebVTT cue timings"
// and "WebVTT timestamp": hours of two digits or more, three decimals, the end
// behind the start, starts that never decrease.
func TestCueTimes(t *testing.T) {
	line := regexp.MustCompile(`(?m)^(\d{2,}:[0-5]\d:[0-5]\d\.\d{3}) --> (\d{2,}:[0-5]\d:[0-5]\d\.\d{3})$`)
	rapid.Check(t, func(t *rapid.T) {
		f := flight.Flight{Replay: &sim.Replay{}}
		at := sim.Micros(0)
		for n := range rapid.IntRange(0, 8).Draw(t, "takes") {
			at += sim.Micros(rapid.Int64Range(0, 1e11).Draw(t, "gap"))
			end := at + sim.Micros(rapid.Int64Range(1, 1e4).Draw(t, "length"))
			f.Replay.Takes = append(f.Replay.Takes, sim.Take{N: n + 1, Start: at, End: end})
			at = end
		}
		f.Replay.End = at
		for _, write := range []func(io.Writer, []flight.Flight) error{Cues, Chapters} {
			var b bytes.Buffer
			require.NoError(t, write(&b, []flight.Flight{f, f}))
			times := line.FindAllStringSubmatch(b.String(), -1)
			require.Len(t, times, strings.Count(b.String(), "-->"))
			before := ""
			for _, cue := range times {
				require.Negative(t, compareTimes(cue[1], cue[2]))
				require.LessOrEqual(t, compareTimes(before, cue[1]), 0)
				before = cue[1]
			}
		}
	})
	require.Equal(t, "123:04:05.678", timestamp(123*3600_000+4*60_000+5_678))
}

func compareTimes(a, b string) int {
	if len(a) != len(b) {
		return len(a) - len(b)
	}
	return strings.Compare(a, b)
}

func TestWaveform(t *testing.T) {
	f := regatta(func(r *sim.Rig) {
		r.Line.Active, r.Line.Delay = sim.ActiveLow, 5*ms
		r.Camera.PressedLevel = sim.ActiveLow
		r.Log.Armed = "arm"
		r.SignalLoss.StaleAfter = 5 * ms // lost between any two samples
	})
	dump := written(t, func(w io.Writer) error { return Waveform(w, &f) })
	level := func(wire string, at sim.Micros) sim.PulseWidth {
		r := vcd.NewReader(strings.NewReader(dump), "", vcd.Options{Wire: wire})
		value := sim.Absent
		for {
			samples, err := r.Next()
			if err == io.EOF {
				return value
			}
			require.NoError(t, err)
			for _, s := range samples {
				if s.At <= at {
					value = s.Channel
				}
			}
		}
	}
	const low, high = sim.LevelLow, sim.LevelHigh
	for _, test := range []struct {
		wire string
		at   sim.Micros
		want sim.PulseWidth
	}{
		{wireSwitch, 1999 * ms, low}, {wireSwitch, 2000 * ms, high}, {wireSettled, 2000 * ms, high}, {wirePulse, 2000 * ms, high},
		{wireOutput, 1999 * ms, high}, {wireOutput, 2000 * ms, low},
		{wireCamera, 2004 * ms, high}, {wireCamera, 2005 * ms, low},
		{wireLost, 14 * ms, low}, {wireLost, 15 * ms, high}, {wireLost, 20 * ms, low},
		{wireArmed, 0, high},
		{wireBusy, 2254 * ms, low}, {wireBusy, 2255 * ms, high}, {wireBusy, 2555 * ms, low},
		{wireRecorded, 2554 * ms, low}, {wireRecorded, 2555 * ms, high}, {wireRecorded, f.Replay.End, high},
	} {
		require.Equal(t, test.want, level(test.wire, test.at), "%s at %s", test.wire, test.at)
	}
	t.Run("steps before the tap and an armed state that is not told are left out", func(t *testing.T) {
		for tap, first := range map[sim.Tap]string{sim.TapOutput: wireOutput, sim.TapWire: wireCamera} {
			chain := sim.NewChain(tap, sim.DefaultRig())
			chain.Feed(sim.Sample{At: 9, Channel: 1000, Armed: sim.Absent})
			_, err := vcd.NewReader(strings.NewReader(written(t, func(w io.Writer) error {
				return Waveform(w, &flight.Flight{Replay: chain.Finish()})
			})), "", vcd.Options{Wire: "none"}).Next()
			var wires *vcd.WireError
			require.ErrorAs(t, err, &wires)
			require.Equal(t, "flight."+first, wires.Wires[0])
			require.NotContains(t, wires.Wires, "flight."+wireArmed)
		}
	})
}

// The camera's wire reads back as a capture that gives the same presses and
// takes, whatever the polarities.
func TestWaveformReplaysToTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := sim.DefaultRig()
		rig.Line.Active = rapid.SampledFrom(sim.Polarities).Draw(t, "active")
		rig.Line.Delay = sim.Micros(rapid.IntRange(0, 9).Draw(t, "delay"))
		rig.Camera.PressedLevel = rapid.SampledFrom(sim.Polarities).Draw(t, "pressed level")
		rig.Camera.MinPress = sim.Exactly(sim.Micros(rapid.IntRange(0, 20).Draw(t, "min press")))
		rig.Camera.LongPress = sim.Exactly(sim.Micros(rapid.IntRange(21, 90).Draw(t, "long press")))
		chain, at := sim.NewChain(sim.TapChannel, rig), sim.Micros(0)
		for range rapid.IntRange(1, 20).Draw(t, "samples") {
			chain.Feed(sim.Sample{At: at, Channel: rapid.SampledFrom([]sim.PulseWidth{1000, 2000}).Draw(t, "value"), Armed: sim.Absent})
			at += sim.Micros(rapid.IntRange(1, 60).Draw(t, "gap"))
		}
		chain.Feed(sim.Sample{At: at + 100, Channel: sim.Absent, Armed: sim.Absent}) // so that no edge falls on the end
		want := chain.Finish()

		var dump bytes.Buffer
		require.NoError(t, Waveform(&dump, &flight.Flight{Replay: want}))
		back := sim.NewChain(sim.TapWire, rig)
		for r := vcd.NewReader(&dump, "", vcd.Options{Wire: wireCamera}); ; {
			samples, err := r.Next()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err)
			for _, s := range samples {
				back.Feed(s)
			}
		}
		got := back.Finish()
		require.Equal(t, want.End, got.End)
		require.Equal(t, want.Toggles, got.Toggles)
		require.Equal(t, want.States, got.States)
		require.Equal(t, want.Takes, got.Takes)
		require.Equal(t, verdicts(want), verdicts(got))
	})
}

func verdicts(r *sim.Replay) (all []sim.Verdict) {
	for _, p := range r.Presses {
		all = append(all, p.Verdict)
	}
	return all
}

func TestLaneOf(t *testing.T) {
	up := func(at sim.Micros) sim.Edge { return sim.Edge{At: at, Pressed: true} }
	down := func(at sim.Micros) sim.Edge { return sim.Edge{At: at} }
	spans := func(times ...sim.Micros) (all []sim.Span) {
		for pair := range slices.Chunk(times, 2) {
			all = append(all, sim.Span{From: pair[0], To: pair[1]})
		}
		return all
	}
	for _, test := range []struct {
		rule  string
		spans []sim.Span
		want  sim.Lane
	}{
		{"none", nil, sim.Lane{}},
		{"one", spans(5, 9), sim.Lane{Edges: []sim.Edge{up(5), down(9)}}},
		{"from the beginning", spans(0, 9), sim.Lane{Initial: true, Edges: []sim.Edge{down(9)}}},
		{"touching ones are one", spans(0, 5, 5, 9, 9, 12), sim.Lane{Initial: true, Edges: []sim.Edge{down(12)}}},
		{"one that reaches the end stays", spans(3, 100), sim.Lane{Edges: []sim.Edge{up(3)}}},
		{"one without length is none", spans(0, 0, 5, 5, 6, 7), sim.Lane{Edges: []sim.Edge{up(6), down(7)}}},
	} {
		t.Run(test.rule, func(t *testing.T) { require.Equal(t, test.want, laneOf(test.spans, 100)) })
	}
}

func TestCut(t *testing.T) {
	log := []sim.Sample{
		{At: 0, Channel: 1000, Armed: 1000}, {At: 100, Channel: 1100, Armed: sim.Absent}, {At: 200, Channel: sim.Absent, Armed: 2000},
		{At: 300, Channel: 1300, Armed: 2000}, {At: 300, Channel: 1350, Armed: 2000}, {At: 400, Channel: 1400, Armed: 2000},
	}
	for _, test := range []struct {
		rule string
		span sim.Span
		want []sim.Micros
	}{
		{"all", sim.Span{To: 400}, []sim.Micros{0, 100, 200, 300, 300, 400}},
		{"both ends are included", sim.Span{From: 100, To: 300}, []sim.Micros{100, 200, 300, 300}},
		{"the row that holds at the beginning comes along", sim.Span{From: 150, To: 250}, []sim.Micros{100, 200}},
		{"between two rows", sim.Span{From: 210, To: 220}, []sim.Micros{200}},
		{"beyond the end", sim.Span{From: 900, To: 999}, []sim.Micros{400}},
	} {
		t.Run(test.rule, func(t *testing.T) {
			var kept []sim.Sample
			cut := NewCut(test.span, func(s sim.Sample) error {
				kept = append(kept, s)
				return nil
			})
			for _, s := range log {
				require.NoError(t, cut.Feed(s))
			}
			require.NoError(t, cut.Finish())
			require.Len(t, kept, len(test.want))
			for i, at := range test.want {
				require.Equal(t, at, kept[i].At)
			}
		})
	}
	full := errors.New("the disk is full")
	cut := NewCut(sim.Span{To: 9}, func(sim.Sample) error { return full })
	require.ErrorIs(t, cut.Feed(log[0]), full)
}
