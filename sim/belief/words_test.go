package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// TestWordsOfDoubt: what is open is named with what would settle it, and what a
// glance narrowed down as lines for the rig file.
func TestWordsOfDoubt(t *testing.T) {
	replay := flightOf(1, func(int) sim.Micros { return 80 * sim.Millisecond })
	replay.Rig.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	open, err := Resolve(replay, Observations{})
	require.NoError(t, err)
	lines := open.Lines()
	require.Equal(t, Line{"min_press", "60 to 110 ms"}, lines[0])
	require.Equal(t, Line{"long_press", "1500 ms"}, lines[1])
	require.Equal(t, Line{"possible histories", "2, the likeliest with a chance of 60 %; that one is shown"}, lines[2])
	require.Equal(t, "recording", lines[3].Name)
	require.Contains(t, lines[3].Text, "40 %", "a threshold of 60 to 80 ms of 60 to 110 toggles")
	require.Equal(t, "to settle most", lines[4].Name)
	require.Contains(t, lines[4].Text, "(worth 0.97 bit)", "the entropy of 0.4 and 0.6")
	require.Empty(t, open.NarrowedKeys())

	seen, err := Resolve(replay, Observations{Seen: []Glance{{At: replay.End, Light: LightRecording}}})
	require.NoError(t, err)
	require.Equal(t, Line{"min_press", "60 to 80 ms (the rig says 60 to 110 ms)"}, seen.Lines()[0])
	require.Equal(t, []string{`min_press = ["60ms", "80ms"]`}, seen.NarrowedKeys())
}

// TestRowsOfClips: a clip with its take, a take without a file, a clip without a
// take, each in its row.
func TestRowsOfClips(t *testing.T) {
	replay := &sim.Replay{}
	replay.Takes = []sim.Take{{N: 1, End: 10 * sim.Second}, {N: 2, Start: 20 * sim.Second, End: 25 * sim.Second}}
	r := Result{Replay: replay, Pairs: []Pair{{1, 1}, {0, 2}, {2, 0}}}
	require.Equal(t, []ClipRow{
		{"1", "A", "9.5 s", "1", "10 s", "−500 ms"},
		{"missing", "", "-", "2", "5 s", "-"},
		{"2", "B", "3 s", "none", "-", "-"},
	}, r.ClipRows([]Clip{{Name: "A", Length: 9500 * sim.Millisecond}, {Name: "B", Length: 3 * sim.Second}}))
	require.Nil(t, (&Result{Replay: replay}).ClipRows(nil))
}

// TestWhatIsLeftOfARangeIsRoundedOutward: to a tenth of a millisecond, so that
// it holds what it held, and not beyond what the rig says.
func TestWhatIsLeftOfARangeIsRoundedOutward(t *testing.T) {
	rig := sim.Interval{Low: 60_050, High: 110_000}
	require.Equal(t, sim.Interval{Low: 60_050, High: 80_000}, outward(sim.Interval{Low: 60_051, High: 79_943}, rig, 100))
	require.Equal(t, sim.Interval{Low: 70_100, High: 110_000}, outward(sim.Interval{Low: 70_199, High: 109_999}, rig, 100))
	require.Equal(t, sim.Exactly(80_050), outward(sim.Exactly(80_050), sim.Exactly(80_050), 100))
}
