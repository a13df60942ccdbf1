package fit

import (
	"cmp"
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

var manyBenches = flag.Int("benches", 0, "simulate this many benches for each jitter in TestBenchCoverage, and log the table of the package comment")

// camera is a simulated camera: thresholds and the standard deviation of a
// normal jitter of min_press; that of long_press is five times as large.
type camera struct{ least, long, jitter float64 }

// anyCamera draws thresholds evenly in the logarithm, from 30 to 300 ms and from
// 0.7 to 3.5 s.
func anyCamera(rng *rand.Rand, jitter float64) camera {
	return camera{0.03 * math.Pow(10, rng.Float64()), 0.7 * math.Pow(5, rng.Float64()), jitter}
}

// press makes a trial. Each press has thresholds of its own.
func (c camera) press(rng *rand.Rand, hold sim.Micros) Trial {
	held := hold.Seconds()
	least := c.least + c.jitter*rng.NormFloat64()
	long := c.long + longTimes*c.jitter*rng.NormFloat64()
	switch {
	case held < least:
		return Trial{hold, Nothing}
	case held < long:
		return Trial{hold, Toggled}
	default:
		return Trial{hold, Long}
	}
}

// calibrate makes the trials that are proposed until no more are.
func calibrate(t *testing.T, rng *rand.Rand, c camera, o Options) Window {
	var trials []Trial
	for {
		w, err := Fit(trials, o)
		require.NoError(t, err)
		p, more := w.Next(DefaultGoal)
		if !more {
			return w
		}
		trials = append(trials, c.press(rng, p.Hold))
	}
}

// coverage counts over simulated benches, first of min_press, then of
// long_press.
type coverage struct {
	benches int
	holds   [2]int     // the range holds the truth
	reached [2]int     // the range is as narrow as wanted
	inside  [2]float64 // sum over benches of the share of presses inside what goes into the rig
	trials  int        // sum
	most    int        // trials of one bench
}

func (c *coverage) add(w Window, truth camera) {
	c.benches++
	c.trials += len(w.Trials)
	c.most = max(c.most, len(w.Trials))
	for i, side := range []struct {
		found         Threshold
		at, deviation float64
	}{{w.MinPress, truth.least, truth.jitter}, {w.LongPress, truth.long, longTimes * truth.jitter}} {
		low, high := side.found.Range.Low.Seconds(), side.found.Range.High.Seconds()
		if low <= side.at && side.at <= high {
			c.holds[i]++
		}
		if side.found.Width() <= DefaultGoal.Of(side.found.Name) {
			c.reached[i]++
		}
		written, err := side.found.ForRig()
		if err != nil {
			continue
		}
		spread := max(side.deviation, 1e-9)
		c.inside[i] += probit.chance((written.High.Seconds()-side.at)/spread) - probit.chance((written.Low.Seconds()-side.at)/spread)
	}
}

func (c *coverage) share(n int) float64 { return float64(n) / float64(c.benches) }

// TestBenchCoverage: in at most 30 trials the ranges hold the truth in at least
// 90 % of benches, whatever the jitter; a sharp camera takes at most 20. By
// default it simulates a few benches, which all have to hold. The long run, with
// -benches 250, makes the table of the package comment.
func TestBenchCoverage(t *testing.T) {
	benches := cmp.Or(*manyBenches, 5)
	for _, jitter := range []float64{0, 0.001, 0.004, 0.010, 0.020} {
		if jitter > 0.010 && *manyBenches == 0 {
			continue // nothing is promised there
		}
		var c coverage
		for run := range benches {
			rng := rand.New(rand.NewPCG(12, uint64(run)))
			truth := anyCamera(rng, jitter)
			c.add(calibrate(t, rng, truth, Options{}), truth)
		}
		t.Logf("jitter %2.0f ms: %3.0f %% %3.0f %%; within width %3.0f %% %3.0f %%; inside %3.0f %% %3.0f %%; trials %.0f, at most %d", 1e3*jitter,
			100*c.share(c.holds[0]), 100*c.share(c.holds[1]), 100*c.share(c.reached[0]), 100*c.share(c.reached[1]),
			100*c.inside[0]/float64(c.benches), 100*c.inside[1]/float64(c.benches), float64(c.trials)/float64(c.benches), c.most)
		if jitter > 0.010 {
			continue
		}
		assert.GreaterOrEqual(t, c.share(c.holds[0]), 0.90, "min_press, jitter %v s", jitter)
		assert.GreaterOrEqual(t, c.share(c.holds[1]), 0.90, "long_press, jitter %v s", jitter)
		assert.GreaterOrEqual(t, c.inside[0]/float64(c.benches), 0.90, "presses inside what is written, jitter %v s", jitter)
		assert.GreaterOrEqual(t, c.inside[1]/float64(c.benches), 0.90, "presses inside what is written, jitter %v s", jitter)
		assert.LessOrEqual(t, c.most, DefaultGoal.Trials)
		if jitter == 0 {
			assert.LessOrEqual(t, c.most, enoughIfSharp)
		}
	}
}
