package joystick

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestAControlIsReadAsItIsWritten(t *testing.T) {
	for _, c := range []Control{{Axis, 0}, {Axis, 40}, {Button, 288}, {Button, 65535}} {
		got, err := ParseControl(c.String())
		require.NoError(t, err)
		require.Equal(t, c, got)
	}
	got, err := ParseControl(" axis  2 ")
	require.NoError(t, err)
	require.Equal(t, Control{Axis, 2}, got)
	for _, text := range []string{"", "axis", "axis two", "axis -1", "axis 65536", "knob 2", "axis 2 3"} {
		_, err := ParseControl(text)
		require.ErrorContains(t, err, "want a control such as", text)
	}
}
