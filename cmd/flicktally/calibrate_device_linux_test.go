package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"flicktally/sim"
	"flicktally/trainer/device"
)

// TestCalibrateMeasuresWithATransmitter: a transmitter that is asked for makes
// the trials of a list, and its switch may be named. The flick is stamped ahead,
// so that it counts as one after the question.
func TestCalibrateMeasuresWithATransmitter(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	path := filepath.Join(folder, "records")
	require.NoError(t, unix.Mkfifo(path, 0o600))
	r := newRemote(t, path)
	down := device.Now() + sim.Minute
	r.axis5(down-sim.Second, false)
	r.axis5(down, true)
	r.axis5(down+123*sim.Millisecond, false)

	command := asFlicktally("calibrate", "trials.csv", "--device", path, "--switch", "axis 5")
	command.Dir = folder
	command.Stdin = strings.NewReader("\nt\nq\n")
	said, err := command.CombinedOutput()
	require.NoError(t, err, "%s", said)
	require.Contains(t, string(said), "Enter, then flick")
	require.NotContains(t, string(said), "there and back", "the switch was named")
	trials, err := os.ReadFile(filepath.Join(folder, "trials.csv"))
	require.NoError(t, err)
	require.Equal(t, "hold,outcome\n123ms,toggled\n", string(trials))
}
