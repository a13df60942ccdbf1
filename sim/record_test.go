package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
)

func TestAPressThatIsOpenLastsToTheEndOfTheLog(t *testing.T) {
	assert.Equal(t, sim.Span{From: 3, To: 5}, sim.Press{Down: 3, Up: 5}.Span(9))
	assert.Equal(t, sim.Span{From: 3, To: 9}, sim.Press{Down: 3, Up: sim.Never}.Span(9))
}

func TestStatesCoverTheLogWithoutAGap(t *testing.T) {
	record := sim.Record{States: []sim.StateChange{
		{At: 0, State: sim.StateStandby}, {At: 4, State: sim.StateStarting}, {At: 6, State: sim.StateRecording},
	}}
	var states []sim.State
	var spans []sim.Span
	for state, span := range record.StateSpans(9) {
		states, spans = append(states, state), append(spans, span)
	}
	assert.Equal(t, []sim.State{sim.StateStandby, sim.StateStarting, sim.StateRecording}, states)
	assert.Equal(t, []sim.Span{{From: 0, To: 4}, {From: 4, To: 6}, {From: 6, To: 9}}, spans)

	for state := range record.StateSpans(9) {
		assert.Equal(t, sim.StateStandby, state, "it stops when it is told to")
		break
	}
}

func TestBeliefIsLinearWithinAStretch(t *testing.T) {
	rises := sim.BeliefStretch{From: 100, To: 300, Recording: 0.2, RecordingTo: 0.6}
	assert.Equal(t, 0.2, rises.ChanceAt(100))
	assert.InDelta(t, 0.4, rises.ChanceAt(200), 1e-12)
	assert.InDelta(t, 0.6, rises.ChanceAt(300), 1e-12)
	moment := sim.BeliefStretch{From: 7, To: 7, Recording: 0.3, RecordingTo: 0.3}
	assert.Equal(t, 0.3, moment.ChanceAt(7), "a stretch of no length")
}
