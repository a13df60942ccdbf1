package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestAim(t *testing.T) {
	ms := func(n Micros) Micros { return n * Millisecond }
	for _, c := range []struct {
		name   string
		change func(*Rig)
		want   Micros
	}{
		// √(80 · 1500) = 346.4
		{"the default rig", func(*Rig) {}, ms(350)},
		// 80 → 4 frames of 22 = 88; 1499.999 → 68 frames = 1496; √(88 · 1496.001) = 362.8
		{"frames round inwards", func(r *Rig) { r.Link.Frame = ms(22) }, ms(360)},
		// √(110 · 1200) = 363.3
		{"ranges count from their inner ends", func(r *Rig) {
			r.Camera.MinPress, r.Camera.LongPress = Interval{ms(60), ms(110)}, Interval{ms(1200), ms(1800)}
		}, ms(360)},
		// √(100 · 108) = 103.9
		{"a band under 10 ms is not rounded", func(r *Rig) {
			r.Camera.MinPress, r.Camera.LongPress = Exactly(ms(100)), Exactly(ms(108))
		}, 103923},
		// √(101 · 112) = 106.4, rounded 110
		{"rounded within the band", func(r *Rig) {
			r.Camera.MinPress, r.Camera.LongPress = Exactly(ms(101)), Exactly(ms(112))
		}, ms(110)},
		// √(91 · 98) is 94.4, and 90 is below the band
		{"no upper end, a deliberate flick", func(r *Rig) {
			r.Camera.ToggleOn, r.Camera.LongAction = ToggleOnPress, ActionNone
		}, ms(200)},
		{"no upper end, twice the lower", func(r *Rig) {
			r.Camera.ToggleOn, r.Camera.LongAction, r.Camera.MinPress = ToggleOnPress, ActionNone, Exactly(ms(130))
		}, ms(260)},
		{"a one-shot has no upper end", func(r *Rig) { r.OneShot.Trigger = TriggerRising }, ms(200)},
		// 60 and 90 between refreshes of 50: none is certain; √(60 · 90) = 73.5
		{"no certain hold, the window", func(r *Rig) {
			r.Line.Update, r.Camera.MinPress, r.Camera.LongPress = ms(50), Exactly(ms(60)), Exactly(ms(90))
		}, 73484},
	} {
		t.Run(c.name, func(t *testing.T) {
			rig := DefaultRig()
			c.change(&rig)
			hold, ok := rig.Aim()
			require.True(t, ok)
			require.Equal(t, c.want, hold)
		})
	}
}

func TestNoAimWhereBothEdgesPulse(t *testing.T) {
	rig := DefaultRig()
	rig.OneShot.Trigger = TriggerBoth
	_, ok := rig.Aim()
	require.False(t, ok)
}

func TestOneShotWidth(t *testing.T) {
	camera := DefaultRig().Camera
	require.Equal(t, 350*Millisecond, camera.OneShotWidth())
	camera.MinPress = Interval{60 * Millisecond, 110 * Millisecond}
	require.Equal(t, 410*Millisecond, camera.OneShotWidth(), "√(110 · 1500) = 406.2")
}

// TestCertainBandIsWhatEveryPhaseToggles tries every hold at every phase of link
// and refresh (M4 to M7, M10).
func TestCertainBandIsWhatEveryPhaseToggles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := DefaultRig()
		drawCamera(t, &rig.Camera)
		zeroOr := func(name string, high int) Micros {
			return rapid.OneOf(rapid.Just(Micros(0)), shortDuration(1, high)).Draw(t, name)
		}
		rig.Camera.Start, rig.Camera.StartDelay, rig.Camera.AutoOff = StartStandby, 0, Never
		rig.Line.Active = rig.Camera.PressedLevel
		rig.Link.Frame, rig.Line.Update, rig.Line.Delay = zeroOr("frame", 5), zeroOr("update", 6), zeroOr("delay", 4)
		rig.Switch.Settle = zeroOr("settle", 6)
		rig.OneShot.Trigger = rapid.SampledFrom([]Trigger{TriggerOff, TriggerOff, TriggerRising}).Draw(t, "trigger")
		rig.OneShot.Width = shortDuration(1, 20).Draw(t, "width")
		band, ok := rig.CertainBand()
		require.True(t, ok)
		for hold := Micros(1); hold <= 40; hold++ {
			require.Equal(t, band.Contains(hold), togglesAtEveryPhase(rig, hold), "a hold of %d, band %v", hold, band)
		}
	})
}

func togglesAtEveryPhase(rig Rig, hold Micros) bool {
	for frame := range max(1, rig.Link.Frame) {
		for begin := range max(1, rig.Line.Update) {
			chain := NewLinkedChain(rig, rig.Camera.Window(), 1000, frame, nil)
			chain.Move(100+begin, 2000)
			chain.Move(100+begin+hold, 1000)
			r := chain.Finish(400)
			if len(r.Toggles) != 1 || r.StateAt(400) != StateRecording {
				return false
			}
		}
	}
	return true
}
