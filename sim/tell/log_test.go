package tell_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// rows feeds a row every 20 ms for 20 s, but for those that skip says.
func rows(t *testing.T, frame sim.Micros, skip func(at sim.Micros) bool, value func(at sim.Micros) sim.PulseWidth) *sim.Replay {
	rig := sim.DefaultRig()
	rig.Link.Frame = frame
	chain := sim.NewChain(sim.TapChannel, rig)
	for at := sim.Micros(0); at <= 20*sim.Second; at += 20 * sim.Millisecond {
		if !skip(at) {
			chain.Feed(sim.Sample{At: at, Channel: value(at), Armed: sim.Absent})
		}
	}
	return chain.Finish()
}

func TestLogLines(t *testing.T) {
	const s, ms = sim.Second, sim.Millisecond
	never := func(sim.Micros) bool { return false }
	still := func(sim.Micros) sim.PulseWidth { return 1000 }
	between := func(from, to sim.Micros) func(sim.Micros) bool {
		return func(at sim.Micros) bool { return at > from && at < to }
	}
	require.Equal(t, []string{"0:20.0, 1001 samples, one every 20 ms; a shorter flick may not show"},
		tell.LogLines(rows(t, 0, never, still), false))
	require.Equal(t, "0:20.0, 1001 samples, one every 20 ms; a flick shorter than 22 ms may not show",
		tell.LogLines(rows(t, 22*ms, never, still), false)[0], "the link holds a value for a frame")
	require.Contains(t, tell.LogLines(rows(t, 0, between(8*s, 12*s), still), false),
		"1 gap longer than ten steps, the longest 4 s from 0:08.0 on")
	require.NotContains(t, tell.LogLines(rows(t, 0, between(8*s, 8200*ms), still), false)[len(tell.LogLines(rows(t, 0, between(8*s, 8200*ms), still), false))-1],
		"gap", "ten steps are no gap")
	blank := func(at sim.Micros) sim.PulseWidth {
		if at > 8*s && at < 12*s {
			return sim.Absent
		}
		return 1000
	}
	lines := tell.LogLines(rows(t, 0, never, blank), false)
	require.Equal(t, "0:20.0, 1001 samples, one every 20 ms, 199 without a valid channel value; a flick shorter than 20 ms may not show", lines[0])
	require.Contains(t, lines, "no signal for 3.5 s from 0:08.5 on")
	require.Equal(t, []string{"0:20.0"}, tell.LogLines(rows(t, 0, never, still), true))
}
