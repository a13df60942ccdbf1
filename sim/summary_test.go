package sim_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// The sentences stand for situations of the trade; their wording is ours
// (common practice, no source).
func TestSummary(t *testing.T) {
	const s = sim.Second
	take := func(n int, from, to sim.Micros) sim.Take { return sim.Take{N: n, Start: from, End: to} }
	lost := func(at sim.Micros, text string) sim.Finding { return sim.Finding{At: at, Text: text, Lost: true} }

	tests := []struct {
		name     string
		replay   sim.Replay
		findings []sim.Finding
		want     string
	}{
		{
			name:   "no takes and nothing wrong",
			replay: sim.Replay{End: 12 * s},
			want:   "nothing recorded in 12s; no loss found",
		},
		{
			name:   "a length from a minute on is a clock",
			replay: sim.Replay{End: 200 * s, Record: sim.Record{Takes: []sim.Take{take(1, 10*s, 80*s)}}},
			want:   "1 take recorded, 1:10.000; no loss found",
		},
		{
			name: "findings that cost nothing are no loss",
			replay: sim.Replay{End: 60 * s, Record: sim.Record{
				Takes: []sim.Take{take(1, 10*s, 20*s), take(2, 30*s, 45*s)}}},
			findings: []sim.Finding{{At: 12 * s, Text: "a short take"}},
			want:     "2 takes recorded, 25s in all; no loss found",
		},
		{
			name: "tries without a take between them are one lost shot",
			replay: sim.Replay{End: 60 * s, Record: sim.Record{
				Takes: []sim.Take{take(1, 10*s, 20*s)}}},
			findings: []sim.Finding{lost(25*s, "press 3 was held 2.3s"), lost(30*s, "press 4 found it off")},
			want:     "1 take recorded, 10s; at least 1 shot lost: press 3 was held 2.3s",
		},
		{
			name: "losses on both sides of a take are two shots, told by the first",
			replay: sim.Replay{End: 60 * s, Record: sim.Record{
				Takes: []sim.Take{take(1, 10*s, 20*s)}}},
			findings: []sim.Finding{lost(2*s, "press 1 was too short"), lost(30*s, "press 4 found it off")},
			want:     "1 take recorded, 10s; at least 2 shots lost, the first: press 1 was too short",
		},
		{
			name: "a loss at the start of a take belongs to what follows it",
			replay: sim.Replay{End: 60 * s, Record: sim.Record{
				Takes: []sim.Take{take(1, 10*s, 20*s)}}},
			findings: []sim.Finding{lost(10*s, "press 2 was too short"), lost(30*s, "press 4 found it off")},
			want:     "1 take recorded, 10s; at least 1 shot lost: press 2 was too short",
		},
		{
			name: "armed time stands beside recorded time",
			replay: sim.Replay{End: 60 * s, Armed: &sim.ArmedTime{Armed: 40 * s, Recorded: 8 * s},
				Record: sim.Record{Takes: []sim.Take{take(1, 10*s, 20*s)}}},
			want: "1 take recorded, 10s (8s of 40s armed); no loss found",
		},
		{
			name: "doubtful presses are counted",
			replay: sim.Replay{End: 60 * s, Record: sim.Record{
				Presses: []sim.Press{{Doubtful: true}, {}, {Doubtful: true}}}},
			want: "nothing recorded in 1:00.000; no loss found; 2 presses are doubtful",
		},
		{
			name: "an unknown state outweighs doubtful presses",
			replay: sim.Replay{End: 60 * s, Record: sim.Record{
				Presses: []sim.Press{{Doubtful: true}},
				States:  []sim.StateChange{{State: sim.StateStandby}, {At: 5 * s, State: sim.StateUnknown}}}},
			want: "nothing recorded in 1:00.000; no loss found; what the camera did is not known from 0:05.000 on",
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			require.Equal(t, test.want, test.replay.Summary(test.findings))
		})
	}
}
