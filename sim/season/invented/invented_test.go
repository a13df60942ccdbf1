package invented_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/lists"
	"flicktally/sim/season/invented"
	"flicktally/sim/source"
)

// TestTheCardsHoldTheTakesOfTheLogs: a replay of each log has a take for every clip
// on the list, of its length to the 0.2 s that a file may be longer, rounded.
func TestTheCardsHoldTheTakesOfTheLogs(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Log.Time, rig.Log.Channel = "time", "aux2"
	season := invented.Season(rig)
	require.Len(t, season, 8)
	require.Equal(t, season, invented.Season(rig), "always the same")
	for _, f := range season {
		log, err := source.Open(bytes.NewReader(f.Log), f.Name, source.Options{Spec: rig.Log})
		require.NoError(t, err)
		flights, err := flight.Read(log, f.Name, rig, flight.Options{})
		require.NoError(t, err)
		require.Len(t, flights, 1)
		clips, err := lists.ReadClips(bytes.NewReader(f.Card), f.Name)
		require.NoError(t, err)
		require.Len(t, clips, len(flights[0].Replay.Takes))
		require.NotEmpty(t, clips)
		for i, take := range flights[0].Replay.Takes {
			longer := clips[i].Length - take.Length()
			require.True(t, longer >= -50*sim.Millisecond && longer <= 250*sim.Millisecond, "clip %d of %s is longer by %v", i+1, f.Name, longer)
		}
	}
}
