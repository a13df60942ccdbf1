package sim

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestRestAndPress: the two positions release and press repeatedly, also if the
// switch has hysteresis.
func TestRestAndPress(t *testing.T) {
	for _, press := range [][]PulseRange{
		{{Low: 1250, High: 2250}}, {{Low: 900, High: 1700}}, {{Low: 900, High: 1200}, {Low: 1400, High: 2300}}, {{Low: 700, High: 1499}, {Low: 1501, High: 2300}},
	} {
		for _, hysteresis := range []PulseWidth{0, 0.5} {
			rig := DefaultRig()
			rig.Switch.Press, rig.Switch.Hysteresis = press, hysteresis
			rest, pressed, err := rig.RestAndPress()
			require.NoError(t, err)
			s := NewSelector(rig.Switch, rig.SignalLoss)
			for i := range Micros(3) {
				s.Step(10*i, rest)
				require.False(t, s.Pressed())
				s.Step(10*i+5, pressed)
				require.True(t, s.Pressed())
			}
		}
	}
}

// The gap between two ranges may be small, and hysteresis narrows it.
func TestRestAndPressFindsANarrowGap(t *testing.T) {
	rig := DefaultRig()
	rig.Switch.Press, rig.Switch.Hysteresis = []PulseRange{{Low: 700, High: 1300}, {Low: 1303, High: 2300}}, 1
	rest, press, err := rig.RestAndPress()
	require.NoError(t, err)
	require.Equal(t, PulseWidth(1301), rest)
	require.Equal(t, PulseWidth(1025), press, "the middle of what is valid of the first range")
}

func TestRestAndPressFails(t *testing.T) {
	rig := DefaultRig()
	rig.Switch.Press = []PulseRange{{0, 3000}}
	_, _, err := rig.RestAndPress()
	require.ErrorContains(t, err, "no position of the switch releases the button")
}
