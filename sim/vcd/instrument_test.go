package vcd

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// TestIndependentReader lets a general-purpose instrument program, Debian's
// sigrok-cli, measure the pulses of a dump and write a dump of its own, which is
// read back. It is skipped if that is not installed.
func TestIndependentReader(t *testing.T) {
	if _, err := exec.LookPath("sigrok-cli"); err != nil {
		t.Skip("no sigrok-cli here: ", err)
	}
	times := []sim.Micros{500_000, 780_000, 1_480_000, 1_540_000, 2_240_000, 4_550_000, 5_250_000, 5_250_280}
	var lane sim.Lane
	for i, us := range times {
		lane.Edges = append(lane.Edges, sim.Edge{At: us, Pressed: i%2 == 0})
	}
	other := sim.Lane{Edges: []sim.Edge{{At: 700_000, Pressed: true}, {At: 5_000_000}}}
	ours := filepath.Join(t.TempDir(), "ours.vcd")
	file, err := os.Create(ours)
	require.NoError(t, err)
	require.NoError(t, Write(file, "Heron", []Signal{{Name: "SHUTTER", Lane: lane}, {Name: "recording", Lane: other}}, 5_250_280))
	require.NoError(t, file.Close())

	t.Run("it measures our pulses", func(t *testing.T) {
		out := instrument(t, "-i", ours, "-P", "timing:data=SHUTTER", "-A", "timing=time", "--protocol-decoder-samplenum")
		var spans []string
		for line := range strings.Lines(out) {
			spans = append(spans, strings.Fields(line)[0])
		}
		require.Equal(t, []string{
			"500000-780000", "780000-1480000", "1480000-1540000", "1540000-2240000", "2240000-4550000",
			"4550000-5250000", "5250000-5250280",
		}, spans, out)
	})
	t.Run("we read its dump", func(t *testing.T) {
		theirs := filepath.Join(t.TempDir(), "theirs.vcd")
		instrument(t, "-i", ours, "-O", "vcd", "-o", theirs)
		file, err := os.Open(theirs)
		require.NoError(t, err)
		defer file.Close()
		got, err := readAll(NewReader(file, "theirs.vcd", Options{Wire: "SHUTTER"}))
		require.NoError(t, err)
		var changes []sim.Micros
		for _, s := range got[1 : len(times)+1] {
			changes = append(changes, s.us)
		}
		require.Equal(t, times, changes)
	})
}

func instrument(t *testing.T, args ...string) string {
	out, err := exec.Command("sigrok-cli", args...).CombinedOutput()
	require.NoError(t, err, "%s", out)
	return string(out)
}
