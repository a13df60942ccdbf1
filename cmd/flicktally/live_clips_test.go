package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
	"flicktally/sim/logs"
)

// Several flights that came in live are an outing: each gets its clips of the card.
func TestLiveFlightsShareTheCard(t *testing.T) {
	flown := func(segment int, takes ...sim.Micros) live.Flight {
		chain := sim.NewChain(sim.TapChannel, sim.DefaultRig())
		at := sim.Micros(0)
		hold := func(value sim.PulseWidth, until sim.Micros) {
			for ; at < until; at += 20 * sim.Millisecond {
				chain.Feed(sim.Sample{At: at, Channel: value, Armed: sim.Absent})
			}
		}
		for _, take := range takes {
			for range 2 {
				hold(1000, at+take-300*sim.Millisecond)
				hold(2000, at+300*sim.Millisecond)
			}
		}
		hold(1000, at+5*sim.Second)
		return live.Flight{Segment: segment, Replay: chain.Finish()}
	}
	card := logs.ListedClips([]belief.Clip{{Length: 18 * sim.Second}, {Length: 7 * sim.Second}, {Length: 11 * sim.Second}})
	var f liveFlags
	f.clips.clipError = durationFlag(sim.Second)
	result := session.Result{Flights: []live.Flight{flown(1, 18*sim.Second, 7*sim.Second), flown(2, 11*sim.Second)}}
	flights, err := (&app{}).judgeLive(result, "lake.csv", &f, card)
	require.NoError(t, err)
	require.Len(t, flights, 2)
	var clips [][]belief.Pair
	for _, f := range flights {
		clips = append(clips, f.Known.Pairs)
	}
	require.Equal(t, [][]belief.Pair{{{Clip: 1, Take: 1}, {Clip: 2, Take: 2}}, {{Clip: 3, Take: 1}}}, clips)
}
