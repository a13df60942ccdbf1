package lanes

import (
	"image/color"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// A colour is opaque, with 8 bits a channel widened to 16 (image/color: v · 0x101).
func TestAColourIsOpaque(t *testing.T) {
	require.Equal(t, color.RGBA64{0x0e0e, 0x7c7c, 0x6b6b, 0xffff}, color.RGBA64Model.Convert(RGB(0x0e7c6b)))
}

// A colour that no share of ink brings far enough from the paper becomes the ink.
func TestAColourThatCannotContrastIsInk(t *testing.T) {
	require.Equal(t, RGB(0x777777), RGB(0x888888).towards(0x777777, 0x808080, 21))
}

// A press has the look of its flick only if it is the flick's own press; a second press
// of the same flick has that of its verdict.
func TestTheLookOfAPress(t *testing.T) {
	r := &sim.Replay{Flicks: []sim.Flick{{N: 1, Press: 1, Outcome: sim.FlickShort}}}
	require.Equal(t, Short, PressLook(r, sim.Press{N: 1, Flick: 1, Verdict: sim.VerdictToggle}))
	require.Equal(t, Toggled, PressLook(r, sim.Press{N: 2, Flick: 1, Verdict: sim.VerdictToggle}))
	require.Equal(t, Busy, PressLook(r, sim.Press{N: 3, Verdict: sim.VerdictBusy}))
}

// Only what did not toggle is listed as missed.
func TestMissedFlicks(t *testing.T) {
	p := Of(played(sim.DefaultRig(), 280*ms, 60*ms, 1600*ms), nil, false)
	at, labels := Missed(p.Lane(Flicks, ""))
	require.Equal(t, []sim.Micros{15 * s, 25 * s}, at)
	require.Equal(t, []string{"2: 60 ms short", "3: 1600 ms long"}, []string{labels[0].Long, labels[1].Long})
}

// The cells of a table for a flick with a press, a flick that the camera never saw, and a
// press that a lost signal made, from 500 ms after the last value, at 9.98 s, to 12 s.
func TestTheCellsOfAnAttempt(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Switch.Settle = 100 * ms
	rig.SignalLoss.Then = sim.LossPress
	chain := sim.NewChain(sim.TapChannel, rig)
	for at := sim.Micros(0); at <= 20*s; at += 20 * ms {
		sample := sim.Sample{At: at, Channel: 1000, Armed: sim.Absent}
		switch {
		case at >= 2*s && at < 2300*ms, at >= 5*s && at < 5060*ms:
			sample.Channel = 2000
		case at >= 10*s && at < 12*s:
			sample.Channel = sim.Absent
		}
		chain.Feed(sample)
	}
	r := chain.Finish()
	all := Attempts(r)
	require.Len(t, all, 3)
	cells := func(a Attempt) []string {
		return []string{a.Number(), a.Held(), a.ByHand(r), a.Margin(r), string(a.After(r)), a.Look(r).Name()}
	}
	require.Equal(t, []string{"1", "300 ms", "280 to 320 ms", "220 ms to spare", "recording", "toggled"}, cells(all[0]))
	require.Equal(t, []string{"2", "60 ms", "40 to 80 ms", "-", "recording", "unseen"}, cells(all[1]))
	require.Equal(t, []string{"-", "1520 ms", "-", "20 ms too long", "off", "long"}, cells(all[2]))
	p := Of(r, nil, false)
	require.Contains(t, p.Lane(Flicks, "").Label(2).Title, "press without a flick at ")
}

// If every move of the switch is a flick, a flick has no length.
func TestAFlickOfASingleMoveHasNoLength(t *testing.T) {
	rig := sim.DefaultRig()
	rig.OneShot = sim.OneShotSpec{Trigger: sim.TriggerBoth, Width: 300 * ms}
	r := played(rig, 2*s)
	all := Attempts(r)
	require.Len(t, all, 2)
	for i, want := range []sim.Micros{5 * s, 7 * s} {
		require.Equal(t, sim.Span{From: want, To: want}, all[i].Span)
	}
	require.Equal(t, "-", Attempt{Flick: &sim.Flick{Down: 5 * s, Up: sim.Never}}.Held())
}

// A flick that is held when the log ends extends to the end.
func TestAFlickThatIsHeldExtendsToTheEnd(t *testing.T) {
	r := played(sim.DefaultRig(), 9*s)
	require.Equal(t, sim.Span{From: 5 * s, To: r.End}, Attempts(r)[0].Span)
}

// Each hatch but the plain one has a path and dashes of its own.
func TestEachHatchIsDrawnDifferently(t *testing.T) {
	paths, dashes := map[string]Hatch{}, map[Hatch][]float64{}
	for l := range Looks {
		h := l.Entry().Hatch
		if h == Plain {
			require.Empty(t, h.Path())
			require.Nil(t, DashesOf(l))
			continue
		}
		require.Regexp(t, regexp.MustCompile(`^M[-MLHV0-9 ]+$`), h.Path())
		paths[h.Path()], dashes[h] = h, DashesOf(l)
		require.Zero(t, len(DashesOf(l))%2, "dashes and gaps alternate")
	}
	require.Len(t, paths, len(dashes))
	seen := map[string]bool{}
	for h, d := range dashes {
		require.NotEmpty(t, d, h)
		text := ""
		for _, length := range d {
			text += string(rune('0'+int(length))) + " "
		}
		require.False(t, seen[text], "%s has the dashes of another", h)
		seen[text] = true
	}
}

// In a legend every look has a name of its own, though states share words with outcomes.
func TestFullNamesDiffer(t *testing.T) {
	seen := map[string]bool{}
	for l := range Looks {
		require.False(t, seen[l.FullName()], l.FullName())
		seen[l.FullName()] = true
	}
	require.Len(t, seen, LookCount-1)
	require.True(t, seen["camera off"])
	for l := range Looks {
		require.Equal(t, None+1, l, "the caller stops")
		break
	}
}

// A finding that costs something looks like a loss; its label has its letter and text.
func TestTheLabelOfAFinding(t *testing.T) {
	r := played(sim.DefaultRig(), 280*ms)
	p := Of(r, []tell.Finding{{At: s, To: 2 * s, Text: "one", Costs: true}, {At: 3 * s, To: 3 * s, Text: "two"}}, false)
	lane := p.Lane(Findings, "")
	require.Equal(t, []sim.Span{{From: s, To: 2 * s}, {From: 3 * s, To: 3 * s}}, lane.Spans)
	require.Equal(t, Label{Look: Lost, Long: "A", Short: "A", Title: "finding A: one"}, lane.Label(0))
	require.Equal(t, Label{Look: finding, Long: "B", Short: "B", Title: "finding B: two"}, lane.Label(1))
}

// The labels of the armed time, the chance of recording, and a lost signal.
func TestTheLabelsOfOtherLanes(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Log.Armed = "arm"
	chain := sim.NewChain(sim.TapChannel, rig)
	for at := sim.Micros(0); at <= 10*s; at += 20 * ms {
		sample := sim.Sample{At: at, Channel: 1000, Armed: 2000}
		if at >= 4*s && at < 6*s {
			sample.Channel = sim.Absent
		}
		chain.Feed(sample)
	}
	r := chain.Finish()
	r.Belief = []sim.BeliefStretch{{From: 0, To: 10 * s, Recording: 0.25, RecordingTo: 0.25}}
	p := Of(r, nil, true)
	require.Equal(t, Label{Look: Armed, Long: "armed 10 s", Short: "armed", Title: "armed 0:00.0 to 0:10.0 (10 s)"}, p.Lane(Bands, "armed").Label(0))
	require.Equal(t, "chance of recording 25 %, 0:00.0 to 0:10.0 (10 s)", p.Lane(Chance, "").Label(0).Title)
	channel := p.Lane(Channel, "channel")
	require.Equal(t, r.Lost[0], channel.Spans[0])
	require.Equal(t, NoSignal, channel.Label(0).Look)
	require.Regexp(t, `^no signal 0:04\.\d to 0:06\.0 \(`, channel.Label(0).Title)

	output := sim.NewChain(sim.TapOutput, rig)
	output.Feed(sim.Sample{At: 0, Channel: 1000, Armed: sim.Absent})
	ofOutput := Of(output.Finish(), nil, true)
	require.NotNil(t, ofOutput.Lane(Channel, "output"))
}

func bin(from, to sim.Micros, low, high sim.PulseWidth) sim.TraceBin {
	return sim.TraceBin{Span: sim.Span{From: from, To: to}, Low: low, High: high}
}

// Equal neighbours are one run; then pairs are joined to their extremes, in which a value
// outweighs no value.
func TestRuns(t *testing.T) {
	none := sim.Absent
	bins := []sim.TraceBin{bin(0, 1, 1000, 1000), bin(1, 2, 1000, 1000), bin(2, 3, none, none), bin(3, 4, none, none), bin(4, 5, 1500, 2000)}
	runs := Runs(bins, 10)
	require.Len(t, runs, 3)
	require.Equal(t, []sim.Micros{2, 4, 5}, []sim.Micros{runs[0].To, runs[1].To, runs[2].To})
	require.True(t, runs[1].Absent())
	require.Equal(t, []sim.TraceBin{bin(0, 4, 1000, 1000), bin(4, 5, 1500, 2000)}, Runs(bins, 2))
	require.Equal(t, []sim.TraceBin{bin(0, 5, 1000, 2000)}, Runs(bins, 0), "one at least")
	require.Equal(t, []sim.TraceBin{bin(0, 2, 1200, 1300)}, Runs([]sim.TraceBin{bin(0, 1, none, none), bin(1, 2, 1200, 1300)}, 1))
}

// On the strip of a window from 80 to 1500 ms, the zone at a place is that of the hold at
// that place, and the last one has no end.
func TestTheZoneAtAPlace(t *testing.T) {
	for _, strip := range []Strip{StripOf(sim.DefaultRig().Camera), CloseStripOf(sim.DefaultRig().Camera)} {
		for hold, want := range map[sim.Micros]Look{79 * ms: Short, 81 * ms: Toggled, 1499 * ms: Toggled, 1501 * ms: Long} {
			require.Equal(t, want, strip.At(strip.X(hold)).Look, hold)
		}
		require.Equal(t, Long, strip.At(1).Look)
	}
	near, far := CloseStripOf(sim.DefaultRig().Camera), StripOf(sim.DefaultRig().Camera)
	require.Zero(t, near.X(40*ms), "half of min_press is its start")
	require.Less(t, far.X(1500*ms)-far.X(80*ms), near.X(1500*ms)-near.X(80*ms), "the window fills more of the close strip")
}

// Texts that would overlap move apart; where there is no room for them, they stay.
func TestThePlacesOfMarks(t *testing.T) {
	camera := sim.DefaultRig().Camera
	camera.LongPress = sim.Exactly(100 * ms)
	strip := StripOf(camera)
	require.Len(t, strip.Marks, 2)
	width := func(string) float64 { return 30 }
	places := strip.MarkPlaces(200, width)
	require.InDelta(t, 30, places[1]-places[0], 1e-9)
	require.Equal(t, []float64{strip.Marks[0].At * 40, strip.Marks[1].At * 40}, strip.MarkPlaces(40, width), "40 has no room for two of 30")
}

// Holds beyond long_press are too long, where a long press of the camera does nothing; a
// press that acts when the button goes down toggles first.
func TestTheNamesOfZones(t *testing.T) {
	zones := func(change func(*sim.CameraSpec)) (all []string) {
		camera := sim.DefaultRig().Camera
		change(&camera)
		for _, z := range ZonesOf(camera) {
			all = append(all, z.Name)
		}
		return all
	}
	require.Equal(t, []string{"short", "toggles", "long"}, zones(func(*sim.CameraSpec) {}))
	require.Equal(t, []string{"short", "toggles", "too long"}, zones(func(c *sim.CameraSpec) { c.LongAction = sim.ActionNone }))
	require.Equal(t, []string{"short", "toggles", "toggles, then long"}, zones(func(c *sim.CameraSpec) { c.ToggleOn = sim.ToggleOnPress }))
}

// The steps of an axis are 1, 2 and 5 times a power of ten, each the smallest that is
// long enough.
func TestDecimalSteps(t *testing.T) {
	for least, want := range map[float64]float64{1: 1, 1.01: 2, 2: 2, 3: 5, 5: 5, 5.1: 10, 0.03: 0.05, 700: 1000} {
		require.InEpsilon(t, want, DecimalStep(least), 1e-12, "%g", least)
	}
}

// The ends of the press ranges come before round values, and a value too close to an
// earlier one, or off the scale, is left out.
func TestTheValuesBesideTheChannel(t *testing.T) {
	values := func(apart float64) (all []string) {
		for _, v := range ScaleOf(1000, 2000).Values([]sim.PulseRange{{Low: 1520, High: 2250}}, apart) {
			all = append(all, v.Text)
		}
		return all
	}
	require.Equal(t, []string{"1520", "1000", "2000", "1500"}, values(0.01))
	require.Equal(t, []string{"1520", "1000", "2000"}, values(0.05), "20 of 1200 µs is closer")
}

// What starts outside the window is not counted.
func TestCountOutsideTheWindow(t *testing.T) {
	p := Of(played(sim.DefaultRig(), 280*ms, 60*ms, 280*ms), nil, false)
	counted := map[Look]int{}
	for _, c := range Count(p.Lane(Flicks, ""), sim.Span{From: 10 * s, To: 20 * s}, 4) {
		for look, n := range c.Of {
			counted[Look(look)] += n
		}
	}
	require.Equal(t, 1, counted[Short])
	require.Zero(t, counted[Toggled])
}
