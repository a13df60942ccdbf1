package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// short durations make equal times and exact thresholds likely.
func shortDuration[N int | Micros](low, high N) *rapid.Generator[Micros] {
	return rapid.Map(rapid.IntRange(int(low), int(high)), func(n int) Micros { return Micros(n) })
}

func drawRig(t *rapid.T) Rig {
	r := DefaultRig()
	r.Switch.Press = rapid.SampledFrom([][]PulseRange{
		{{1250, 2250}}, {{1700, 2100}}, {{900, 1200}, {1700, 2300}}, {{1000, 1400}, {1400, 1600}}, {{1400, 1600}},
	}).Draw(t, "press")
	r.Switch.Hysteresis = rapid.SampledFrom([]PulseWidth{0, 0, 20, 150}).Draw(t, "hysteresis")
	r.Switch.Settle = rapid.OneOf(rapid.Just(Micros(0)), shortDuration(1, 8)).Draw(t, "settle")
	r.SignalLoss.StaleAfter = shortDuration(1, 30).Draw(t, "stale_after")
	r.SignalLoss.Then = rapid.SampledFrom(LossPolicies).Draw(t, "then")
	r.OneShot.Trigger = rapid.SampledFrom(Triggers).Draw(t, "trigger")
	r.OneShot.Width = shortDuration(1, 12).Draw(t, "width")
	r.OneShot.Rest = rapid.OneOf(rapid.Just(Micros(0)), shortDuration(1, 6)).Draw(t, "rest")
	r.Line.Active = rapid.SampledFrom(Polarities).Draw(t, "active")
	r.Line.Update = rapid.OneOf(rapid.Just(Micros(0)), shortDuration(1, 9)).Draw(t, "update")
	r.Line.Delay = rapid.OneOf(rapid.Just(Micros(0)), shortDuration(1, 9)).Draw(t, "delay")
	r.Line.Through = rapid.SampledFrom(Couplings).Draw(t, "through")
	r.Line.Boot = rapid.SampledFrom(BootLevels).Draw(t, "boot level")
	drawCamera(t, &r.Camera)
	return r
}

func drawCamera(t *rapid.T, c *CameraSpec) {
	zeroOr := func(name string, high int) Micros {
		return rapid.OneOf(rapid.Just(Micros(0)), shortDuration(1, high)).Draw(t, name)
	}
	c.PressedLevel = rapid.SampledFrom(Polarities).Draw(t, "pressed_level")
	least := zeroOr("min_press", 8)
	c.MinPress = Exactly(least)
	c.LongPress = Exactly(least + shortDuration(1, 15).Draw(t, "window"))
	c.MinGap = zeroOr("min_gap", 5)
	c.ToggleOn = rapid.SampledFrom(ToggleEdges).Draw(t, "toggle_on")
	c.LongAction = rapid.SampledFrom(Actions).Draw(t, "long_action")
	c.LongFires = rapid.SampledFrom(LongMoments).Draw(t, "long_fires")
	c.StartDelay = zeroOr("start_delay", 12)
	c.StopDelay = zeroOr("stop_delay", 12)
	c.Boot = zeroOr("boot", 12)
	c.WakePress = rapid.OneOf(rapid.Just(Never), shortDuration(0, 10)).Draw(t, "wake_press")
	if c.ToggleOn == ToggleOnRelease {
		c.DoubleWithin = zeroOr("double_within", 12)
	}
	c.DoubleAction = rapid.SampledFrom(Actions).Draw(t, "double_action")
	c.AutoOff = rapid.OneOf(rapid.Just(Never), shortDuration(c.MinGap+c.DoubleWithin+1, c.MinGap+c.DoubleWithin+25)).Draw(t, "auto_off")
	c.WakeInto = rapid.SampledFrom(WakeStates).Draw(t, "wake_into")
	c.Start = rapid.SampledFrom(StartStates).Draw(t, "start")
}

func drawSamples(t *rapid.T) []Sample {
	values := []PulseWidth{1000, 1000, 1500, 2000, 2000, 1240, 1250, 1690, 1700, 2099, 2100, 2250, 2251, 749, 750, 1400, 1600, Absent, Lost}
	var samples []Sample
	at := Micros(0)
	for range rapid.IntRange(1, 40).Draw(t, "samples") {
		samples = append(samples, Sample{At: at, Channel: rapid.SampledFrom(values).Draw(t, "value"), Armed: Absent})
		at += rapid.OneOf(shortDuration(0, 3), shortDuration(0, 40)).Draw(t, "step")
	}
	return samples
}

func feedAll(c *Chain, samples []Sample) *Replay {
	for _, s := range samples {
		c.Feed(s)
	}
	return c.Finish()
}

// TestChainEqualsTwin compares the chain with the loop over every microsecond, on
// random rigs and logs (M0 to M8).
func TestChainEqualsTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawSamples(t)
		require.NoError(t, rig.Validate())
		replay := feedAll(NewChain(TapChannel, rig), samples)
		want := runTwin(rig, rig.Camera.Window(), samples, samples[len(samples)-1].At)
		requireLane(t, "position", want.position, replay.Lanes.Position)
		requireLane(t, "settled", want.settled, replay.Lanes.Settled)
		requireLane(t, "pulse", want.pulse, replay.Lanes.Pulse)
		requireLane(t, "line", want.line, replay.Lanes.Line)
		requireLane(t, "wire", want.wire, replay.Lanes.Wire)
		require.Equal(t, want.record, withoutUnseen(replay.Record))
	})
}

func requireLane(t *rapid.T, name string, want []bool, lane Lane) {
	for at, pressed := range want {
		require.Equal(t, pressed, lane.At(Micros(at)), "%s at %d", name, at)
	}
	level, last := lane.Initial, Micros(-1)
	for _, e := range lane.Edges {
		require.NotEqual(t, level, e.Pressed, "%s: an edge changes the level", name)
		require.Greater(t, e.At, last, "%s: one edge an instant", name)
		level, last = e.Pressed, e.At
	}
}

// withoutUnseen drops what the twin does not know: when the hand moved, and
// which flick a press is.
func withoutUnseen(r Record) Record {
	for i := range r.Presses {
		r.Presses[i].DownUnseen, r.Presses[i].UpUnseen, r.Presses[i].Flick = 0, 0, 0
	}
	return r
}

// TestChainInPieces: looking at the chain between two samples, at any moments,
// changes nothing.
func TestChainInPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawSamples(t)
		whole := feedAll(NewChain(TapChannel, rig), samples)
		pieces := NewChain(TapChannel, rig)
		for i, s := range samples {
			if i > 0 {
				gap := int(s.At - samples[i-1].At)
				for _, step := range rapid.SliceOfN(rapid.IntRange(0, gap), 0, 3).Draw(t, "looks") {
					pieces.Advance(samples[i-1].At + Micros(step))
				}
			}
			pieces.Feed(s)
		}
		require.Equal(t, whole, pieces.Finish())
	})
}

// TestChainReachesEverything: random rigs and logs reach every verdict, every
// state and every end of a take, so the comparison above covers them all.
func TestChainReachesEverything(t *testing.T) {
	flights := rapid.Custom(func(t *rapid.T) *Replay { return feedAll(NewChain(TapChannel, drawRig(t)), drawSamples(t)) })
	verdicts, states, ends := map[Verdict]bool{}, map[State]bool{}, map[TakeEnd]bool{}
	for seed := range 2000 {
		replay := flights.Example(seed)
		for _, p := range replay.Presses {
			verdicts[p.Verdict] = true
		}
		for _, s := range replay.States {
			states[s.State] = true
		}
		for _, k := range replay.Takes {
			ends[k.Ended] = true
		}
	}
	require.Len(t, verdicts, 9)
	require.Len(t, states, 7)
	require.Len(t, ends, 4)
}

// TestChainAllocatesNothing: a sample that changes nothing costs no memory.
func TestChainAllocatesNothing(t *testing.T) {
	c := NewChain(TapChannel, DefaultRig())
	at := Micros(0)
	require.Zero(t, testing.AllocsPerRun(1000, func() {
		c.Feed(Sample{At: at, Channel: 1000 + PulseWidth(at%7), Armed: Absent})
		at += 4000
	}))
}
