package history

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// openRising is a rig with several keys that differ from the default.
func openRising() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.OneShot.Trigger = sim.TriggerRising
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	rig.Camera.WakePress = 2 * sim.Second
	return rig
}

// All settings matter but the name and those of a log.
func TestRigHash(t *testing.T) {
	rig := heronRig()
	hash := RigHash(rig)
	require.Regexp(t, "^[0-9a-f]{16}$", hash)
	rig.Name, rig.Log.Channel = "Egret", "aux3"
	require.Equal(t, hash, RigHash(rig))
	rig.Camera.MinPress = sim.Exactly(90 * ms)
	require.NotEqual(t, hash, RigHash(rig))
}

// A hash must never change: it would split the history of every pilot. The hash
// without a key is that of an empty text (FIPS 180-4, SHA-256 of no bytes); the other is
// that of the first version that hashed keys.
func TestRigHashIsPinned(t *testing.T) {
	require.Equal(t, "e3b0c44298fc1c14", RigHash(sim.DefaultRig()))
	require.Equal(t, "955bf14e377d9f18", RigHash(openRising()))
}

// Drills with the former hash count for the same rig. The values are those that an
// earlier version wrote.
func TestDrillsOfTheFormerHashAreRecognised(t *testing.T) {
	for former, rig := range map[string]sim.Rig{"7e38e32adb00e4ae": sim.DefaultRig(), "7dfb48ce6c11e863": openRising()} {
		require.Equal(t, former, formerHash(rig))
		h := History{Drills: []*Drill{{}, {}}}
		h.Drills[0].RigHash, h.Drills[1].RigHash = former, "0011223344556677"
		h.Recognise(rig)
		require.Equal(t, RigHash(rig), h.Drills[0].RigHash)
		require.Equal(t, "0011223344556677", h.Drills[1].RigHash, "another rig")
	}
}
