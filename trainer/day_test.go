package trainer

import (
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// A day of practice in accelerated time. Only the flicks of a drill may take more
// and more memory, and only until it is over.

const day = 24 * sim.Hour

// heap returns the bytes in use.
func heap() int {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int(m.HeapAlloc)
}

// smallGrowth is how much a heap may vary by itself.
const smallGrowth = 256 << 10

func TestADayOfDrillsLeavesNothingBehind(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	rigs := practiceRigs()
	var past Past
	var afterAnHour, drills, flicks int
	for now, n := sim.Micros(0), 0; now < day; n++ {
		d, err := New(Setup{Kind: tracks[n%len(tracks)], Rig: rigs[n%len(rigs)], Seed: uint64(n), Past: past})
		require.NoError(t, err)
		d.Start(now, 1000)
		for start := now; now < start+10*sim.Minute && !d.Over(); {
			now += sim.Micros(rng.Int64N(int64(8 * sec)))
			d.Move(now, 2000)
			now += sim.Micros(rng.Int64N(int64(700 * ms)))
			d.Move(now, 1000)
		}
		d.Stop(now)
		past = d.Past()
		drills, flicks = drills+1, flicks+len(d.Flicks())
		if afterAnHour == 0 && now > sim.Hour {
			afterAnHour = heap()
		}
	}
	require.Less(t, heap(), afterAnHour+smallGrowth)
	require.Greater(t, drills, 100)
	require.Greater(t, flicks, 10_000)
	runtime.KeepAlive(past)
}

// A pilot leaves a drill, with the link running, and comes back the next day.
func TestADrillLeftAloneForADayDoesNotGrow(t *testing.T) {
	for _, k := range tracks {
		rig := practiceRigs()[1]
		rig.Link.Frame = 100 * ms
		d, err := New(Setup{Kind: k, Rig: rig, Seed: 1})
		require.NoError(t, err)
		d.Start(0, 1000)
		now := sim.Micros(0)
		idle := func(until sim.Micros) {
			for ; now < until; now += 500 * ms {
				d.Tick(now)
				d.View(now)
			}
		}
		idle(sim.Hour)
		before := heap()
		idle(day)
		require.Less(t, heap(), before+smallGrowth, k)
		runtime.KeepAlive(d)
	}
}
