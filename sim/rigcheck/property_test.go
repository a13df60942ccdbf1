package rigcheck

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// drawRig draws a rig of everyday numbers; many have faults.
func drawRig(t *rapid.T) sim.Rig {
	millis := func(name string, values ...int) sim.Micros {
		return sim.Micros(rapid.SampledFrom(values).Draw(t, name)) * ms
	}
	r := sim.DefaultRig()
	r.Switch.Press = rapid.SampledFrom([][]sim.PulseRange{
		{{Low: 1250, High: 2250}}, {{Low: 1700, High: 2250}}, {{Low: 1700, High: 2000}}, {{Low: 750, High: 1300}},
		{{Low: 1400, High: 1600}}, {{Low: 900, High: 1200}, {Low: 1700, High: 2300}}, {{Low: 1300, High: 1450}}, {{Low: 600, High: 2400}},
	}).Draw(t, "press")
	r.Switch.Hysteresis = rapid.SampledFrom([]sim.PulseWidth{0, 20, 250}).Draw(t, "hysteresis")
	r.Switch.Settle = millis("settle", 0, 10, 150, 450)
	r.Switch.Valid = rapid.SampledFrom([]sim.PulseRange{{Low: 750, High: 2250}, {Low: 1000, High: 2000}}).Draw(t, "valid")
	r.SignalLoss.StaleAfter = millis("stale_after", 15, 500, 2000)
	r.SignalLoss.Then = rapid.SampledFrom(sim.LossPolicies).Draw(t, "then")
	r.Link.Frame = millis("frame", 0, 20, 300)
	r.OneShot.Trigger = rapid.SampledFrom(sim.Triggers).Draw(t, "trigger")
	r.OneShot.Width = millis("width", 50, 300, 2000)
	r.OneShot.Rest = millis("rest", 0, 200, 3000)
	r.Line.Active = rapid.SampledFrom([]sim.Polarity{sim.ActiveHigh, sim.ActiveHigh, sim.ActiveLow}).Draw(t, "active")
	r.Line.Update = millis("update", 0, 20, 33, 200)
	r.Line.Delay = millis("delay", 0, 3, 90)
	r.Line.Boot = rapid.SampledFrom(sim.BootLevels).Draw(t, "boot level")
	r.Line.BootFor = millis("boot_for", 0, 40, 100, 2000)
	c := &r.Camera
	c.MinPress = rapid.SampledFrom([]sim.Interval{{}, sim.Exactly(80 * ms), {Low: 60 * ms, High: 110 * ms}, sim.Exactly(500 * ms)}).Draw(t, "min_press")
	c.LongPress = sim.Exactly(c.MinPress.High + millis("window", 1, 45, 300, 1500))
	c.MinGap = millis("min_gap", 0, 30)
	c.ToggleOn = rapid.SampledFrom(sim.ToggleEdges).Draw(t, "toggle_on")
	c.LongAction = rapid.SampledFrom(sim.Actions).Draw(t, "long_action")
	c.LongFires = rapid.SampledFrom(sim.LongMoments).Draw(t, "long_fires")
	c.StartDelay = millis("start_delay", 0, 400, 2500)
	c.StopDelay = millis("stop_delay", 0, 1200)
	c.WakePress = rapid.SampledFrom([]sim.Micros{sim.Never, 0, 200 * ms, 3000 * ms}).Draw(t, "wake_press")
	c.WakeInto = rapid.SampledFrom(sim.WakeStates).Draw(t, "wake_into")
	return r
}

// TestChangesHelp: a change removes its finding and adds no other.
func TestChangesHelp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := drawRig(t)
		require.NoError(t, rig.Validate())
		report := Check(rig, DefaultWithin)
		if len(report.Findings) == 0 {
			return
		}
		before := findings(report)
		f := rapid.SampledFrom(report.Findings).Draw(t, "finding")
		require.NotContains(t, strings.ReplaceAll(f.Text, "can never", ""), "never", "a number that is none")
		for _, c := range f.Changes {
			changed := c.rig
			require.NoError(t, changed.Validate(), "%s: %s", f.Code, c)
			after := findAll(newProbe(changed, DefaultWithin))
			require.NotContains(t, after, f.Code, "%s: %s", f.Code, c)
			if report.Figures == nil {
				continue // other findings were not looked for
			}
			for code := range after {
				require.Contains(t, before, code, "%s: %s", f.Code, c)
			}
		}
	})
}

// TestHoldsAtEveryPhase: the figures come from the luckiest and the unluckiest
// phase; a hold within them toggles at any, and just outside it fails at one of
// them.
func TestHoldsAtEveryPhase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := drawRig(t)
		rig.Line.Active, rig.SignalLoss.StaleAfter = rig.Camera.PressedLevel, sim.Second
		rig.Switch.Press = []sim.PulseRange{{Low: 1700, High: 2250}}
		p := newProbe(rig, DefaultWithin)
		holds := p.holds()
		if holds.Low > holds.High || rig.OneShot.Trigger == sim.TriggerBoth {
			return
		}
		within := func(period sim.Micros, name string) sim.Micros {
			return sim.Micros(rapid.Int64Range(0, int64(max(1, period)-1)).Draw(t, name))
		}
		hold := sim.Micros(rapid.Int64Range(int64(holds.Low), int64(min(holds.High, p.settled()))).Draw(t, "hold"))
		at := phase{within(rig.Link.Frame, "frame in"), within(rig.Line.Update, "refresh in")}
		require.True(t, started(p.toggling(hold, at)), "hold %d of %v at %v", hold, holds, at)
		require.False(t, p.everyPhase(holds.Low-1, started), "below %v", holds)
		if holds.High != sim.Never {
			require.False(t, p.everyPhase(holds.High+1, started), "above %v", holds)
		}
	})
}

// TestPhases: a probe meets the frames and refreshes of its phase.
func TestPhases(t *testing.T) {
	rig := goodRig()
	rig.Link.Frame, rig.Line.Update, rig.Switch.Settle = 20*ms, 33*ms, 10*ms
	p := newProbe(rig, DefaultWithin)
	for _, at := range []phase{{0, 0}, {0, 33*ms - 1}, {20*ms - 1, 0}, {7 * ms, 5 * ms}} {
		r := p.toggling(300*ms, at)
		begin := p.begin(at)
		require.Equal(t, begin+at.frameIn, r.Lanes.Position.Edges[0].At)
		require.Equal(t, begin+at.frameIn+10*ms+at.refreshIn, r.Lanes.Line.Edges[0].At)
	}
}

// TestCheckBoundsItsWork: durations at the limits of a rig are probed too.
func TestCheckBoundsItsWork(t *testing.T) {
	rig := goodRig()
	rig.Link.Frame, rig.SignalLoss.StaleAfter = 1, 2
	rig.Line.BootFor, rig.Line.Delay, rig.Switch.Settle = sim.MaxDuration, sim.MaxDuration, sim.MaxDuration
	rig.Camera.Boot, rig.Camera.WakePress, rig.Camera.LongPress = sim.MaxDuration, sim.MaxDuration, sim.Exactly(sim.MaxDuration)
	require.NoError(t, rig.Validate())
	require.Contains(t, findings(Check(rig, DefaultWithin)), tell.Code("settle-eats-flick"))
}

func TestRulesExplainThemselves(t *testing.T) {
	seen := map[tell.Code]bool{}
	for _, rule := range tell.Rules() {
		seen[rule.Code] = true
	}
	for _, rule := range Rules() {
		require.NotEmpty(t, rule.Meaning, rule.Code)
		require.NotEmpty(t, rule.Why, rule.Code)
		require.NotEmpty(t, rule.Remedy, rule.Code)
		require.False(t, seen[rule.Code], "%s is the code of two rules", rule.Code)
		seen[rule.Code] = true
	}
}
