package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// samplesOf returns the samples of a lane recorded at its tap.
func samplesOf(l Lane, end Micros, pressed, released PulseWidth) []Sample {
	value := func(on bool) PulseWidth {
		if on {
			return pressed
		}
		return released
	}
	samples := []Sample{{0, value(l.Initial), Absent}}
	for _, e := range l.Edges {
		samples = append(samples, Sample{e.At, value(e.Pressed), Absent})
	}
	last := samples[len(samples)-1]
	return append(samples, Sample{end, last.Channel, Absent})
}

// The camera must do the same whether the log was recorded at the channel, at
// the output or at the wire.
func TestEveryTapGivesTheSameRecord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawSamples(t)
		rig.Switch.Press = []PulseRange{{1250, 2250}}
		whole := feedAll(NewChain(TapChannel, rig), samples)

		output := samplesOf(whole.Lanes.Line, whole.End, 2000, 1000)
		fromOutput := feedAll(NewChain(TapOutput, rig), output)
		require.Equal(t, withoutUnseen(whole.Record), withoutUnseen(fromOutput.Record))
		require.Empty(t, fromOutput.Lanes.Position)
		require.Equal(t, whole.Lanes.Line.Initial, fromOutput.Lanes.Line.Initial)

		high, low := LevelHigh, LevelLow
		if rig.Camera.PressedLevel == ActiveLow {
			high, low = low, high
		}
		wire := samplesOf(whole.Lanes.Wire, whole.End, high, low)
		fromWire := feedAll(NewChain(TapWire, rig), wire)
		require.Equal(t, withoutUnseen(whole.Record), withoutUnseen(fromWire.Record))
		require.Empty(t, fromWire.Lanes.Line)
		require.Equal(t, rig, fromWire.Rig, "the replay shows the rig as it was given")
	})
}

func TestTapWire(t *testing.T) {
	const ms = Millisecond
	flick := []Sample{
		{0, LevelLow, Absent}, {99 * ms, LevelLow, Absent}, {100 * ms, LevelHigh, Absent},
		{399 * ms, LevelHigh, Absent}, {400 * ms, LevelLow, Absent}, {1000 * ms, LevelLow, Absent},
	}
	replay := func(rig Rig, samples ...Sample) *Replay {
		return feedAll(NewChain(TapWire, rig), samples)
	}

	t.Run("no signal and a level at one instant is that level", func(t *testing.T) {
		r := replay(DefaultRig(), flick[0], flick[1], flick[2], Sample{100 * ms, Absent, Absent}, flick[3], flick[4], flick[5])
		require.Empty(t, r.Lost)
		require.Len(t, r.Presses, 1)
		require.Equal(t, Interval{299 * ms, 301 * ms}, r.Presses[0].HoldBounds())
	})
	t.Run("the samples of the old level bound a change", func(t *testing.T) {
		r := replay(DefaultRig(), flick...)
		require.Len(t, r.Presses, 1)
		require.Equal(t, VerdictToggle, r.Presses[0].Verdict)
		require.Equal(t, Interval{299 * ms, 301 * ms}, r.Presses[0].HoldBounds())
		require.Empty(t, r.Lost)
	})
	t.Run("the active level of the output does not count", func(t *testing.T) {
		rig := DefaultRig()
		rig.Line.Active, rig.Line.Delay = ActiveLow, 5*ms
		require.Equal(t, 100*ms, replay(rig, flick...).Presses[0].Down)
	})
	t.Run("the camera's pressed level counts", func(t *testing.T) {
		rig := DefaultRig()
		rig.Camera.PressedLevel = ActiveLow
		r := replay(rig, flick...)
		require.True(t, r.Presses[0].FromStart)
		require.Equal(t, 100*ms, r.Presses[0].Up)
	})
	t.Run("no signal holds the level and widens the hold's bounds", func(t *testing.T) {
		rig := DefaultRig()
		rig.SignalLoss.Then = LossPress // the controller's business, upstream
		r := replay(rig,
			Sample{0, LevelLow, Absent}, Sample{99 * ms, LevelLow, Absent}, Sample{100 * ms, LevelHigh, Absent},
			Sample{299 * ms, LevelHigh, Absent}, Sample{300 * ms, Absent, Absent}, Sample{350 * ms, Absent, Absent},
			Sample{400 * ms, LevelLow, Absent}, Sample{9000 * ms, LevelLow, Absent})
		require.Len(t, r.Presses, 1)
		require.Equal(t, []Span{{300 * ms, 400 * ms}}, r.Lost)
		require.Equal(t, Interval{199 * ms, 301 * ms}, r.Presses[0].HoldBounds())
	})
	t.Run("released before the first level", func(t *testing.T) {
		r := replay(DefaultRig(), Sample{0, Absent, Absent}, Sample{50 * ms, LevelHigh, Absent}, Sample{200 * ms, LevelLow, Absent})
		require.Equal(t, 50*ms, r.Presses[0].Down)
		require.False(t, r.Presses[0].FromStart)
		require.Equal(t, []Span{{0, 50 * ms}}, r.Lost)
	})
}

func TestTapOutput(t *testing.T) {
	const ms = Millisecond
	rig := DefaultRig()
	rig.Switch.Settle, rig.Line.Update, rig.Line.Delay = 500*ms, 300*ms, 20*ms
	rig.OneShot.Trigger = TriggerRising
	r := feedAll(NewChain(TapOutput, rig), []Sample{
		{0, 1000, Absent}, {100 * ms, 2000, Absent}, {400 * ms, 1000, Absent}, {5000 * ms, 1000, Absent},
	})
	require.Len(t, r.Presses, 1)
	require.Equal(t, 120*ms, r.Presses[0].Down, "only the delay comes after the output")
	require.Equal(t, 420*ms, r.Presses[0].Up)
	require.Equal(t, Interval{0, 400 * ms}, r.Presses[0].HoldBounds(), "seconds between samples show in the bounds")
	require.Empty(t, r.Lost, "sparse samples are no lost signal")
}
