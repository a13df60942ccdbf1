package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// A hold at a bound of a cell is judged by the cell beside it: the window of a
// cell must not lie on its low bounds, or it would be another's. The centre of a
// cell that is cut aslant is not the middle of its bounds.
func TestTheWindowOfACellLiesWithinIt(t *testing.T) {
	for _, tt := range []struct {
		bounds sim.Interval
		want   sim.Micros
	}{
		{sim.Exactly(80), 80},
		{interval(80, 81), 81},
		{interval(80, 82), 81},
		{interval(60, 110), 85},
	} {
		replay := flightOf(0, nil)
		replay.Rig.Camera.MinPress, replay.Rig.Camera.LongPress = tt.bounds, sim.Exactly(1500)
		result, err := Resolve(replay, Observations{})
		require.NoError(t, err)
		require.Equal(t, sim.Window{MinPress: tt.want, LongPress: 1500}, result.cells[0].window)
	}
	triangle := newRegion(interval(0, 30), interval(70, 100)).whereOrdered(moment{70, alongMin}, moment{0, alongLong})
	require.Equal(t, sim.Window{MinPress: 10, LongPress: 90}, middle(triangle))
}
