package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// TestAClipOfUnknownLength: a file that the camera never closed is a take of any
// length, by its place in the order and its start.
func TestAClipOfUnknownLength(t *testing.T) {
	replay := &sim.Replay{Rig: sure(), End: 200 * s}
	for _, at := range []sim.Micros{10, 20, 30, 41, 60, 90} { // takes of 10, 11 and 30 s
		replay.Lanes.Wire.Edges = append(replay.Lanes.Wire.Edges, sim.Edge{At: at*s - 300*ms, Pressed: true}, sim.Edge{At: at * s})
	}
	never := Clip{Name: "LAKE0003", NoLength: true}
	result, err := Resolve(replay, Observations{Clips: []Clip{{Length: 10 * s}, {Length: 11 * s}, never}, ClipError: s})
	require.NoError(t, err)
	require.Equal(t, []Pair{{1, 1}, {2, 2}, {3, 3}}, result.Pairs)
	require.Zero(t, result.Unexplained)
	rows := result.ClipRows([]Clip{{Length: 10 * s}, {Length: 11 * s}, never})
	require.Equal(t, ClipRow{Clip: "3", Name: "LAKE0003", Length: "unknown", Take: "3", Its: "30 s", Off: "-"}, rows[2])

	result, err = Resolve(replay, Observations{Clips: append(lengths(10, 11, 30), never), ClipError: s})
	require.NoError(t, err)
	require.Equal(t, 1, result.Unexplained)
	require.Equal(t, `nothing explains clip 4 "LAKE0003", which was never closed`, result.Findings[0].Text)
}
