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
		"examples until you measure them (flicktally calibrate)":                                      func(*sim.CameraSpec) {},
		"from the rig file, but long_press is an example until you measure it (flicktally calibrate)": func(c *sim.CameraSpec) { c.MinPress = other },
		"from the rig file, but min_press is an example until you measure it (flicktally calibrate)":  func(c *sim.CameraSpec) { c.LongPress = other },
		"from the rig file": func(c *sim.CameraSpec) { c.MinPress, c.LongPress = other, sim.Exactly(sim.Second) },
	} {
		c := sim.DefaultRig().Camera
		set(&c)
		assert.Equal(t, want, ThresholdSource(c))
	}
}
