package tell_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Situations of the trade (common practice, no source); the wording is ours.
func TestSummary(t *testing.T) {
	const s = sim.Second
	flicks := func(outcomes ...sim.FlickOutcome) (all []sim.Flick) {
		for i, o := range outcomes {
			all = append(all, sim.Flick{N: i + 1, Outcome: o})
		}
		return all
	}
	takes := func(lengths ...sim.Micros) (all []sim.Take) {
		at := s
		for i, length := range lengths {
			all = append(all, sim.Take{N: i + 1, Start: at, End: at + length})
			at += length + s
		}
		return all
	}
	doubtful := flicks(sim.FlickToggled, sim.FlickToggled)
	doubtful[0].Press, doubtful[1].Press = 1, 2
	for _, test := range []struct {
		name   string
		replay sim.Replay
		want   string
	}{
		{"nothing at all", sim.Replay{End: 12 * s}, "no flicks; nothing recorded in 12 s"},
		{"one flick", sim.Replay{End: 200 * s, Flicks: flicks(sim.FlickToggled), Record: sim.Record{Takes: takes(70 * s)}},
			"the one flick toggled; recorded 1:10 of 3:20, in 1 take"},
		{"all toggled", sim.Replay{End: 60 * s, Flicks: flicks(sim.FlickToggled, sim.FlickToggled), Record: sim.Record{Takes: takes(10*s, 15*s)}},
			"both flicks toggled; recorded 25 s of 1:00, in 2 takes"},
		{"why others did not", sim.Replay{End: 60 * s, Flicks: flicks(sim.FlickOff, sim.FlickShort, sim.FlickToggled, sim.FlickOff), Record: sim.Record{Takes: takes(10 * s)}},
			"1 of 4 flicks toggled (1 short, 2 off); recorded 10 s of 1:00, in 1 take"},
		{"of the armed time", sim.Replay{End: 60 * s, Flicks: flicks(sim.FlickToggled), Armed: &sim.ArmedTime{Armed: 40 * s, Recorded: 8 * s}, Record: sim.Record{Takes: takes(10 * s)}},
			"the one flick toggled; recorded 8 s of 40 s armed, in 1 take"},
		{"doubtful flicks are counted", sim.Replay{End: 60 * s, Flicks: doubtful, Record: sim.Record{Presses: []sim.Press{{N: 1, Doubtful: true}, {N: 2}}}},
			"both flicks toggled, 1 of them doubtful; nothing recorded in 1:00"},
		{"an unknown state", sim.Replay{End: 60 * s, Flicks: flicks(sim.FlickUnknown), Record: sim.Record{States: []sim.StateChange{{State: sim.StateStandby}, {At: 5 * s, State: sim.StateUnknown}}}},
			"what 1 flick did is not known; what was recorded in 1:00 is not known; what the camera did after 0:05.0 is not known"},
		{"an unknown start", sim.Replay{End: 60 * s, Flicks: flicks(sim.FlickUnknown, sim.FlickUnknown), Armed: &sim.ArmedTime{Armed: 40 * s}, Record: sim.Record{States: []sim.StateChange{{State: sim.StateUnknown}}}},
			"what 2 flicks did is not known; what was recorded in 40 s armed is not known; nothing shows the camera's state at the start"},
		{"unknown after a take", sim.Replay{End: 60 * s, Flicks: flicks(sim.FlickToggled, sim.FlickUnknown), Record: sim.Record{Takes: takes(10 * s), States: []sim.StateChange{{State: sim.StateStandby}, {At: 30 * s, State: sim.StateUnknown}}}},
			"1 of 2 flicks toggled (1 unknown); recorded at least 10 s of 1:00, in 1 take; what the camera did after 0:30.0 is not known"},
	} {
		t.Run(test.name, func(t *testing.T) { require.Equal(t, test.want, tell.Summary(&test.replay)) })
	}
}
