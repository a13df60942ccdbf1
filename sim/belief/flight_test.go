package belief

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

const (
	ms = sim.Millisecond
	s  = sim.Second
)

// heron is a rig of which only ranges are known.
func heron() sim.Rig {
	rig := sure()
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 160 * ms}
	rig.Camera.LongPress = sim.Interval{Low: 700 * ms, High: 1200 * ms}
	rig.Camera.StartDelay = 400 * ms
	rig.Camera.StopDelay = 800 * ms
	return rig
}

// flown is a simulated flight whose truth is known.
type flown struct {
	replay *sim.Replay
	truth  *sim.Replay
	start  sim.StartState
}

// fly simulates a flight of flicks at random times, with random holds, through
// the whole chain; thresholds and start are drawn from what the rig allows.
func fly(rng *rand.Rand, rig sim.Rig) flown {
	draw := func(i sim.Interval) sim.Micros { return i.Low + 1 + sim.Micros(rng.Int64N(int64(i.High-i.Low))) }
	actual := rig
	actual.Camera.MinPress = sim.Exactly(draw(rig.Camera.MinPress))
	actual.Camera.LongPress = sim.Exactly(draw(rig.Camera.LongPress))
	if rig.Camera.Start == sim.StartUnknown {
		actual.Camera.Start = []sim.StartState{sim.StartStandby, sim.StartRecording}[rng.IntN(2)]
	}
	var samples []sim.Sample
	at := sim.Micros(0)
	sample := func(until sim.Micros, value sim.PulseWidth) {
		for ; at < until; at += 10 * ms {
			samples = append(samples, sim.Sample{At: at, Channel: value, Armed: sim.Absent})
		}
	}
	for range 3 + rng.IntN(5) {
		sample(at+sim.Micros(rng.Int64N(int64(6*s)))+300*ms, 1000)
		hold := sim.Micros(30+rng.IntN(250)) * ms
		if rng.IntN(5) == 0 {
			hold = sim.Micros(600+rng.IntN(700)) * ms
		}
		sample(at+hold, 2000)
	}
	sample(at+4*s, 1000)
	run := func(rig sim.Rig) *sim.Replay {
		chain := sim.NewChain(sim.TapChannel, rig)
		for _, s := range samples {
			chain.Feed(s)
		}
		return chain.Finish()
	}
	return flown{run(rig), run(actual), actual.Camera.Start}
}

// look observes the flight as it truly was: glances, and the card with errors
// as the package comment says they are.
func (f flown) look(rng *rand.Rand, glances int, card bool) Observations {
	var seen Observations
	for range glances {
		at := sim.Micros(rng.Int64N(int64(f.truth.End)))
		if light, known := lightOf(f.truth.StateAt(at)); known {
			seen.Seen = append(seen.Seen, Glance{at, light})
		}
	}
	if !card {
		return seen
	}
	seen.Clips, seen.ClipError = []Clip{}, 300*ms
	n := len(f.truth.Takes)
	early := rng.IntN(max(1, n)) // of starts, the one that is off the least; the others up to the error later
	for i, k := range f.truth.Takes {
		c := Clip{Length: k.Length() + sim.Micros(rng.Int64N(int64(2*seen.ClipError))) - seen.ClipError, Start: k.Start + 1000*s, HasStart: true}
		c.Length = max(0, c.Length)
		if i != early {
			c.Start += sim.Micros(rng.Int64N(int64(seen.ClipError)))
		}
		seen.Clips = append(seen.Clips, c)
	}
	return seen
}

// TestChancesAreCalibrated: over many simulated flights whose truth is known,
// the camera records about as often as the belief says, whatever was seen. The
// moments at which it is asked are drawn apart, one a flight, so the number of
// hits among them is a sum of independent draws: it may be off by four standard
// deviations.
func TestChancesAreCalibrated(t *testing.T) {
	const flights = 400
	for _, test := range []struct {
		name    string
		start   sim.StartState
		glances int
		card    bool
	}{
		{"nothing seen", sim.StartStandby, 0, false},
		{"start unknown", sim.StartUnknown, 0, false},
		{"a glance", sim.StartUnknown, 1, false},
		{"two glances", sim.StartStandby, 2, false},
		{"the card", sim.StartStandby, 0, true},
		{"a glance and the card", sim.StartUnknown, 1, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			rig := heron()
			rig.Camera.Start = test.start
			var hits, expected, variance [2]float64
			for i := range flights {
				rng := rand.New(rand.NewPCG(7, uint64(i)))
				f := fly(rng, rig)
				result, err := Resolve(f.replay, f.look(rng, test.glances, test.card))
				require.NoError(t, err)
				require.Zero(t, result.Unexplained, "the truth explains what was seen")
				at := sim.Micros(rng.Int64N(int64(f.truth.End)))
				p := chanceAt(result.Replay.Belief, int(2*at))
				half := 0 // below and above one half apart, so that doubt cannot hide behind overconfidence
				if p > 0.5 {
					half = 1
				}
				if f.truth.StateAt(at) == sim.StateRecording {
					hits[half]++
				}
				expected[half] += p
				variance[half] += p * (1 - p)
			}
			for half := range hits {
				off := hits[half] - expected[half]
				require.LessOrEqual(t, off*off, 16*variance[half]+1, "%v recorded, %v expected", hits[half], expected[half])
			}
		})
	}
}

// TestTruthStaysPossible: the thresholds that a flight truly had are among
// those that the result calls possible, and the start has its share.
func TestTruthStaysPossible(t *testing.T) {
	rig := heron()
	rig.Camera.Start = sim.StartUnknown
	for i := range 100 {
		rng := rand.New(rand.NewPCG(11, uint64(i)))
		f := fly(rng, rig)
		result, err := Resolve(f.replay, f.look(rng, 2, i%2 == 0))
		require.NoError(t, err)
		w := f.truth.Window
		require.True(t, w.MinPress >= result.MinPress.Low && w.MinPress <= result.MinPress.High)
		require.True(t, w.LongPress >= result.LongPress.Low && w.LongPress <= result.LongPress.High)
		if f.start == sim.StartRecording {
			require.Positive(t, result.StartRecording)
		} else {
			require.Less(t, result.StartRecording, 1.0)
		}
	}
}

// BenchmarkResolve resolves a flight of 200 presses, a third of them on the edge
// of one or the other threshold, with a glance.
func BenchmarkResolve(b *testing.B) {
	replay := flightOf(200, func(i int) sim.Micros {
		return []sim.Micros{300, 300, 300, 300, 70, 1400}[i%6]*ms + sim.Micros(100*i)
	})
	replay.Rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	replay.Rig.Camera.LongPress = sim.Interval{Low: 1200 * ms, High: 1600 * ms}
	replay.Rig.Camera.LongAction = sim.ActionNone
	for b.Loop() {
		if _, err := Resolve(replay, Observations{Seen: []Glance{{7 * s, LightRecording}}}); err != nil {
			b.Fatal(err)
		}
	}
}
