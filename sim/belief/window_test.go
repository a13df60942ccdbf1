package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// A hold at a bound of a cell is judged by the cell beside it: the window of a
// cell must not lie on its low bounds, or it would be another's.
func TestTheWindowOfACellLiesWithinIt(t *testing.T) {
	for _, tt := range []struct {
		bounds sim.Interval
		want   sim.Micros
	}{
		{sim.Exactly(80), 80},
		{sim.Interval{Low: 80, High: 81}, 81},
		{sim.Interval{Low: 80, High: 82}, 81},
		{sim.Interval{Low: 60, High: 110}, 85},
	} {
		cell := Cell{MinPress: tt.bounds, LongPress: sim.Exactly(1500)}
		require.Equal(t, sim.Window{MinPress: tt.want, LongPress: 1500}, cell.Window())
	}
}
