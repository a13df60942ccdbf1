package season

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/belief"
	"flicktally/sim/fit"
	"flicktally/sim/stat"
)

// seasons is how many seasons are simulated for each pilot.
var seasons = flag.Int("seasons", 1, "seasons of 30 flights that are simulated for the learned thresholds")

const ms = sim.Millisecond

// rangedRig is a rig whose camera is known as ranges only.
func rangedRig() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 220 * ms}
	rig.Camera.LongPress = sim.Interval{Low: 900 * ms, High: 2000 * ms}
	rig.Camera.WakePress = 100 * ms // the pilot wakes a camera that went off
	return rig
}

// pilot draws the hold of a flick.
type pilot func(rng *rand.Rand) sim.Micros

func normal(rng *rand.Rand, mean, sd sim.Micros) sim.Micros {
	return max(20*ms, mean+sim.Micros(rng.NormFloat64()*float64(sd)))
}

func between(rng *rand.Rand, low, high sim.Micros) sim.Micros {
	return low + sim.Micros(rng.Int64N(int64(high-low)))
}

// testing holds: half of them ordinary, a quarter near each threshold.
func curious(rng *rand.Rand) sim.Micros {
	switch rng.IntN(4) {
	case 0:
		return between(rng, 70*ms, 200*ms)
	case 1:
		return between(rng, 1000*ms, 1900*ms)
	default:
		return normal(rng, 350*ms, 40*ms)
	}
}

// ordinary is a pilot who slips in 3 % of flicks.
func ordinary(rng *rand.Rand) sim.Micros {
	switch x := rng.Float64(); {
	case x < 0.015:
		return between(rng, 20*ms, 120*ms)
	case x < 0.03:
		return between(rng, 1000*ms, 3000*ms)
	default:
		return normal(rng, 350*ms, 40*ms)
	}
}

// fly draws a flight of some flicks with the camera's true thresholds: what its
// log shows at a row every 20 ms, and the clips on the card.
func fly(rng *rand.Rand, rig sim.Rig, truth sim.Window, hold pilot, flicks int) (*sim.Replay, []belief.Clip) {
	var moves []sim.Micros
	at := between(rng, 8*sim.Second, 12*sim.Second)
	for range flicks {
		held := hold(rng)
		moves = append(moves, at, at+held)
		at += held + between(rng, 6*sim.Second, 25*sim.Second)
	}
	exact := rig
	exact.Camera.MinPress, exact.Camera.LongPress = sim.Exactly(truth.MinPress), sim.Exactly(truth.LongPress)
	flown := sim.NewChain(sim.TapChannel, exact)
	level := sim.PulseWidth(1000)
	pressed := func(t sim.Micros) bool {
		n := 0
		for n < len(moves) && moves[n] <= t {
			n++
		}
		return n%2 == 1
	}
	// The hand's own moves, and a row often enough that the signal is never lost.
	next := 0
	for t := sim.Micros(0); t <= at; t += 100 * ms {
		for next < len(moves) && moves[next] < t {
			level = 3000 - level
			flown.Feed(sim.Sample{At: moves[next], Channel: level, Armed: sim.Absent})
			next++
		}
		flown.Feed(sim.Sample{At: t, Channel: level, Armed: sim.Absent})
	}
	what := flown.Finish()
	logged := sim.NewChain(sim.TapChannel, rig)
	phase := between(rng, 0, 20*ms)
	for t := sim.Micros(0); t <= at; t += 20 * ms {
		value := sim.PulseWidth(1000)
		if pressed(t + phase - 20*ms) {
			value = 2000
		}
		logged.Feed(sim.Sample{At: t, Channel: value, Armed: sim.Absent})
	}
	clips := []belief.Clip{}
	offset := between(rng, 0, sim.Hour)
	for _, take := range what.Takes {
		if rng.Float64() < 0.01 {
			continue
		}
		off := func() sim.Micros { return between(rng, -300*ms, 300*ms) }
		clips = append(clips, belief.Clip{Length: max(1, take.Length()+off()), Start: offset + take.Start + off(), HasStart: true})
	}
	return logged.Finish(), clips
}

// outingOf returns the evidence of one flight.
func outingOf(t *testing.T, rig sim.Rig, replay *sim.Replay, clips []belief.Clip, began time.Time) Outing {
	evidence, err := belief.Likelihood(belief.Outing{
		Flights: []belief.Flight{{Replay: replay}}, Clips: clips, ClipError: sim.Second,
	}, GridOf(rig))
	require.NoError(t, err)
	n := len(clips)
	return Outing{
		Clips: &n, Evidence: evidence,
		Flights: []Flight{{File: began.Format("0102") + ".csv", Segment: 1, Began: began, Flicks: len(replay.Flicks)}},
	}
}

// learnSeason simulates a season and returns what was learned of the camera.
func learnSeason(t *testing.T, seed uint64, hold pilot, flights, trials int) (Camera, sim.Window) {
	rng := rand.New(rand.NewPCG(seed, 17))
	rig := rangedRig()
	truth := sim.Window{
		MinPress:  between(rng, rig.Camera.MinPress.Low, rig.Camera.MinPress.High),
		LongPress: between(rng, rig.Camera.LongPress.Low, rig.Camera.LongPress.High),
	}
	var outings []Outing
	day := time.Date(2026, 6, 13, 10, 0, 0, 0, time.UTC)
	for i := range flights {
		replay, clips := fly(rng, rig, truth, hold, 12)
		outings = append(outings, outingOf(t, rig, replay, clips, day.AddDate(0, 0, i)))
	}
	if trials > 0 {
		outings = append(outings, Outing{Trials: trials, Evidence: TrialsEvidence(rig, benchTrials(rng, rig, truth, trials))})
	}
	return learn(rig, outings), truth
}

// benchTrials draws trials at the bench, half of them over each range.
func benchTrials(rng *rand.Rand, rig sim.Rig, truth sim.Window, n int) []fit.Trial {
	var trials []fit.Trial
	for i := range n {
		r := rig.Camera.MinPress
		if i%2 == 1 {
			r = rig.Camera.LongPress
		}
		trial := fit.Trial{Hold: between(rng, r.Low, r.High), Outcome: fit.Toggled}
		switch {
		case trial.Hold < truth.MinPress:
			trial.Outcome = fit.Nothing
		case trial.Hold >= truth.LongPress:
			trial.Outcome = fit.Long
		}
		trials = append(trials, trial)
	}
	return trials
}

// TestASeasonLearnsTheCamera: the 95 % range holds the truth in at least 90 % of
// the seasons, and with holds near the thresholds it is narrow enough.
func TestASeasonLearnsTheCamera(t *testing.T) {
	for name, test := range map[string]struct {
		hold        pilot
		trials      int        // at the bench
		least, long sim.Micros // how near is near enough; 0 = any
	}{
		"holds near the thresholds":       {curious, 0, 20 * ms, 150 * ms},
		"an ordinary pilot":               {ordinary, 0, 0, 0},
		"an ordinary pilot and 20 trials": {ordinary, 20, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			var least, longs, narrow stat.Rate
			var leastWidth, longWidth []sim.Micros
			for seed := range uint64(*seasons) {
				c, truth := learnSeason(t, seed, test.hold, 30, test.trials)
				least.Add(holds(c.MinPress, truth.MinPress))
				longs.Add(holds(c.LongPress, truth.LongPress))
				leastWidth = append(leastWidth, c.MinPress.High-c.MinPress.Low)
				longWidth = append(longWidth, c.LongPress.High-c.LongPress.Low)
				if test.least > 0 {
					narrow.Add(middleOff(c.MinPress, truth.MinPress) <= test.least && middleOff(c.LongPress, truth.LongPress) <= test.long)
				}
			}
			t.Logf("min_press: held by %d of %d, median width %s; long_press: %d, %s; near enough %d",
				least.Hits, least.Trials, stat.Median(leastWidth), longs.Hits, stat.Median(longWidth), narrow.Hits)
			atLeast90(t, least)
			atLeast90(t, longs)
			if test.least > 0 {
				atLeast90(t, narrow)
			}
		})
	}
}

// middleOff returns how far the middle of a range is from the truth.
func middleOff(r sim.Interval, truth sim.Micros) sim.Micros {
	off := (r.Low+r.High)/2 - truth
	return max(off, -off)
}

func holds(r sim.Interval, truth sim.Micros) bool { return r.Low <= truth && truth <= r.High }

// atLeast90 fails where a rate of 90 % would be so low in one run of a hundred only.
func atLeast90(t *testing.T, r stat.Rate) {
	n := float64(r.Trials)
	require.GreaterOrEqual(t, float64(r.Hits), math.Floor(0.9*n-2.33*math.Sqrt(n*0.9*0.1)))
}
