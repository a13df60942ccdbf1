package rigcheck

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/tell"
)

const ms = sim.Millisecond

// goodRig is a rig with which nothing goes wrong, to add faults to.
func goodRig() sim.Rig {
	rig := sim.DefaultRig()
	rig.Switch.Press = []sim.PulseRange{{Low: 1750, High: 2250}}
	rig.SignalLoss.Then = sim.LossRelease
	rig.Camera.LongAction = sim.ActionNone
	return rig
}

func rigWith(change func(*sim.Rig)) sim.Rig {
	rig := goodRig()
	change(&rig)
	return rig
}

func findings(r Report) map[tell.Code]Finding {
	byCode := map[tell.Code]Finding{}
	for _, f := range r.Findings {
		byCode[f.Code] = f
	}
	return byCode
}

func changesText(f Finding) []string {
	var texts []string
	for _, c := range f.Changes {
		texts = append(texts, c.String())
	}
	return texts
}

func TestGoodRigHasNoFinding(t *testing.T) {
	assert.Empty(t, Check(goodRig(), DefaultWithin).Findings)
}

// TestNoBootNoBootPress: a boot level that lasts no time is never there, even
// for a camera that takes every press.
func TestNoBootNoBootPress(t *testing.T) {
	rig := rigWith(func(r *sim.Rig) {
		r.Line.Boot, r.Line.BootFor, r.Camera.MinPress = sim.BootPressed, 0, sim.Exactly(0)
	})
	assert.Empty(t, Check(rig, DefaultWithin).Findings)
}

// TestFindings: each finding is there for a rig that has the fault, and it is
// not there for the good rig from which that rig was made.
func TestFindings(t *testing.T) {
	seen := map[tell.Code]bool{}
	for _, c := range []struct {
		name    string
		code    tell.Code
		fault   bool
		change  func(*sim.Rig)
		text    string
		changes []string
	}{
		{"all values press", "no-rest", true, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 700, High: 2300}}
		}, "every value from 750 to 2250 µs presses, or keeps a press going",
			[]string{"switch.press = [[1750, 2300]] (now [[700, 2300]])"}},
		{"hysteresis reaches over all values", "no-rest", true, func(r *sim.Rig) {
			r.Switch.Hysteresis = 1100
		}, "every value from 750 to 2250 µs presses, or keeps a press going",
			[]string{"switch.hysteresis = 0 (now 1100)"}},
		{"each usual position presses", "no-rest", true, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 900, High: 2250}}
		}, "each of 1000, 1500 and 2000 µs presses, or keeps a press going",
			[]string{"switch.press = [[1750, 2250]] (now [[900, 2250]])"}},
		{"polarities differ", "idle-press", true, func(r *sim.Rig) {
			r.Line.Active = sim.ActiveLow
		}, "with the switch at rest, at 1000 µs, the line is released, but the camera, for which high is pressed, reads it as down",
			[]string{`line.active = "high" (now "low")`, `camera.pressed_level = "low" (now "high")`, `line.through = "inverting" (now "direct")`}},
		{"stale before the next frame", "flickering-signal", true, func(r *sim.Rig) {
			r.Link.Frame, r.SignalLoss.StaleAfter = 20*ms, 15*ms
		}, "frames come every 20 ms, and after 15 ms without one the signal counts as lost: 143 times in 2860 ms",
			[]string{`signal_loss.stale_after = "20ms" (now "15ms")`}},
		{"a boot that toggles", "boot-press", true, func(r *sim.Rig) {
			r.Line.Boot, r.Line.BootFor = sim.BootPressed, 900*ms
		}, "for 900 ms after power-on the camera reads the button as down; if it is on then, it toggles recording",
			[]string{`line.boot = "released" (now "pressed")`, `line.boot_for = "79ms" (now "900ms")`}},
		{"a boot that is a long press", "boot-press", true, func(r *sim.Rig) {
			r.Line.Boot, r.Camera.LongAction, r.Camera.WakePress = sim.BootPressed, sim.ActionPowerOff, 3*sim.Second
		}, "for 2000 ms after power-on the camera reads the button as down; if it is on then, it is a long press, and the camera switches off",
			[]string{`line.boot = "released" (now "pressed")`, `line.boot_for = "79ms" (now "2s")`}},
		{"a boot that wakes", "boot-press", true, func(r *sim.Rig) {
			r.Line.Boot, r.Line.BootFor, r.Camera.WakePress = sim.BootPressed, 60*ms, 50*ms
		}, "for 60 ms after power-on the camera reads the button as down; if it is off then, it wakes the camera, into standby",
			[]string{`line.boot = "released" (now "pressed")`, `line.boot_for = "49ms" (now "60ms")`}},
		{"a boot level that waits for the delay", "boot-press", true, func(r *sim.Rig) {
			r.Line.Boot, r.Line.BootFor, r.Line.Delay = sim.BootPressed, 60*ms, 30*ms
		}, "for 90 ms after power-on the camera reads the button as down; if it is on then, it toggles recording",
			[]string{`line.boot = "released" (now "pressed")`, `line.boot_for = "49ms" (now "60ms")`}},
		{"loss presses", "loss-presses", true, func(r *sim.Rig) {
			r.SignalLoss.Then = sim.LossPress
		}, "500 ms after the last sample the switch counts as pressed; in a loss of 3300 ms: it is a long press, and recording does not change",
			[]string{`signal_loss.then = "release" (now "press")`}},
		{"loss holds a press", "loss-holds-press", false, func(r *sim.Rig) {
			r.SignalLoss.Then = sim.LossHold
		}, "a flick during which the signal is lost for 1500 ms or longer makes a press of 1500 ms: it is a long press, and recording does not change",
			[]string{`signal_loss.then = "release" (now "hold")`, `oneshot.trigger = "rising" (now "off"), oneshot.width = "350ms" (now "300ms")`}},
		{"loss is noticed too late", "loss-holds-press", false, func(r *sim.Rig) {
			r.SignalLoss.StaleAfter = 2 * sim.Second
		}, "a flick during which the signal is lost for 1500 ms or longer makes a press of 1500 ms: it is a long press, and recording does not change",
			[]string{`signal_loss.stale_after = "1.499s" (now "2s")`}},
		{"the centre presses", "unplugged-presses", false, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 1250, High: 2250}}
		}, "a channel that rests at 1500 µs counts as pressed: it is a long press, and recording does not change",
			[]string{"switch.press = [[1750, 2250]] (now [[1250, 2250]])"}},
		{"the low end stop presses", "unplugged-presses", false, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 750, High: 1250}}
		}, "a channel that rests at 1000 µs counts as pressed: it is a long press, and recording does not change",
			[]string{"switch.press = [[1750, 2250]] (now [[750, 1250]])"}},
		{"a range that leaves out the end stop", "position-on-edge", true, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 1750, High: 2000}}
		}, "the position at 2000 µs releases, but 1988 µs presses and 2012 µs releases",
			[]string{"switch.press = [[1750, 2250]] (now [[1750, 2000]])"}},
		{"an end stop is no signal", "end-stop-invalid", true, func(r *sim.Rig) {
			r.Switch.Valid = sim.PulseRange{Low: 900, High: 2005}
		}, "an end stop at 2012 µs is outside 900 to 2005 µs and counts as no signal",
			[]string{"switch.valid = [750, 2250] (now [900, 2005])"}},
		{"no position presses", "no-position-presses", false, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 1600, High: 1900}}
		}, "none of 1000, 1500 and 2000 µs presses, only 1600 to below 1900 µs",
			[]string{"switch.press = [[1600, 2250]] (now [[1600, 1900]])"}},
		{"hysteresis reaches over the centre", "hysteresis-swallows", true, func(r *sim.Rig) {
			r.Switch.Hysteresis = 300
		}, "with a hysteresis of 300 µs, a press does not end at 1500 µs, which is outside the press ranges",
			[]string{"switch.hysteresis = 249 (now 300)"}},
		{"the centre alone presses", "range-crossed", true, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 1250, High: 1750}}
		}, "a move from 1000 to 2000 µs that takes 100 ms to pass the centre makes 1 press more than a direct one: it toggles recording",
			[]string{"switch.press = [[1750, 2250]] (now [[1250, 1750]])", `switch.settle = "100ms" (now "0s")`}},
		{"the centre alone releases", "range-crossed", false, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 750, High: 1250}, {Low: 1750, High: 2250}}
		}, "a move from 1000 to 2000 µs that takes 100 ms to pass the centre makes 1 press more than a direct one: it is a long press, and recording does not change",
			[]string{"switch.press = [[1750, 2250]] (now [[750, 1250], [1750, 2250]])", `switch.settle = "100ms" (now "0s")`}},
		{"frames further apart than a flick", "flick-between-frames", false, func(r *sim.Rig) {
			r.Link.Frame = 200 * ms
		}, "a flick of 140 ms can fall between two frames 200 ms apart",
			[]string{`link.frame = "140ms" (now "200ms")`}},
		{"settle longer than a flick", "settle-eats-flick", true, func(r *sim.Rig) {
			r.Switch.Settle = 500 * ms
		}, "a position counts only after 500 ms; a quick flick lasts 140 ms, a slow one 400 ms",
			[]string{`switch.settle = "139ms" (now "500ms")`}},
		{"settle longer than a quick flick", "settle-eats-flick", false, func(r *sim.Rig) {
			r.Switch.Settle = 200 * ms
		}, "a position counts only after 200 ms; a quick flick lasts 140 ms, a slow one 400 ms",
			[]string{`switch.settle = "139ms" (now "200ms")`}},
		{"refreshes further apart than a flick", "flick-between-refreshes", false, func(r *sim.Rig) {
			r.Line.Update = 150 * ms
		}, "a flick of 140 ms can fall between two refreshes of the line 150 ms apart",
			[]string{`line.update = "140ms" (now "150ms")`, `oneshot.trigger = "rising" (now "off"), oneshot.width = "350ms" (now "300ms")`}},
		{"a pulse between refreshes", "flick-between-refreshes", true, func(r *sim.Rig) {
			r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 90 * ms}
			r.Line.Update = 100 * ms
		}, "the pulse of 90 ms can fall between two refreshes of the line 100 ms apart",
			[]string{`line.update = "90ms" (now "100ms")`, `oneshot.width = "350ms" (now "90ms")`}},
		{"a pulse too short", "pulse-too-short", true, func(r *sim.Rig) {
			r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 85 * ms}
			r.Line.Update = 20 * ms
			r.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 90 * ms}
		}, "a pulse of 85 ms reaches the camera as 80 to 100 ms, and the camera needs up to 90 ms",
			[]string{`oneshot.width = "370ms" (now "85ms")`}},
		{"a pulse that reaches the long press", "pulse-too-long", true, func(r *sim.Rig) {
			r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerBoth, Width: 1500 * ms}
		}, "a pulse of 1500 ms reaches the camera as 1500 ms, and from 1500 ms on it may be a long press",
			[]string{`oneshot.width = "350ms" (now "1.5s")`}},
		{"a window of three frames", "narrow-window", false, func(r *sim.Rig) {
			r.Link.Frame = 20 * ms
			r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(200*ms), sim.Exactly(260*ms)
		}, "only holds from 200 ms to below 240 ms are certain to toggle, and the switch is sampled only every 20 ms",
			[]string{`link.frame = "16ms" (now "20ms")`, `oneshot.trigger = "rising" (now "off"), oneshot.width = "230ms" (now "300ms")`}},
		{"no hold is certain", "narrow-window", true, func(r *sim.Rig) {
			r.Line.Update = 100 * ms
			r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(150*ms), sim.Exactly(200*ms)
		}, "presses from 150 ms to below 200 ms toggle, and no hold is certain to make one when sampled every 100 ms",
			[]string{`line.update = "14ms" (now "100ms")`}},
		{"a window beyond a flick", "window-off-flick", false, func(r *sim.Rig) {
			r.Camera.MinPress = sim.Exactly(500 * ms)
		}, "holds from 500 ms to below 1500 ms are certain to toggle; an ordinary flick lasts 140 to 400 ms",
			[]string{`oneshot.trigger = "rising" (now "off"), oneshot.width = "870ms" (now "300ms")`}},
		{"a camera slow to stop", "slow-start-stop", false, func(r *sim.Rig) {
			r.Camera.StopDelay = 2500 * ms
		}, "a flick can start a take only 2850 ms after the start of the flick that stopped one; 2000 ms is wanted", nil},
		{"a one-shot that rests too long", "slow-start-stop", false, func(r *sim.Rig) {
			r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 300 * ms, Rest: 5 * sim.Second}
		}, "a flick can stop a take only 5300 ms after the start of the flick that started one; 2000 ms is wanted; a flick can start a take only 5300 ms after the start of the flick that stopped one; 2000 ms is wanted",
			[]string{`oneshot.rest = "1.7s" (now "5s")`}},
		{"switched off for good", "off-for-good", false, func(r *sim.Rig) {
			r.Camera.LongAction = sim.ActionPowerOff
		}, "a switch that is held for 1500 ms or longer switches the camera off, and no press wakes it (tried up to 12.8 s)",
			[]string{`oneshot.trigger = "rising" (now "off"), oneshot.width = "350ms" (now "300ms")`}},
		{"pairs of presses", "flicks-pair-up", false, func(r *sim.Rig) {
			r.Camera.LongAction, r.Camera.DoubleWithin, r.Camera.DoubleAction = sim.ActionNone, 400*sim.Millisecond, sim.ActionPowerOff
		}, "a flick acts 400 ms after its release; another one within that time makes a pair: the camera switches off", nil},
		{"switched off by its own timer", "off-by-itself", false, func(r *sim.Rig) {
			r.Camera.LongAction, r.Camera.AutoOff = sim.ActionNone, 5*sim.Minute
		}, "the camera switches off after 5:00 in standby without a press; then no flick wakes it", nil},
		{"a pulse too short to wake", "wake-out-of-reach", false, func(r *sim.Rig) {
			r.OneShot.Trigger, r.Camera.WakePress = sim.TriggerRising, sim.Second
		}, "the camera wakes at a press of 1000 ms, and no hold of the switch makes one: every press is a pulse of 300 ms", nil},
		{"waking switches off", "wake-switches-off", false, func(r *sim.Rig) {
			r.Camera.LongAction, r.Camera.WakePress = sim.ActionPowerOff, 2*sim.Second
		}, "holding the switch for 2000 ms wakes the camera if it is off, and switches it off if it is on", nil},
		{"waking records", "wake-records", false, func(r *sim.Rig) {
			r.Camera.WakePress, r.Camera.WakeInto = sim.Second, sim.WakeRecording
		}, "a switch that is held for 1000 ms wakes a camera that is off, and 4 s later it records without a flick", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			seen[c.code] = true
			rig := rigWith(c.change)
			require.NoError(t, rig.Validate())
			f, found := findings(Check(rig, DefaultWithin))[c.code]
			require.True(t, found, "the rig has a %s: %v", c.code, Check(rig, DefaultWithin).Findings)
			assert.Equal(t, c.text, f.Text)
			assert.Equal(t, c.fault, f.Fault)
			assert.Equal(t, c.changes, changesText(f))
			assert.NotEmpty(t, f.Why)
			assert.NotEmpty(t, f.Remedy)
		})
	}
	for _, rule := range Rules() {
		assert.True(t, seen[rule.Code], "%s has no rig above", rule.Code)
	}
}

// TestRangesAreNoFacts: if a threshold is a range, no sentence states as a fact
// what holds only at its end.
func TestRangesAreNoFacts(t *testing.T) {
	rig := rigWith(func(r *sim.Rig) {
		r.Camera.LongPress = sim.Interval{Low: 1200 * ms, High: 1800 * ms}
		r.Camera.LongAction, r.Camera.WakePress = sim.ActionPowerOff, 1500*ms
		r.SignalLoss.Then = sim.LossHold
	})
	found := findings(Check(rig, DefaultWithin))
	require.Equal(t, "holding the switch for 1500 ms wakes the camera if it is off, and may switch it off if it is on", found["wake-switches-off"].Text)
	require.Equal(t, "a flick during which the signal is lost for 1200 ms or longer makes a press of 1200 ms: it may be a long press, and then the camera switches off", found["loss-holds-press"].Text)
	rig.Camera.WakePress = 2 * sim.Second
	require.Contains(t, findings(Check(rig, DefaultWithin))["wake-switches-off"].Text, "and switches it off")
	rig.Camera.WakePress = sim.Never
	require.Contains(t, findings(Check(rig, DefaultWithin))["off-for-good"].Text, "held for 1200 ms or longer may switch the camera off")
}
