package session

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/export"
	"flicktally/sim/files"
	"flicktally/sim/flight"
	"flicktally/sim/live"
	"flicktally/sim/logs"
	"flicktally/sim/tell"
)

// Several live flights share a card, and each gets its clips.
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
	result := Result{Flights: []live.Flight{flown(1, 18*sim.Second, 7*sim.Second), flown(2, 11*sim.Second)}}
	flights, err := result.Judge("lake.csv", card, sim.Second)
	require.NoError(t, err)
	require.Len(t, flights, 2)
	var clips [][]belief.Pair
	for _, f := range flights {
		clips = append(clips, f.Known.Pairs)
	}
	require.Equal(t, [][]belief.Pair{{{Clip: 1, Take: 1}, {Clip: 2, Take: 2}}, {{Clip: 3, Take: 1}}}, clips)
}

// The final report of a flight is the replay of its record, which has no row that
// could not be read. Without a record it is the replay of the input.
func TestTheFinalFlightIsTheRecords(t *testing.T) {
	const rows = "time_us,aux2\n0,1000\n20000,1000\n40000,2000\nnonsense\n340000,1000\n2000000,1000\n"
	fly := func(record *Record) Result {
		s := New(sim.DefaultRig(), stopped, record)
		s.Read(Stream("lake.csv", strings.NewReader(rows), Options{Source: logs.How{}.Options(sim.DefaultRig(), sim.Thinning{})}))
		<-s.Ended()
		return s.Finish()
	}
	path := filepath.Join(t.TempDir(), "record.csv")
	record, err := CreateRecord(path, false)
	require.NoError(t, err)
	flown := fly(record)
	require.True(t, flown.Recorded)
	flights, err := flown.Judge(path, nil, 0)
	require.NoError(t, err)
	require.NotZero(t, flights[0].Reading)

	// The other way: replay the record.
	reader := logs.Reader{Desk: files.NewDesk(nil, nil, nil)}
	again, err := reader.Replay([]string{path}, sim.DefaultRig(), logs.How{}, logs.Options{Limits: tell.DefaultLimits()})
	require.NoError(t, err)
	require.Equal(t, written(t, again), written(t, flown.Final(flights)))

	unkept := fly(nil)
	require.False(t, unkept.Recorded)
	flights, err = unkept.Judge("lake.csv", nil, 0)
	require.NoError(t, err)
	require.Equal(t, flights, unkept.Final(flights))
}

// written returns the final file of some flights.
func written(t *testing.T, flights []flight.Flight) string {
	t.Helper()
	var text strings.Builder
	require.NoError(t, export.Replays(&text, flights))
	return text.String()
}
