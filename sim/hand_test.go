package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
)

// Card, Moran and Newell (1983): one cycle of the motor system, 70 ms; quoted
// second-hand.
func TestTheLeastHoldIsACycleOfTheMotorSystem(t *testing.T) {
	assert.Equal(t, "70ms", sim.LeastHold.String())
}

func TestTheMiddleHoldIsAsFarFromBothThresholds(t *testing.T) {
	const ms = sim.Millisecond
	camera := func(low, high sim.Interval) sim.CameraSpec { return sim.CameraSpec{MinPress: low, LongPress: high} }
	for name, test := range map[string]struct {
		camera sim.CameraSpec
		want   sim.Micros
	}{
		"100 ms · 4 = 1600 ms / 4":          {camera(sim.Exactly(100*ms), sim.Exactly(1600*ms+1)), 400 * ms},
		"346.4 ms, rounded down":            {camera(sim.Exactly(80*ms), sim.Exactly(1500*ms)), 340 * ms},
		"of ranges the narrowest window":    {camera(sim.Interval{Low: 1, High: 100 * ms}, sim.Interval{Low: 1600*ms + 1, High: 9000 * ms}), 400 * ms},
		"a window of a few ms: no rounding": {camera(sim.Exactly(4*ms), sim.Exactly(9*ms+1)), 6 * ms},
		"no lower threshold":                {camera(sim.Exactly(0), sim.Exactly(10_000*ms+1)), 3162},
		"long_press itself is no hold":      {camera(sim.Exactly(0), sim.Exactly(100*100)), 99},
	} {
		assert.Equal(t, test.want, test.camera.MiddleHold(), name)
	}
}
