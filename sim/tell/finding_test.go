package tell

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// A story is a list of moments in ms and the channel value from then on; the
// value of the end is the last.
type moment struct {
	ms    float64
	value sim.PulseWidth
}

const (
	rest sim.PulseWidth = 1000
	up   sim.PulseWidth = 2000
)

// flick is a press from one time in ms to another.
func flick(from, to float64) []moment { return []moment{{from, up}, {to, rest}} }

func story(parts ...[]moment) []moment {
	all := []moment{{0, rest}}
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

func micros(ms float64) sim.Micros { return sim.Micros(ms * 1000) }

// play feeds a story; the signal is never lost unless the rig says so.
func play(rig sim.Rig, moments []moment, endMs float64) *sim.Replay {
	c := sim.NewChain(sim.TapChannel, rig)
	for _, m := range moments {
		c.Feed(sim.Sample{At: micros(m.ms), Channel: m.value, Armed: sim.Absent})
	}
	return c.FinishAt(micros(endMs))
}

// rigWith returns the default rig, for which no gap between samples is a lost
// signal, with changes.
func rigWith(change func(*sim.Rig)) sim.Rig {
	r := sim.DefaultRig()
	r.SignalLoss.StaleAfter = sim.Hour
	if change != nil {
		change(&r)
	}
	return r
}

// dense repeats the values of a story every 5 ms, so that its holds are well
// timed.
func dense(moments []moment, endMs float64) []moment {
	var all []moment
	for i, m := range moments {
		until := endMs
		if i+1 < len(moments) {
			until = moments[i+1].ms
		}
		for ms := m.ms; ms < until || ms == m.ms; ms += 5 {
			all = append(all, moment{ms, m.value})
		}
	}
	return all
}

// goodFlight starts a take and ends it.
var goodFlight = story(flick(1000, 1300), flick(9000, 9300))

func codes(findings []Finding) map[Code]Finding {
	byCode := map[Code]Finding{}
	for _, f := range findings {
		byCode[f.Code] = f
	}
	return byCode
}

func TestFindingsNoneInAGoodFlight(t *testing.T) {
	assert.Empty(t, Findings(play(rigWith(nil), dense(goodFlight, 12000), 12000), DefaultLimits()))
}

// TestFindings has a flight with the finding of each rule.
func TestFindings(t *testing.T) {
	busyCamera := func(r *sim.Rig) { r.Camera.StartDelay, r.Camera.StopDelay = sim.Second, sim.Second }
	for _, c := range []struct {
		name    string
		code    Code
		rig     sim.Rig
		moments []moment
		endMs   float64
		text    string
		costs   bool
	}{
		{"long, to start", "long-press", rigWith(nil), story(flick(1000, 3300)), 5000,
			"flick 1 at 0:01.0 was held 2300 ms, with long_press at 1500 ms: the camera switched off, instead of starting a take", true},
		{"long, to stop", "long-press", rigWith(nil), story(flick(1000, 1300), flick(9000, 11000)), 12000,
			"flick 2 at 0:09.0 was held 2000 ms, with long_press at 1500 ms: the camera switched off, instead of ending the take", true},
		{"long at the end of the log", "long-press", rigWith(nil), story([]moment{{1000, up}}), 5000,
			"flick 1 at 0:01.0 was still down after 4000 ms, when the log ended, with long_press at 1500 ms: the camera switched off, instead of starting a take", true},
		{"long after a toggle on press", "long-press", rigWith(func(r *sim.Rig) { r.Camera.ToggleOn = sim.ToggleOnPress }), story(flick(1000, 3300)), 5000,
			"flick 1 at 0:01.0 was held 2300 ms, with long_press at 1500 ms: the camera switched off, after the toggle had acted", true},
		{"short, to start", "short-press", rigWith(nil), story(flick(1000, 1040)), 5000,
			"flick 1 at 0:01.0 was held 40 ms of the 80 ms needed: no take began", true},
		{"short by next to nothing", "short-press", rigWith(nil), story(flick(1000, 1079.999)), 5000,
			"flick 1 at 0:01.0 was held 79.999 ms of the 80 ms needed: no take began", true},
		{"short in a range", "short-press", rigWith(func(r *sim.Rig) {
			r.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 160 * sim.Millisecond}
		}),
			story(flick(1000, 1109.943)), 5000,
			"flick 1 at 0:01.0 was held 110 ms, most likely less than the camera needs (60 to 160 ms): no take began", true},
		{"short, to stop", "short-press", rigWith(nil), story(flick(1000, 1300), flick(9000, 9040)), 12000,
			"flick 2 at 0:09.0 was held 40 ms of the 80 ms needed: the take continued", true},
		{"busy stopping", "busy-press", rigWith(busyCamera), story(flick(1000, 1300), flick(9000, 9300), flick(9800, 10000)), 12000,
			"flick 3 at 0:09.8 came while the camera was stopping: no take began", true},
		{"busy starting", "busy-press", rigWith(busyCamera), story(flick(1000, 1300), flick(1800, 2100)), 12000,
			"flick 2 at 0:01.8 came while the camera was starting: the take continued", true},
		{"off", "off-press", rigWith(func(r *sim.Rig) { r.Camera.Start = sim.StartOff }), story(flick(1000, 1300)), 5000,
			"flick 1 at 0:01.0 found the camera off, from the start", true},
		{"a pair", "double-press", rigWith(func(r *sim.Rig) {
			r.Camera.DoubleWithin, r.Camera.DoubleAction = 500*sim.Millisecond, sim.ActionPowerOff
		}), story(flick(1000, 1200), flick(1400, 1600)), 5000,
			"flick 2 at 0:01.4 came 200 ms after the previous release, and the camera takes two presses within 500 ms as a pair: the camera switched off, and neither toggled", true},
		{"off by itself", "off-press", rigWith(func(r *sim.Rig) { r.Camera.AutoOff = 3 * sim.Second }), story(flick(6000, 6300)), 9000,
			"flick 1 at 0:06.0 found the camera off, since 0:03.0, after 3 s in standby without a press", true},
		{"off, too short to wake", "off-press", rigWith(func(r *sim.Rig) { r.Camera.Start, r.Camera.WakePress = sim.StartOff, sim.Second }), story(flick(1000, 1300)), 5000,
			"flick 1 at 0:01.0 found the camera off, from the start; a hold of 1000 ms wakes it", true},
		{"wake", "wake-press", rigWith(func(r *sim.Rig) { r.Camera.Start, r.Camera.WakePress = sim.StartOff, sim.Second }), story(flick(1000, 2300)), 5000,
			"flick 1 at 0:01.0 woke the camera: it takes 4 s to boot, and is then in standby", false},
		{"unknown state", "unknown-state", rigWith(func(r *sim.Rig) { r.Camera.Start = sim.StartUnknown }), goodFlight, 12000,
			"flick 1 at 0:01.0 came while the camera's state was not known: it has no verdict; the same for 1 more, the last at 0:09.0", true},
		{"sparse samples", "unsure-hold", rigWith(nil), []moment{{0, rest}, {900, rest}, {1000, up}, {1050, up}, {1120, rest}, {5000, rest}}, 5000,
			"flick 1 at 0:01.0: the samples allow any hold of 50 to 220 ms: it does nothing, or it toggles", false},
		{"down from the start", "down-from-start", rigWith(nil), []moment{{0, up}, {300, rest}}, 5000,
			"the button was down when the log started; press 1 was held 300 ms", false},
		{"polarity", "pressed-at-idle", rigWith(func(r *sim.Rig) { r.Line.Active = sim.ActiveLow }), goodFlight, 12000,
			"the camera sees the button down for 11.4 s of the 11.4 s during which the switch is at rest", false},
		{"no signal", "no-signal", rigWith(nil), []moment{{0, 3}, {1000, 65535}}, 5000,
			"none of 2 samples has a channel value from 750 to 2250 µs", false},
		{"between refreshes", "unseen-flick", rigWith(func(r *sim.Rig) { r.Line.Update = micros(50) }), story(flick(1010, 1040)), 5000,
			"flick 1 at 0:01.0, held 30 ms, never reached the camera as a press: it fell between two refreshes of the line, 50 ms apart", true},
		{"chatter", "chatter", rigWith(nil), story(flick(1000, 1001), flick(1002, 1003), flick(1004, 1300)), 5000,
			"the switch changed 5 times within 4 ms, from 0:01.0 on", false},
		{"pressed while lost", "pressed-in-loss", rigWith(func(r *sim.Rig) { r.SignalLoss.StaleAfter = micros(500) }),
			[]moment{{0, rest}, {400, up}, {1400, rest}, {1800, rest}}, 2000,
			"no signal from 0:00.9 to 0:01.4, and the switch counted as pressed for 500 ms of it", false},
		{"short take", "short-take", rigWith(nil), story(flick(1000, 1300), flick(2000, 2300)), 5000,
			"take 1 at 0:01.3 is 1 s long", false},
		{"recording at the end", "recording-at-end", rigWith(nil), story(flick(1000, 1300)), 5000,
			"take 1 was still running when the log ended at 0:05.0", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.code != "unsure-hold" && c.code != "pressed-in-loss" && c.code != "no-signal" {
				c.moments = dense(c.moments, c.endMs)
			}
			found, ok := codes(Findings(play(c.rig, c.moments, c.endMs), DefaultLimits()))[c.code]
			require.True(t, ok, "the flight has a %s", c.code)
			assert.Equal(t, c.text, found.Text)
			assert.Equal(t, c.costs, found.Costs)
			assert.NotEmpty(t, found.Remedy)
		})
	}
}

func TestRemedyOfAnUnseenFlickFitsItsCause(t *testing.T) {
	oneShot := func(r *sim.Rig) { r.OneShot.Trigger, r.OneShot.Width = sim.TriggerRising, micros(300) }
	for want, c := range map[string]struct {
		rig     sim.Rig
		moments []moment
	}{
		"hold longer than settle":                               {rigWith(func(r *sim.Rig) { r.Switch.Settle = micros(50) }), story(flick(1000, 1030))},
		"hold longer than the time between two refreshes":       {rigWith(func(r *sim.Rig) { r.Line.Update = micros(50) }), story(flick(1010, 1040))},
		"leave more time between two flicks than a pulse lasts": {rigWith(oneShot), story(flick(1000, 1100), flick(1200, 1250))},
	} {
		found := codes(Findings(play(c.rig, dense(c.moments, 5000), 5000), DefaultLimits()))
		assert.Equal(t, want, found["unseen-flick"].Remedy)
	}
}

func TestFindingsOfArmedTime(t *testing.T) {
	armedFlight := func(moments []moment, armedFrom, armedTo float64) map[Code]Finding {
		c := sim.NewChain(sim.TapChannel, rigWith(func(r *sim.Rig) { r.Log.Armed = "arm" }))
		for _, m := range moments {
			armed := sim.PulseWidth(1000)
			if m.ms >= armedFrom && m.ms < armedTo {
				armed = 1800
			}
			c.Feed(sim.Sample{At: micros(m.ms), Channel: m.value, Armed: armed})
		}
		return codes(Findings(c.Finish(), DefaultLimits()))
	}
	t.Run("armed and never recorded", func(t *testing.T) {
		f := armedFlight([]moment{{0, rest}, {1000, rest}, {5000, rest}}, 1000, 5000)["never-recorded"]
		assert.Equal(t, "armed from 0:01.0 to 0:05.0 (4 s), nothing recorded", f.Text)
		assert.True(t, f.Costs)
	})
}

// The same again while nothing has changed is one finding, with a count and a
// span.
func TestTheSameAgainIsOneFinding(t *testing.T) {
	var parts [][]moment
	for i := range 20 {
		from := 10_000 + 1000*float64(i)
		parts = append(parts, flick(from, from+300))
	}
	parts = append([][]moment{flick(1000, 3300)}, parts...)
	found := Findings(play(rigWith(nil), dense(story(parts...), 40_000), 40_000), DefaultLimits())
	require.Len(t, found, 2)
	off := found[1]
	assert.Equal(t, 20, off.Count)
	assert.Equal(t, micros(29_000), off.To)
	assert.Equal(t, "flick 2 at 0:10.0 found the camera off, since flick 1 (held 2300 ms); the same for 19 more, the last at 0:29.0", off.Text)
	t.Run("not across a change of state", func(t *testing.T) {
		short := Findings(play(rigWith(nil), dense(story(flick(1000, 1040), flick(2000, 2300), flick(9000, 9300), flick(12_000, 12_040)), 15_000), 15_000), DefaultLimits())
		require.Len(t, short, 2)
	})
}

func TestFindingsOfDoubt(t *testing.T) {
	r := play(rigWith(nil), dense(goodFlight, 12000), 12000)
	r.Presses[0].Doubtful = true
	assert.Equal(t, 1, codes(Findings(r, DefaultLimits()))["doubtful-press"].Press)
}

// Samples far apart make a hold uncertain, if the press has one and it decides.
func TestFindingsOfSparseSamples(t *testing.T) {
	sparse := func(change func(*sim.Rig), moments ...moment) map[Code]Finding {
		return codes(Findings(play(rigWith(change), moments, 5000), DefaultLimits()))
	}
	unsure := Code("unsure-hold")
	down, hold := []moment{{0, rest}, {900, rest}, {1000, up}, {1050, up}}, moment{1120, rest}
	assert.Contains(t, sparse(nil, append(down, hold)...), unsure)
	assert.NotContains(t, sparse(nil, down...), unsure, "still down when the log ends")
	assert.NotContains(t, sparse(func(r *sim.Rig) { r.Camera.Start = sim.StartOff }, append(down, hold)...), unsure, "at a camera that is off")
}

func TestFindingsKeepTheirLimits(t *testing.T) {
	takeOfOneSecond := play(rigWith(nil), dense(story(flick(1000, 1300), flick(2000, 2300)), 5000), 5000)
	assert.Contains(t, codes(Findings(takeOfOneSecond, Limits{ShortTake: sim.Second + 1})), Code("short-take"))
	assert.Empty(t, Findings(takeOfOneSecond, Limits{ShortTake: sim.Second}))
}

func TestRulesExplainThemselves(t *testing.T) {
	seen := map[Code]bool{}
	for _, rule := range Rules() {
		assert.NotEmpty(t, rule.Meaning, rule.Code)
		assert.NotEmpty(t, rule.Remedy, rule.Code)
		assert.False(t, seen[rule.Code], "%s is there twice", rule.Code)
		seen[rule.Code] = true
	}
}

func TestAnOutcomeListsTheFindingsThatThereAre(t *testing.T) {
	r := play(rigWith(nil), dense(story(flick(1000, 1040)), 5000), 5000)
	assert.Equal(t, []codeCount{{"short-press", 1}}, OutcomeOf(r, Findings(r, DefaultLimits())).Findings)
}

func TestPressedForHalfOfTheRestIsPressedAtIdle(t *testing.T) {
	// With a delay of a second the boot level reaches the camera for a second.
	rig := rigWith(func(r *sim.Rig) { r.Line.Boot, r.Line.Delay = sim.BootPressed, sim.Second })
	_, found := codes(Findings(play(rig, story(), 2000), DefaultLimits()))["pressed-at-idle"]
	assert.True(t, found, "1 s of 2 s")
	_, found = codes(Findings(play(rig, story(), 2000.001), DefaultLimits()))["pressed-at-idle"]
	assert.False(t, found, "less than half")
}

func TestChatterToItsLimits(t *testing.T) {
	limits := DefaultLimits()
	for _, c := range []struct {
		name    string
		moments []moment
		edges   int
		found   bool
	}{
		{"as many edges as count, within the time", story(flick(1000, 1010), flick(1020, 1100)), 4, true},
		{"the last just after the time", story(flick(1000, 1010), flick(1020, 1100.001)), 4, false},
		{"one edge too few", story(flick(1000, 1010), []moment{{1020, up}}), 4, false},
		{"two are enough where two are asked for", story(flick(1000, 1010)), 2, true},
		{"one is never chatter", story(flick(1000, 1010)), 1, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			limits.ChatterEdges = c.edges
			_, found := codes(Findings(play(rigWith(nil), c.moments, 5000), limits))["chatter"]
			assert.Equal(t, c.found, found)
		})
	}
}

func TestChatterGoesOnWhileEdgesFollowInTime(t *testing.T) {
	limits := DefaultLimits()
	moments := story(flick(100, 400), flick(1000, 1010), flick(1020, 1030), flick(1130, 1230.001))
	found := Findings(play(rigWith(nil), moments, 5000), limits)
	require.Contains(t, codes(found), Code("chatter"))
	assert.Equal(t, "the switch changed 5 times within 130 ms, from 0:01.0 on", codes(found)["chatter"].Text)
	n := 0
	for _, f := range found {
		if f.Code == "chatter" {
			n++
		}
	}
	assert.Equal(t, 1, n, "told once")
}

func TestASignalLostAtRestIsNotPressedInLoss(t *testing.T) {
	rig := rigWith(func(r *sim.Rig) { r.SignalLoss.StaleAfter = micros(500) })
	r := play(rig, []moment{{0, rest}, {1400, rest}}, 1500)
	require.NotEmpty(t, r.Lost)
	assert.NotContains(t, codes(Findings(r, DefaultLimits())), Code("pressed-in-loss"))
}

func TestNoFindingAboutASwitchThatWasNotRecorded(t *testing.T) {
	rig := sim.DefaultRig()
	chain := sim.NewChain(sim.TapWire, rig)
	for _, m := range []moment{{0, sim.LevelLow}, {100, sim.LevelHigh}, {900, sim.LevelLow}, {1000, sim.LevelLow}} {
		chain.Feed(sim.Sample{At: micros(m.ms), Channel: m.value, Armed: sim.Absent})
	}
	r := chain.Finish()
	require.Greater(t, 2*r.Presses[0].Hold(), r.End, "pressed for most of the time")
	assert.NotContains(t, codes(Findings(r, DefaultLimits())), Code("pressed-at-idle"))
}
