package text

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
)

// TestThresholdSource: only a default is called an example.
func TestThresholdSource(t *testing.T) {
	other := sim.Exactly(300 * sim.Millisecond)
	for want, set := range map[string]func(*sim.CameraSpec){
		"examples until you measure them (flicktally calibrate)":                                   func(*sim.CameraSpec) {},
		"the rig file's, but long_press is an example until you measure it (flicktally calibrate)": func(c *sim.CameraSpec) { c.MinPress = other },
		"the rig file's, but min_press is an example until you measure it (flicktally calibrate)":  func(c *sim.CameraSpec) { c.LongPress = other },
		"the rig file's": func(c *sim.CameraSpec) { c.MinPress, c.LongPress = other, sim.Exactly(sim.Second) },
	} {
		c := sim.DefaultRig().Camera
		set(&c)
		assert.Equal(t, want, ThresholdSource(c))
	}
}
