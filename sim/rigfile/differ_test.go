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

// TestParseChange: what a change does not give stays as it was, the base stays as
// it is, and the result must be a rig that can work.
func TestParseChange(t *testing.T) {
	base := sim.DefaultRig()
	base.Switch.Settle = 30 * sim.Millisecond
	for change, want := range map[string][]rigfile.Difference{
		"switch.settle=20ms":                {{Key: "switch.settle", First: `"30ms"`, Second: `"20ms"`}},
		`switch.settle="20ms"`:              {{Key: "switch.settle", First: `"30ms"`, Second: `"20ms"`}},
		"switch.press=[[1700, 2250]]":       {{Key: "switch.press", First: "[[1250, 2250]]", Second: "[[1700, 2250]]"}},
		"switch.hysteresis = 5":             {{Key: "switch.hysteresis", First: "0", Second: "5"}},
		`camera.min_press=["60ms", "90ms"]`: {{Key: "camera.min_press", First: `"80ms"`, Second: `["60ms", "90ms"]`}},
		"oneshot.trigger=both; oneshot.width = 310ms": {
			{Key: "oneshot.trigger", First: `"off"`, Second: `"both"`}, {Key: "oneshot.width", First: `"300ms"`, Second: `"310ms"`},
		},
	} {
		file, err := rigfile.ParseChange(base, change, "change")
		require.NoError(t, err, change)
		require.Equal(t, want, rigfile.Differences(base, file.Rig), change)
		require.Len(t, file.Given, len(want), change)
	}
	require.Equal(t, sim.PulseWidth(1250), base.Switch.Press[0].Low)

	for change, want := range map[string]string{
		"camera.min_press=2s":            "camera.long_press: ",
		"camera.min_pres = 2s":           "change:1:8: camera.min_pres: unknown key",
		"line.update=4ms; switch.settle": "change:2:",
	} {
		_, err := rigfile.ParseChange(base, change, "change")
		require.ErrorContains(t, err, want, change)
	}
}
