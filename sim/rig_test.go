package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
)

func TestPulseRangeIsHalfOpen(t *testing.T) { // M3
	r := sim.PulseRange{Low: 1250, High: 2250}
	assert.False(t, r.Contains(1249.99))
	assert.True(t, r.Contains(1250))
	assert.True(t, r.Contains(2249.99))
	assert.False(t, r.Contains(2250))
	assert.False(t, r.Contains(sim.Absent))
}

func TestValidIncludesBothEnds(t *testing.T) { // M1
	s := sim.DefaultRig().Switch
	for v, want := range map[sim.PulseWidth]bool{
		749.99: false, 750: true, 2250: true, 2250.01: false,
		sim.PulseWidth(math.Inf(1)): false, sim.PulseWidth(math.Inf(-1)): false,
		// 65535 stands for an unused channel: MAVLink common.xml, RC_CHANNELS.
		65535: false,
	} {
		assert.Equal(t, want, s.IsValid(v), "%v", v)
	}
	assert.False(t, s.IsValid(sim.Absent))
}

// A three-position switch with pulse widths of 1000, 1500 and 2000 µs has one
// position released and two pressed: common practice, no source.
func TestDefaultRigAndAThreePositionSwitch(t *testing.T) {
	press := sim.DefaultRig().Switch.Press[0]
	assert.False(t, press.Contains(1000))
	assert.True(t, press.Contains(1500))
	assert.True(t, press.Contains(2000))
}

func TestInterval(t *testing.T) {
	known := sim.Exactly(80 * sim.Millisecond)
	assert.True(t, known.Exact())
	assert.Equal(t, 80*sim.Millisecond, known.Middle())
	assert.Equal(t, "80ms", known.String())
	assert.Equal(t, "80 ms", known.Rounded())

	unsure := sim.Interval{Low: 60 * sim.Millisecond, High: 110*sim.Millisecond + 1}
	assert.False(t, unsure.Exact())
	assert.Equal(t, 85*sim.Millisecond, unsure.Middle())
	assert.Equal(t, "60ms to 110.001ms", unsure.String())
	assert.Equal(t, "60 to 110 ms", unsure.Rounded())
	assert.Equal(t, "800 ms to 12 s", sim.Interval{Low: 800 * sim.Millisecond, High: 12 * sim.Second}.Rounded())

	widest := sim.Interval{Low: sim.MaxDuration, High: sim.MaxDuration + 2}
	assert.Equal(t, sim.MaxDuration+1, widest.Middle())
}

func TestWindowTakesTheMiddleOfRanges(t *testing.T) { // M9
	camera := sim.DefaultRig().Camera
	camera.LongPress = sim.Interval{Low: sim.Second, High: 2 * sim.Second}
	assert.Equal(t, sim.Window{MinPress: 80 * sim.Millisecond, LongPress: 1500 * sim.Millisecond}, camera.Window())
}

func TestLineIsInvertedWhereThePolaritiesDiffer(t *testing.T) { // M6
	for _, active := range sim.Polarities {
		for _, pressed := range sim.Polarities {
			rig := sim.DefaultRig()
			rig.Line.Active, rig.Camera.PressedLevel = active, pressed
			assert.Equal(t, active != pressed, rig.Inverted(), "%s at the output, %s at the camera", active, pressed)
		}
	}
}

// The defaults that the rig file documents.
func TestDefaultTimes(t *testing.T) {
	rig := sim.DefaultRig()
	assert.Equal(t, "500ms", rig.SignalLoss.StaleAfter.String())
	assert.Equal(t, "300ms", rig.OneShot.Width.String())
	assert.Equal(t, "2s", rig.Line.BootFor.String())
	assert.Equal(t, "80ms", rig.Camera.MinPress.String())
	assert.Equal(t, "1.5s", rig.Camera.LongPress.String())
	assert.Equal(t, "4s", rig.Camera.Boot.String())
}

func TestDefaultRigsShareNothing(t *testing.T) {
	one := sim.DefaultRig()
	one.Switch.Press[0].Low, one.Log.ArmedRange[0].Low = 1, 1
	assert.NotEqual(t, one, sim.DefaultRig())
	assert.Equal(t, sim.PulseWidth(1250), sim.DefaultRig().Switch.Press[0].Low)
	assert.Equal(t, sim.PulseWidth(1750), sim.DefaultRig().Log.ArmedRange[0].Low)
}
