package history

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/history/smalldisk"
)

// If the disk becomes full during a write, the journal stays unchanged; once there is
// room, the lines are written, and only once.
func TestAFullDiskLosesAndDoublesNothing(t *testing.T) {
	disk := smalldisk.New(t, 1<<20)
	j, err := Open(disk)
	require.NoError(t, err)
	d, err := trainer.New(trainer.Setup{Kind: trainer.KindFlick, Rig: heronRig(), Seed: 1})
	require.NoError(t, err)
	keep, err := j.Begin(d, keys, morning)
	require.NoError(t, err)
	d.Start(0, 1000)
	now := sim.Micros(0)
	flicks := func(n int) {
		for range n {
			now += 4 * sec
			d.Move(now, 2000)
			d.Move(now+300*ms, 1000)
			d.Tick(now + sec)
		}
	}
	flicks(1)
	require.NoError(t, keep())
	before, err := os.ReadFile(j.File())
	require.NoError(t, err)

	filler := smalldisk.Fill(t, disk, 0)
	flicks(8) // more than the rest of the journal's last page
	require.ErrorContains(t, keep(), "cannot write the practice journal: write "+j.File()+": no space left on device")
	full, err := os.ReadFile(j.File())
	require.NoError(t, err)
	require.Equal(t, string(before), string(full))

	require.NoError(t, os.Remove(filler))
	require.NoError(t, keep())
	h := read(t, j)
	require.Empty(t, h.Damage)
	require.Len(t, h.Drills[0].Flicks, 9)
	for i, f := range h.Drills[0].Flicks {
		require.Equal(t, i+1, f.N)
	}
}
