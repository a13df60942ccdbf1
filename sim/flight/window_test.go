package flight

import (
	"flag"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/tell"
)

func TestOpenWindowLooksAroundTheRigsValues(t *testing.T) {
	between := func(low, high sim.Micros) sim.Interval { return sim.Interval{Low: low, High: high} }
	at := func(v sim.Micros) sim.Interval { return between(v, v) }
	for _, tt := range []struct{ least, long, wantLeast, wantLong sim.Interval }{
		{at(80 * ms), at(1500 * ms), between(20*ms, 320*ms), between(375*ms, 6000*ms)},
		{at(100 * ms), at(400 * ms), between(25*ms, 200*ms), between(200*ms+1, 1600*ms)},
		{between(40*ms, 160*ms), at(1500 * ms), between(40*ms, 160*ms), between(489897, 6000*ms)},
	} {
		rig := sim.DefaultRig()
		rig.Camera.MinPress, rig.Camera.LongPress = tt.least, tt.long
		open := OpenWindow(rig)
		require.NoError(t, open.Validate())
		require.Equal(t, tt.wantLeast, open.Camera.MinPress)
		require.Equal(t, tt.wantLong, open.Camera.LongPress)
	}
}

// The range of min_press that flights and the card's clips leave possible contains
// the camera's in at least 95 of 100 outings: simulated, with flicks near the
// threshold, a log with rows 20 ms apart, and clips of whole seconds. In at least two
// of three outings it is less than half of the range that was searched.
func TestFoundWindowHoldsTheCamerasOwn(t *testing.T) {
	random := rand.New(rand.NewPCG(13, 28))
	held, halved := 0, 0
	for range *outings {
		rig := sim.DefaultRig()
		own := 30*ms + sim.Micros(random.IntN(200_000))
		rig.Camera.MinPress = sim.Interval{Low: own, High: own}
		flown, clips := flownWith(random, rig)

		rig = OpenWindow(sim.DefaultRig())
		flights, err := Read(&script{blocks: []sim.Block{flown}}, "lake.csv", rig, Options{})
		require.NoError(t, err)
		require.NoError(t, Judge(flights, tell.DefaultLimits(), belief.Observations{Clips: clips, ClipError: sim.Second}))
		minPress := FoundWindow(flights)[0]
		if minPress.Range.Low <= own && own <= minPress.Range.High {
			held++
		}
		if minPress.Narrowed() && 2*(minPress.Range.High-minPress.Range.Low) < minPress.Asked.High-minPress.Asked.Low {
			halved++
		}
	}
	t.Logf("of %d outings %d hold min_press, %d halve it", *outings, held, halved)
	require.GreaterOrEqual(t, held, *outings*95/100)
	require.GreaterOrEqual(t, halved, *outings*2/3)
}

// flownWith returns the log of a dozen flicks, and the clips that a camera made of
// them.
func flownWith(random *rand.Rand, rig sim.Rig) (flown sim.Block, clips []belief.Clip) {
	const flicks, step = 12, 20 * ms
	real := []sim.Sample{{Channel: 1000, Armed: sim.Absent}}
	for i := range sim.Micros(flicks) {
		down := (i+1)*10*sim.Second + sim.Micros(random.IntN(8_000_000))
		hold := sim.Micros(20_000 + random.IntN(300_000))
		for at := down; at < down+hold; at += 100 * ms {
			real = append(real, sim.Sample{At: at, Channel: 2000, Armed: sim.Absent})
		}
		for at := down + hold; at < (i+2)*10*sim.Second; at += 100 * ms {
			real = append(real, sim.Sample{At: at, Channel: 1000, Armed: sim.Absent})
		}
	}
	chain := sim.NewChain(sim.TapChannel, rig)
	chain.FeedAll(real)
	for _, take := range chain.Finish().Takes {
		clips = append(clips, belief.Clip{Length: (take.End - take.Start) / sim.Second * sim.Second})
	}
	flown.Segment = 1
	now := 0
	for at := sim.Micros(0); at <= real[len(real)-1].At; at += step {
		for now+1 < len(real) && real[now+1].At <= at {
			now++
		}
		flown.Samples = append(flown.Samples, sim.Sample{At: at, Channel: real[now].Channel, Armed: sim.Absent})
	}
	return flown, clips
}

// outings is how many outings are simulated.
var outings = flag.Int("outings", 40, "outings that are simulated")
