package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
	assert.Empty(t, play(rigWith(nil), dense(goodFlight, 12000), 12000).Findings(DefaultLimits()))
}

// TestFindings has for each rule a flight that it must tell of.
func TestFindings(t *testing.T) {
	busyCamera := func(r *Rig) { r.Camera.StartDelay, r.Camera.StopDelay = Second, Second }
	for _, c := range []struct {
		name    string
		code    Code
		rig     Rig
		moments []moment
		endMs   float64
		text    string
		lost    bool
	}{
		{"long, to start", "long-press", rigWith(nil), story(flick(1000, 3300)), 5000,
			"press 1 at 0:01.000 was held 2.3s, with the long-press threshold at 1.5s: the camera switched off, instead of starting a take", true},
		{"long, to stop", "long-press", rigWith(nil), story(flick(1000, 1300), flick(9000, 11000)), 12000,
			"press 2 at 0:09.000 was held 2s, with the long-press threshold at 1.5s: the camera switched off, instead of ending the take with a toggle", false},
		{"long at the end of the log", "long-press", rigWith(nil), story([]moment{{1000, up}}), 5000,
			"press 1 at 0:01.000 was still down after 4s, when the log ended, with the long-press threshold at 1.5s: the camera switched off, instead of starting a take", true},
		{"long after a toggle on press", "long-press", rigWith(func(r *Rig) { r.Camera.ToggleOn = ToggleOnPress }), story(flick(1000, 3300)), 5000,
			"press 1 at 0:01.000 was held 2.3s, with the long-press threshold at 1.5s: the camera switched off, after the toggle had acted", false},
		{"short, to start", "short-press", rigWith(nil), story(flick(1000, 1040)), 5000,
			"press 1 at 0:01.000 was held 40ms, less than the 80ms that the camera needs: no take began", true},
		{"short by next to nothing", "short-press", rigWith(nil), story(flick(1000, 1079.999)), 5000,
			"press 1 at 0:01.000 was held 79.999ms, less than the 80ms that the camera needs: no take began", true},
		{"short, to stop", "short-press", rigWith(nil), story(flick(1000, 1300), flick(9000, 9040)), 12000,
			"press 2 at 0:09.000 was held 40ms, less than the 80ms that the camera needs: the take goes on", false},
		{"busy stopping", "busy-press", rigWith(busyCamera), story(flick(1000, 1300), flick(9000, 9300), flick(9800, 10000)), 12000,
			"press 3 at 0:09.800 came while the camera was stopping, and did nothing: no take began", true},
		{"busy starting", "busy-press", rigWith(busyCamera), story(flick(1000, 1300), flick(1800, 2100)), 12000,
			"press 2 at 0:01.800 came while the camera was starting, and did nothing: the take goes on", false},
		{"off", "off-press", rigWith(func(r *Rig) { r.Camera.Start = StartOff }), story(flick(1000, 1300)), 5000,
			"press 1 at 0:01.000 came while the camera was off, and no press wakes it: no take began", true},
		{"off, too short to wake", "off-press", rigWith(func(r *Rig) { r.Camera.Start, r.Camera.WakePress = StartOff, Second }), story(flick(1000, 1300)), 5000,
			"press 1 at 0:01.000 came while the camera was off, and it takes 1s to wake it: no take began", true},
		{"wake", "wake-press", rigWith(func(r *Rig) { r.Camera.Start, r.Camera.WakePress = StartOff, Second }), story(flick(1000, 2300)), 5000,
			"press 1 at 0:01.000 woke the camera: it takes 4s to boot, and is then in standby", false},
		{"unknown state", "unknown-state", rigWith(func(r *Rig) { r.Camera.Start = StartUnknown }), goodFlight, 12000,
			"from press 1 at 0:01.000 on, the camera's state is not known: 2 presses have no verdict", false},
		{"sparse samples", "unsure-hold", rigWith(nil), []moment{{0, rest}, {900, rest}, {1000, up}, {1050, up}, {1120, rest}, {5000, rest}}, 5000,
			"press 1 at 0:01.000: the samples allow any hold from 50ms to 220ms, so it may have been short or toggle", false},
		{"down from the start", "down-from-start", rigWith(nil), []moment{{0, up}, {300, rest}}, 5000,
			"the button was down when the log began; press 1 was held 300ms", false},
		{"polarity", "pressed-at-idle", rigWith(func(r *Rig) { r.Line.Active = ActiveLow }), goodFlight, 12000,
			"the camera sees the button down for 11.4s of the 11.4s during which the switch is at rest", false},
		{"no signal", "no-signal", rigWith(nil), []moment{{0, 3}, {1000, 65535}}, 5000,
			"none of 2 samples has a channel value from 750 to 2250 µs", false},
		{"between refreshes", "missed-press", rigWith(func(r *Rig) { r.Line.Update = micros(50) }), story(flick(1010, 1040)), 5000,
			"a press at 0:01.010 lasted 30ms, between two refreshes of the line 50ms apart: the camera never saw it", true},
		{"chatter", "chatter", rigWith(nil), story(flick(1000, 1001), flick(1002, 1003), flick(1004, 1300)), 5000,
			"5 edges of the switch within 4ms from 0:01.000 on", false},
		{"pressed while lost", "pressed-in-loss", rigWith(func(r *Rig) { r.SignalLoss.StaleAfter = micros(500) }),
			[]moment{{0, rest}, {400, up}, {1400, rest}, {1800, rest}}, 2000,
			"no signal from 0:00.900 to 0:01.400, and the switch counted as pressed for 500ms of it", false},
		{"short take", "short-take", rigWith(nil), story(flick(1000, 1300), flick(2000, 2300)), 5000,
			"take 1 at 0:01.300 is 1s long", false},
		{"recording at the end", "recording-at-end", rigWith(nil), story(flick(1000, 1300)), 5000,
			"take 1 was still running when the log ended at 0:05.000", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.code != "unsure-hold" && c.code != "pressed-in-loss" && c.code != "no-signal" {
				c.moments = dense(c.moments, c.endMs)
			}
			found, ok := codes(play(c.rig, c.moments, c.endMs).Findings(DefaultLimits()))[c.code]
			require.True(t, ok, "the flight has a %s", c.code)
			assert.Equal(t, c.text, found.Text)
			assert.Equal(t, c.lost, found.Lost)
			assert.NotEmpty(t, found.Remedy)
		})
	}
}

func TestFindingsOfArmedTime(t *testing.T) {
	armedFlight := func(moments []moment, armedFrom, armedTo float64) map[Code]Finding {
		c := NewChain(rigWith(func(r *Rig) { r.Log.Armed = "arm" }))
		for _, m := range moments {
			armed := PulseWidth(1000)
			if m.ms >= armedFrom && m.ms < armedTo {
				armed = 1800
			}
			c.Feed(Sample{micros(m.ms), m.value, armed})
		}
		return codes(c.Finish().Findings(DefaultLimits()))
	}
	t.Run("armed and never recorded", func(t *testing.T) {
		f := armedFlight([]moment{{0, rest}, {1000, rest}, {5000, rest}}, 1000, 5000)["never-recorded"]
		assert.Equal(t, "armed from 0:01.000 to 0:05.000 (4s), and nothing recorded", f.Text)
		assert.True(t, f.Lost)
	})
	t.Run("a take was stopped in flight", func(t *testing.T) {
		flight := story(flick(1000, 1300), flick(5000, 5300), []moment{{9000, rest}})
		f := armedFlight(flight, 500, 9000)["stopped-in-flight"]
		assert.Equal(t, "press 2 at 0:05.000 ended take 1 in flight; 3.7s of armed time after it are not recorded", f.Text)
		assert.False(t, f.Lost, "it may have been meant")
		f = armedFlight(story(flick(1000, 1300), flick(5000, 5300), []moment{{125300, rest}}), 500, 130000)["stopped-in-flight"]
		assert.Contains(t, f.Text, "; 2:00.000 of armed time")
		assert.NotContains(t, armedFlight(flight, 500, 4000), Code("stopped-in-flight"), "stopped after landing")
		assert.NotContains(t, armedFlight(flight, 500, 5300), Code("stopped-in-flight"), "landed as it stopped")
	})
}

func TestFindingsOfDoubt(t *testing.T) {
	r := play(rigWith(nil), dense(goodFlight, 12000), 12000)
	r.Presses[0].Doubtful = true
	assert.Equal(t, 1, codes(r.Findings(DefaultLimits()))["doubtful-press"].Press)
}

// One that is well does not hide the one after it.
func TestFindingsLookBeyondWhatIsWell(t *testing.T) {
	t.Run("a missed press after one that was seen", func(t *testing.T) {
		rig := rigWith(func(r *Rig) { r.Line.Update = micros(50) })
		r := play(rig, dense(story(flick(1000, 1300), flick(2010, 2040)), 5000), 5000)
		assert.Equal(t, micros(2010), codes(r.Findings(DefaultLimits()))["missed-press"].At)
	})
	t.Run("a take stopped in flight after one that a power-off ended", func(t *testing.T) {
		r := Replay{End: 9 * Second, Armed: &ArmedTime{Windows: []Span{{0, 9 * Second}}}}
		r.Presses = []Press{{N: 1, Down: 2 * Second, Up: 4 * Second}, {N: 2, Down: 6 * Second, Up: 7 * Second}}
		r.Takes = []Take{
			{N: 1, Start: Second, End: 3 * Second, Ended: EndPowerOff, EndedBy: 1},
			{N: 2, Start: 5 * Second, End: 7 * Second, Ended: EndPress, EndedBy: 2},
		}
		assert.Equal(t, 2, codes(r.Findings(DefaultLimits()))["stopped-in-flight"].Press)
	})
}

// Sparse samples make the hold of a press unsure: of one that has a hold, and
// whose hold decides.
func TestFindingsOfSparseSamples(t *testing.T) {
	sparse := func(change func(*Rig), moments ...moment) map[Code]Finding {
		return codes(play(rigWith(change), moments, 5000).Findings(DefaultLimits()))
	}
	unsure := Code("unsure-hold")
	down, hold := []moment{{0, rest}, {900, rest}, {1000, up}, {1050, up}}, moment{1120, rest}
	assert.Contains(t, sparse(nil, append(down, hold)...), unsure)
	assert.NotContains(t, sparse(nil, down...), unsure, "still down when the log ends")
	assert.NotContains(t, sparse(func(r *Rig) { r.Camera.Start = StartOff }, append(down, hold)...), unsure, "at a camera that is off")
}

func TestFindingsKeepTheirLimits(t *testing.T) {
	takeOfOneSecond := play(rigWith(nil), dense(story(flick(1000, 1300), flick(2000, 2300)), 5000), 5000)
	assert.Contains(t, codes(takeOfOneSecond.Findings(Limits{ShortTake: Second + 1})), Code("short-take"))
	assert.Empty(t, takeOfOneSecond.Findings(Limits{ShortTake: Second}))
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
