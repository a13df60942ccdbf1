package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// M12, sentence by sentence; the twin follows the same rule at every microsecond.
func TestM12PairsOfPresses(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Camera.DoubleWithin, r.Camera.DoubleAction = micros(500), ActionPowerOff })
	verdicts := func(r *Replay) (all []Verdict) {
		for _, p := range r.Presses {
			all = append(all, p.Verdict)
		}
		return all
	}
	t.Run("a press alone toggles at effect time + double_within", func(t *testing.T) {
		r := play(rig, story(flick(1000, 1200)), 5000)
		require.Equal(t, []Toggle{{micros(1700), StateRecording, 1}}, r.Toggles)
		assert.Equal(t, micros(1700), r.Presses[0].Acts)
		assert.Equal(t, StateRecording, r.Presses[0].StateAfter)
	})
	t.Run("less than double_within after it: a pair, and no toggle", func(t *testing.T) {
		r := play(rig, story(flick(1000, 1200), flick(1699.999, 1900)), 5000)
		assert.Equal(t, []Verdict{VerdictDouble, VerdictDouble}, verdicts(r))
		assert.Empty(t, r.Toggles)
		assert.Equal(t, []Micros{Never, micros(1900)}, []Micros{r.Presses[0].Acts, r.Presses[1].Acts})
		assert.Equal(t, StateOff, r.StateAt(r.End))
		assert.Equal(t, FlickCounts{{FlickDouble, 2}}, CountFlicks(r.Flicks))
	})
	t.Run("exactly double_within after it: two toggles", func(t *testing.T) {
		r := play(rig, story(flick(1000, 1200), flick(1700, 1900)), 5000)
		assert.Equal(t, []Verdict{VerdictToggle, VerdictToggle}, verdicts(r))
		assert.Len(t, r.Toggles, 2)
	})
	t.Run("second short: at its own deadline", func(t *testing.T) {
		r := play(rig, story(flick(1000, 1200), flick(1300, 1340)), 5000)
		assert.Equal(t, []Verdict{VerdictToggle, VerdictShort}, verdicts(r))
		assert.Equal(t, micros(1700), r.Presses[0].Acts)
	})
	t.Run("second short: at its effect time where that is later", func(t *testing.T) {
		r := play(rig, story(flick(1000, 1200), flick(1680, 1730)), 5000)
		assert.Equal(t, micros(1730), r.Presses[0].Acts)
		assert.Equal(t, StateRecording, r.Presses[1].StateAfter)
	})
	t.Run("second long: just before its long action", func(t *testing.T) {
		r := play(rig, story(flick(1000, 1200), flick(1300, 4000)), 5000)
		assert.Equal(t, []Verdict{VerdictToggle, VerdictLong}, verdicts(r))
		assert.Equal(t, []Micros{micros(2800), micros(2800)}, []Micros{r.Presses[0].Acts, r.Presses[1].Acts})
		assert.Equal(t, StateOff, r.StateAt(r.End))
		assert.Empty(t, r.Takes, "a take of no length")
	})
	t.Run("still waiting when the log ends", func(t *testing.T) {
		r := play(rig, story(flick(1000, 1200)), 1600)
		assert.Equal(t, VerdictToggle, r.Presses[0].Verdict)
		assert.Equal(t, Never, r.Presses[0].Acts)
		assert.Equal(t, FlickWaiting, r.Flicks[0].Outcome)
	})
	t.Run("not at a camera that is busy", func(t *testing.T) {
		busy := rigWith(func(r *Rig) { r.Camera.DoubleWithin, r.Camera.StartDelay = micros(500), Second })
		r := play(busy, story(flick(1000, 1200), flick(1800, 2000)), 5000)
		assert.Equal(t, []Verdict{VerdictToggle, VerdictBusy}, verdicts(r))
	})
}
