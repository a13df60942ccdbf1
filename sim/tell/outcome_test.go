package tell_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// flight replays one log with a rig: a flick, a flick that is too long, a flick. If
// a long press does nothing, the take that it should have ended continues until the
// next flick.
func flight(change func(*sim.Rig)) *sim.Replay {
	rig := sim.DefaultRig()
	rig.Log.Armed = "arm"
	change(&rig)
	chain := sim.NewChain(sim.TapChannel, rig)
	const s, ms = sim.Second, sim.Millisecond
	moves := []sim.Sample{
		{At: 0, Channel: 1000, Armed: 2000},
		{At: 10 * s, Channel: 2000, Armed: 2000}, {At: 10*s + 300*ms, Channel: 1000, Armed: 2000},
		{At: 20 * s, Channel: 2000, Armed: 2000}, {At: 22 * s, Channel: 1000, Armed: 2000},
		{At: 30 * s, Channel: 2000, Armed: 2000}, {At: 30*s + 300*ms, Channel: 1000, Armed: 2000},
		{At: 40 * s, Channel: 1000, Armed: 2000},
	}
	for _, m := range moves {
		chain.Feed(m)
	}
	return chain.Finish()
}

func TestOutcome(t *testing.T) {
	const s, ms = sim.Second, sim.Millisecond
	off := flight(func(*sim.Rig) {})
	findings := tell.Findings(off, tell.DefaultLimits())
	outcome := tell.OutcomeOf(off, findings)
	require.Equal(t, 3, outcome.Presses)
	require.Equal(t, 1, outcome.Toggles)
	require.Equal(t, 1, outcome.Takes)
	require.Equal(t, 11*s+200*ms, outcome.Recorded, "from 10.3 s to the long press at 21.5 s")
	require.Equal(t, 40*s-outcome.Recorded, outcome.Missed)
	require.Equal(t, sim.FlickCounts{{Outcome: sim.FlickToggled, Count: 1}, {Outcome: sim.FlickLong, Count: 1}, {Outcome: sim.FlickOff, Count: 1}}, outcome.Flicks)
	toggled, _ := outcome.Flicks.Toggled()
	require.Equal(t, 1, toggled)
	require.Equal(t, 1, outcome.Count("long-press"))
	require.Equal(t, 0, outcome.Count("busy-press"))
	total := 0
	for _, c := range outcome.Findings {
		total += c.Count
	}
	require.Equal(t, len(findings), total, "every finding is counted under its code")
}

func TestRecordedBeyond(t *testing.T) {
	const s, ms = sim.Second, sim.Millisecond
	off := flight(func(*sim.Rig) {})
	harmless := flight(func(r *sim.Rig) { r.Camera.LongAction = sim.ActionNone })
	require.Equal(t, []sim.Span{{From: 21*s + 500*ms, To: 30*s + 300*ms}}, harmless.RecordedBeyond(&off.Record))
	require.Empty(t, off.RecordedBeyond(&harmless.Record))
	require.Empty(t, off.RecordedBeyond(&off.Record))
}
