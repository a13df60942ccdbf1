package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
)

// Card, Moran and Newell (1983): one cycle of the motor system, 70 ms; quoted
// second-hand.
func TestTheLeastHoldIsACycleOfTheMotorSystem(t *testing.T) {
	assert.Equal(t, "70ms", sim.ShortestHold.String())
}
