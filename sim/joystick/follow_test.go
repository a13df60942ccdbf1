package joystick

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func TestFollowerSamplesOneControl(t *testing.T) {
	aux, stick := Control{Axis, 5}, Control{Axis, 0}
	f := Follower{Control: aux}
	at := func(at sim.Micros, value sim.PulseWidth) sim.Sample {
		return sim.Sample{At: at, Channel: value, Armed: sim.Absent}
	}
	same := func(want, got []sim.Sample) {
		t.Helper()
		require.Len(t, got, len(want))
		for i := range want {
			require.Equal(t, want[i].At, got[i].At)
			require.Equal(t, want[i].Channel, got[i].Channel)
			require.True(t, math.IsNaN(float64(got[i].Armed)), "an armed state is never told")
		}
	}
	same(nil, f.Hold(7000)) // its position is not known yet
	same([]sim.Sample{at(0, 1000)}, f.Move(Move{At: 8000, Control: aux, Value: 1000, Initial: true}))
	same(nil, f.Move(Move{At: 8500, Control: stick, Value: 1400}))
	same([]sim.Sample{at(1000, 1000)}, f.Hold(9000))
	same(nil, f.Hold(9000))
	// The position is held up to the move.
	same([]sim.Sample{at(1999, 1000), at(2000, 2000)}, f.Move(Move{At: 10000, Control: aux, Value: 2000}))
	same([]sim.Sample{at(2000, 1500)}, f.Move(Move{At: 10000, Control: aux, Value: 1500}))
	same([]sim.Sample{at(5000, 1500)}, f.Hold(13000))
	// A late one counts at the time of the latest sample.
	same([]sim.Sample{at(5000, 1000)}, f.Move(Move{At: 12000, Control: aux, Value: 1000}))
}

// A flick of a known length reaches the camera with that length.
func TestAFollowedFlickIsExact(t *testing.T) {
	aux := Control{Axis, 5}
	f := Follower{Control: aux}
	chain := sim.NewChain(sim.TapChannel, sim.DefaultRig())
	feed := func(samples []sim.Sample) {
		for _, s := range samples {
			chain.Feed(s)
		}
	}
	feed(f.Move(Move{At: 0, Control: aux, Value: 1000, Initial: true}))
	for at := sim.Micros(0); at < 2*sim.Second; at += 100 * sim.Millisecond {
		feed(f.Hold(at))
	}
	feed(f.Move(Move{At: 2_000_000, Control: aux, Value: 2000}))
	feed(f.Hold(2_100_000))
	feed(f.Move(Move{At: 2_283_456, Control: aux, Value: 1000}))
	r := chain.Finish()
	require.Len(t, r.Presses, 1)
	require.Equal(t, sim.Micros(283_456), r.Presses[0].Hold())
	require.Equal(t, sim.Interval{Low: 283_455, High: 283_457}, r.Presses[0].HoldBounds())
}
