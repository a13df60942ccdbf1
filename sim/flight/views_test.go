package flight

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/tell"
)

// flown returns judged flights, one for each segment.
func flown(t *testing.T, rig sim.Rig, seen belief.Observations, blocks ...sim.Block) []Flight {
	t.Helper()
	flights, err := Read(&script{blocks: blocks}, "lake.csv", rig, Options{})
	require.NoError(t, err)
	require.NoError(t, Judge(flights, tell.DefaultLimits(), seen))
	return flights
}

// armedFrom makes a block armed from a time on.
func armedFrom(b sim.Block, from sim.Micros) sim.Block {
	for i := range b.Samples {
		b.Samples[i].Armed = 1000
		if b.Samples[i].At >= from {
			b.Samples[i].Armed = 2000
		}
	}
	return b
}

// TestOutingOf: the takes are from 5.3 s to 10.3 s, and from 5.3 s to the end at
// 9.99 s. The first flight is armed from 7 s to the end at 14.99 s, and only that time
// counts.
func TestOutingOf(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Log.Armed = "armed"
	blocks := []sim.Block{armedFrom(flicks(1, 300*ms, 300*ms), 7*sim.Second), flicks(2, 300*ms), flicks(3)}
	o := OutingOf(flown(t, rig, belief.Observations{}, blocks...))
	require.Equal(t, []OutingRow{
		{Log: "lake.csv (segment 1 of 3)", Toggled: "2 of 2", Takes: "1", Recorded: "3.3 s", Missed: "4.7 s", Clips: "-"},
		{Log: "lake.csv (segment 2 of 3)", Toggled: "1 of 1", Takes: "1", Recorded: "4.7 s", Missed: "-", Clips: "-"},
		{Log: "lake.csv (segment 3 of 3)", Toggled: "0 of 0", Takes: "0", Recorded: "0 s", Missed: "-", Clips: "-"},
	}, o.Rows)
	require.Equal(t, 3, o.Total.Logs)
	require.Equal(t, 2, o.Total.Takes)
	require.Equal(t, 9690*ms, o.Total.Recorded)
	require.Empty(t, o.CardSummary(), "the card was not read")
}

// TestOutingOfACard: the flights share the clips, each of which is of one take.
func TestOutingOfACard(t *testing.T) {
	clips := func(lengths ...sim.Micros) belief.Observations {
		seen := belief.Observations{ClipError: sim.Second, Clips: []belief.Clip{}}
		for _, length := range lengths {
			seen.Clips = append(seen.Clips, belief.Clip{Length: length})
		}
		return seen
	}
	long := func() []sim.Block {
		return []sim.Block{flicks(1, 300*ms, 0, 300*ms, 300*ms, 300*ms), flicks(2, 300*ms, 300*ms)}
	}
	for name, test := range map[string]struct {
		seen    belief.Observations
		clips   []string
		summary string
	}{
		"all":     {clips(10*sim.Second, 5*sim.Second, 5*sim.Second), []string{"1, 2", "3"}, "on the card: 3 of 3 takes"},
		"none":    {clips(), []string{"-", "-"}, "on the card: 0 of 3 takes"},
		"strange": {clips(10*sim.Second, 5*sim.Second, 5*sim.Second, 99*sim.Second), []string{"1, 2", "3"}, "on the card: 3 of 3 takes; 1 clip that no take explains"},
	} {
		o := OutingOf(flown(t, sim.DefaultRig(), test.seen, long()...))
		require.Equal(t, test.clips, []string{o.Rows[0].Clips, o.Rows[1].Clips}, name)
		require.Equal(t, test.summary, o.CardSummary(), name)
	}
}

// TestComparison: a rig that waits 400 ms for the switch to settle misses the press of
// 300 ms, so the second press starts its take.
func TestComparison(t *testing.T) {
	late := sim.DefaultRig()
	late.Switch.Settle = 400 * ms
	both, err := ReadWith(&script{blocks: []sim.Block{flicks(1, 300*ms, 600*ms)}}, "lake.csv", []sim.Rig{sim.DefaultRig(), late}, Options{})
	require.NoError(t, err)
	c := Comparison{Rigs: []ComparedRig{{Letter: "A", File: "heron.toml"}, {Letter: "B", File: "heron.toml", Change: "switch.settle = 400ms"}}}
	for _, flights := range both {
		require.NoError(t, Judge(flights, tell.DefaultLimits(), belief.Observations{}))
		c.Flights = append(c.Flights, flights[0])
		c.Outcomes = append(c.Outcomes, tell.OutcomeOf(flights[0].Replay, flights[0].Findings))
	}
	require.Equal(t, "heron.toml", c.Rigs[0].Name())
	require.Equal(t, "heron.toml with switch.settle = 400ms", c.Rigs[1].Name())

	// A records from 5.3 s to 10.6 s, B from 11 s to the end at 14.99 s.
	gained, missed := c.Gains(1)
	require.Equal(t, []sim.Span{{From: 11 * sim.Second, To: 14990 * ms}}, gained)
	require.Equal(t, []sim.Span{{From: 5300 * ms, To: 10600 * ms}}, missed)
	gained, missed = c.Gains(0)
	require.Empty(t, gained, "a rig against itself")
	require.Empty(t, missed)

	for _, f := range c.Flights[1].Findings {
		require.True(t, c.Any(f.Code))
	}
	require.False(t, c.Any("no such finding"))
	require.NotEmpty(t, c.Flights[1].Findings)
}

// TestTheTraceMayBeOfAPart: outside it the trace has nothing, and only the first of
// several rigs has one.
func TestTheTraceMayBeOfAPart(t *testing.T) {
	part := sim.Span{From: 5 * sim.Second, To: 6 * sim.Second}
	both, err := ReadWith(&script{blocks: []sim.Block{flicks(1, 300*ms, 300*ms)}}, "lake.csv", []sim.Rig{sim.DefaultRig(), sim.DefaultRig()},
		Options{TraceBins: 64, TraceWithin: part})
	require.NoError(t, err)
	trace := both[0][0].Trace
	require.Equal(t, sim.PulseWidth(2000), trace.Range(part.From, part.To, 1)[0].High)
	require.NotEqual(t, sim.PulseWidth(2000), trace.Range(10*sim.Second, 11*sim.Second, 1)[0].High, "the second flick is outside")
	require.Nil(t, both[1][0].Trace)
}

// TestJudgeReportsWrongObservations, of one flight and of several together.
func TestJudgeReportsWrongObservations(t *testing.T) {
	for _, blocks := range [][]sim.Block{{flicks(1, 300*ms)}, {flicks(1, 300*ms), flicks(2, 300*ms)}} {
		flights, err := Read(&script{blocks: blocks}, "lake.csv", sim.DefaultRig(), Options{})
		require.NoError(t, err)
		flights[0].Seen = []belief.Glance{{At: sim.Minute, Light: belief.LightRecording}}
		require.ErrorContains(t, Judge(flights, tell.DefaultLimits(), belief.Observations{}), "found a time outside the log")
		require.Nil(t, flights[0].Known)
	}
}
