package rigfile_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/rigfile"
)

func TestDifferences(t *testing.T) {
	require.Empty(t, rigfile.Differences(sim.DefaultRig(), sim.DefaultRig()))
	other := sim.DefaultRig()
	other.Name = "Heron"
	other.Switch.Settle = 20 * sim.Millisecond
	other.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	require.Equal(t, []rigfile.Difference{
		{Key: "switch.settle", First: `"0s"`, Second: `"20ms"`},
		{Key: "camera.min_press", First: `"80ms"`, Second: `["60ms", "110ms"]`},
	}, rigfile.Differences(sim.DefaultRig(), other))
}

// TestParseOnto: what a file does not give stays as it was, the base stays as it
// is, and the result must be a rig that can work.
func TestParseOnto(t *testing.T) {
	base := sim.DefaultRig()
	base.Switch.Settle = 20 * sim.Millisecond
	file, err := rigfile.ParseOnto(base, []byte("oneshot.trigger = \"both\"\nswitch.press = [[1700, 2250]]\n"), "change")
	require.NoError(t, err)
	require.Equal(t, map[string]bool{"oneshot.trigger": true, "switch.press": true}, file.Given)
	require.Equal(t, []rigfile.Difference{
		{Key: "switch.press", First: "[[1250, 2250]]", Second: "[[1700, 2250]]"},
		{Key: "oneshot.trigger", First: `"off"`, Second: `"both"`},
	}, rigfile.Differences(base, file.Rig))
	require.Equal(t, sim.PulseWidth(1250), base.Switch.Press[0].Low)

	_, err = rigfile.ParseOnto(base, []byte(`camera.min_press = "2s"`), "change")
	require.ErrorContains(t, err, "camera.long_press: ")
	_, err = rigfile.ParseOnto(base, []byte(`camera.min_pres = "2s"`), "change")
	require.ErrorContains(t, err, "change:1:8: camera.min_pres: unknown key")
}
