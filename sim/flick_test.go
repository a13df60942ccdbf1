package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// flickLog writes a log of 10 ms steps: 'p' pressed, '.' released, '-' no valid
// value.
func flickLog(shape string) []Sample {
	values := map[rune]PulseWidth{'p': 2000, '.': 1000, '-': Absent}
	var samples []Sample
	for i, c := range shape {
		samples = append(samples, Sample{At: Micros(i) * 10 * Millisecond, Channel: values[c], Armed: Absent})
	}
	return samples
}

func TestFlicksAreWhatTheHandDid(t *testing.T) {
	const ms = Millisecond
	none := func(*Rig) {}
	for _, c := range []struct {
		name, log string
		change    func(*Rig)
		want      []FlickOutcome
	}{
		{"one that toggles", "..pppppppppp..", none, []FlickOutcome{FlickToggled}},
		{"a short one", "..ppp..", none, []FlickOutcome{FlickShort}},
		{"pressed at the first sample is no flick", "pppppppppp..", none, nil},
		{"still down", "..ppppppppppp", none, []FlickOutcome{FlickOpen}},
		{"settled away", "..pppppppppp............", func(r *Rig) { r.Switch.Settle = 150 * ms }, []FlickOutcome{FlickUnseen}},
		{"merged by settle", "..pppppppppppp.ppppppppp....", func(r *Rig) { r.Switch.Settle = 20 * ms }, []FlickOutcome{FlickToggled, FlickUnseen}},
		{"merged by a gap that is too short", "..pppppppp.pppppp....", func(r *Rig) { r.Camera.MinGap = 15 * ms }, []FlickOutcome{FlickToggled, FlickUnseen}},
		{"between two refreshes", "..ppp.....", func(r *Rig) { r.Line.Update = 60 * ms }, []FlickOutcome{FlickUnseen}},
		{"within a pulse", "..ppp.ppp.........................", func(r *Rig) { r.OneShot.Trigger = TriggerRising }, []FlickOutcome{FlickToggled, FlickUnseen}},
		{"every move is one", "..pppppppppppppppppppppppppppppppppppp.......................................", func(r *Rig) { r.OneShot.Trigger = TriggerBoth }, []FlickOutcome{FlickToggled, FlickToggled}},
		{"a camera that is off", "..ppppp..pppppppppp...", func(r *Rig) { r.Camera.LongPress = Exactly(90 * ms); r.Camera.Start = StartOff }, []FlickOutcome{FlickOff, FlickOff}},
		{"toggles for good whatever its verdict", "..pppppppppppppp..", func(r *Rig) {
			r.Camera.ToggleOn, r.Camera.LongAction, r.Camera.LongPress = ToggleOnPress, ActionNone, Exactly(100*ms)
		}, []FlickOutcome{FlickToggled}},
		{"toggles, and then switches off", "..pppppppppppppp..", func(r *Rig) {
			r.Camera.ToggleOn, r.Camera.LongPress = ToggleOnPress, Exactly(100*ms)
		}, []FlickOutcome{FlickLong}},
		{"on its way when the log ends", "..ppppppppppp..", func(r *Rig) { r.Line.Delay = 200 * ms }, []FlickOutcome{FlickOpen}},
		{"a lost signal neither ends nor begins one", "..pppp--------pppp..", func(r *Rig) {
			r.SignalLoss = SignalLossSpec{StaleAfter: 30 * ms, Then: LossRelease}
			r.Camera.MinPress = Exactly(30 * ms)
		}, []FlickOutcome{FlickToggled}},
		{"a press by a lost signal is none", "....----------------....", func(r *Rig) {
			r.SignalLoss = SignalLossSpec{StaleAfter: 30 * ms, Then: LossPress}
		}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			rig := DefaultRig()
			c.change(&rig)
			replay := feedAll(NewChain(TapChannel, rig), flickLog(c.log))
			var outcomes []FlickOutcome
			for _, f := range replay.Flicks {
				outcomes = append(outcomes, f.Outcome)
			}
			require.Equal(t, c.want, outcomes)
		})
	}
}

// TestFlicksEqualTwin compares the flicks with a plain walk over the valid
// samples, on random rigs and logs.
func TestFlicksEqualTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig, samples := drawRig(t), drawSamples(t)
		replay := feedAll(NewChain(TapChannel, rig), samples)
		type span struct{ down, up Micros }
		var want []span
		pressed, seen := false, false
		for i, s := range samples {
			lastOfInstant := true
			for _, later := range samples[i+1:] {
				if later.At == s.At && (rig.Switch.IsValid(later.Channel) || later.Channel == Lost) {
					lastOfInstant = false
				}
			}
			if !rig.Switch.IsValid(s.Channel) || !lastOfInstant {
				continue
			}
			now := false
			for _, r := range rig.Switch.Press {
				if pressed {
					r = PulseRange{r.Low - rig.Switch.Hysteresis, r.High + rig.Switch.Hysteresis}
				}
				now = now || s.Channel >= r.Low && s.Channel < r.High
			}
			if seen && now != pressed {
				if now || rig.OneShot.Trigger == TriggerBoth {
					want = append(want, span{s.At, Never})
				} else if n := len(want); n > 0 && want[n-1].up == Never {
					want[n-1].up = s.At
				}
			}
			pressed, seen = now, true
		}
		var got []span
		for _, f := range replay.Flicks {
			got = append(got, span{f.Down, f.Up})
		}
		require.Equal(t, want, got)
		for _, f := range replay.Flicks {
			if f.Press > 0 {
				require.Equal(t, f.N, replay.Presses[f.Press-1].Flick)
			}
			if f.Outcome == FlickToggled {
				require.NotEqual(t, Never, replay.Presses[f.Press-1].Acts)
			}
		}
	})
}

// TestHandBoundsHoldTheHand moves a switch at random moments, samples it, and
// sends it through settle, one-shot and refresh: the hand's hold lies within the
// bounds of each flick, and within those of a link that holds its values.
func TestHandBoundsHoldTheHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := DefaultRig()
		rig.SignalLoss.StaleAfter = Second
		rig.Switch.Settle = rapid.SampledFrom([]Micros{0, 5 * Millisecond}).Draw(t, "settle")
		rig.OneShot.Trigger = rapid.SampledFrom([]Trigger{TriggerOff, TriggerRising}).Draw(t, "trigger")
		rig.Line.Update = rapid.SampledFrom([]Micros{0, 50 * Millisecond}).Draw(t, "update")
		rig.Link.Frame = rapid.SampledFrom([]Micros{0, 20 * Millisecond}).Draw(t, "frame")
		step := rapid.SampledFrom([]Micros{Millisecond, 10 * Millisecond}).Draw(t, "step")
		down := 100*Millisecond + Micros(rapid.IntRange(0, 60000).Draw(t, "down"))
		hold := 60*Millisecond + Micros(rapid.IntRange(0, 400000).Draw(t, "hold"))
		phase := Micros(rapid.IntRange(0, 19999).Draw(t, "phase"))
		chain := NewChain(TapChannel, rig)
		for at := Micros(0); at < Second; at += step {
			moment := at
			if frame := rig.Link.Frame; frame > 0 { // the value that the link holds
				moment = (at-phase+frame)/frame*frame + phase - frame
			}
			value := PulseWidth(1000)
			if moment >= down && moment < down+hold {
				value = 2000
			}
			chain.Feed(Sample{At: at, Channel: value, Armed: Absent})
		}
		replay := chain.Finish()
		require.Len(t, replay.Flicks, 1)
		bounds, ok := replay.Flicks[0].HandBounds(rig.Link)
		require.True(t, ok)
		require.LessOrEqual(t, bounds.Low, hold)
		require.GreaterOrEqual(t, bounds.High, hold)
	})
}

func TestHandBoundsAreNotToldWhereALostSignalMadeAnEdge(t *testing.T) {
	rig := DefaultRig()
	rig.SignalLoss = SignalLossSpec{StaleAfter: 30 * Millisecond, Then: LossRelease}
	rig.Camera.MinPress = Exactly(30 * Millisecond)
	replay := feedAll(NewChain(TapChannel, rig), flickLog("..pppp--------pppp.."))
	require.Len(t, replay.Presses, 2)
	for _, p := range replay.Presses {
		_, ok := replay.HandBounds(p)
		require.False(t, ok)
	}
}

func TestFlicksBySomeOtherRig(t *testing.T) {
	high := DefaultRig()
	high.Switch.Press = []PulseRange{{2100, 2250}}
	chain := NewChain(TapChannel, high)
	chain.FlicksBy(DefaultRig())
	replay := feedAll(chain, flickLog("..pppppppppp..pppppppp.."))
	require.Len(t, replay.Flicks, 2)
	require.Empty(t, replay.Presses)
	require.Equal(t, FlickCounts{{FlickUnseen, 2}}, CountFlicks(replay.Flicks))
}
