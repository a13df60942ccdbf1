package fit

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func TestRangeText(t *testing.T) {
	for want, threshold := range map[string]Threshold{
		"not measurable":  {Falls: true, Range: sim.Interval{Low: 5, High: 6}},
		"not known yet":   {Range: sim.Interval{High: sim.Never}},
		"more than 80 ms": {Range: sim.Interval{Low: 80 * sim.Millisecond, High: sim.Never}},
		"at most 80 ms":   {Range: sim.Interval{High: 80 * sim.Millisecond}},
		"70 to 80 ms":     {Range: sim.Interval{Low: 70 * sim.Millisecond, High: 80 * sim.Millisecond}},
	} {
		require.Equal(t, want, threshold.RangeText())
	}
}

// A statement about the trials names its evidence; without a trial there is no
// statement.
func TestWordsOfTrials(t *testing.T) {
	sharp := []Trial{{40 * sim.Millisecond, Nothing}, {60 * sim.Millisecond, Nothing}, {80 * sim.Millisecond, Toggled}, {300 * sim.Millisecond, Toggled}}
	w, err := Fit(sharp, Options{})
	require.NoError(t, err)
	require.Equal(t, "95 %; if it never jitters: 60 to 80 ms", w.Evidence(w.MinPress))
	require.Equal(t, "no trial bears on it", w.Evidence(Threshold{Range: sim.Interval{High: sim.Never}}))
	require.Equal(t, "-", Threshold{Best: sim.Never}.BestText())
	require.Empty(t, w.SecondOpinion(w.LongPress), "no long trial, no curve")
	known, missing := w.ForRig()
	require.Len(t, known, 1)
	require.Len(t, missing, 1)

	camera := sim.DefaultRig().Camera
	known[0].PutInto(&camera)
	require.Equal(t, known[0].Range, camera.MinPress)
	require.Equal(t, sim.DefaultRig().Camera.LongPress, camera.LongPress)

	w, err = Fit(append(sharp, Trial{70 * sim.Millisecond, Toggled}, Trial{90 * sim.Millisecond, Nothing}), Options{})
	require.NoError(t, err)
	require.Contains(t, w.Evidence(w.MinPress), "95 %; jitters by about ")
	require.Contains(t, w.SecondOpinion(w.MinPress), "min_press by maximum likelihood, logistic curve: ")
	require.Equal(t, "longer holds reach it no more often", w.Evidence(Threshold{Falls: true}))
}
