package belief

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// The twin of an outing (M11): each particle is all flights, with one pair of
// thresholds. The list runs through, while the start and the offset of the card's
// clock are drawn for each.

// outingListed sums over all matchings of the takes of some flights, the first
// from take i on, with the clips from j on. Clips need no take while free.
func outingListed(flights []*particle, o *Outing, i, j int, low, high float64, free bool) float64 {
	p := flights[0]
	foreign := func(n int) float64 {
		if free {
			return 1
		}
		return math.Pow(p.d.Foreign, float64(n))
	}
	if i == len(p.takes) {
		free = free || p.state() == sim.StateUnknown
		if len(flights) == 1 {
			return foreign(len(o.Clips) - j)
		}
		return outingListed(flights[1:], o, 0, j, math.Inf(-1), math.Inf(1), free)
	}
	sum := p.d.Unlisted * outingListed(flights, o, i+1, j, low, high, free)
	t, err := p.takes[i], float64(o.ClipError)
	for k := j; k < len(o.Clips); k++ {
		if l, h := t.offsets(o.Clips[k], err, low, high); l <= h {
			sum += foreign(k-j) * (1 - p.d.Unlisted) * outingListed(flights, o, i+1, k+1, l, h, false)
		}
	}
	return sum
}

// flyOuting returns the chance of recording in each flight at its moments, and how
// many particles of equal weight are as informative.
func flyOuting(o *Outing, moments [][]sim.Micros, n int) (recording [][]float64, effective float64) {
	rng := rand.New(rand.NewPCG(4, 9))
	for _, at := range moments {
		recording = append(recording, make([]float64, len(at)))
	}
	total, squares := 0.0, 0.0
	for i := range n {
		w := 1.0
		var flown []*particle
		for _, f := range o.Flights {
			p := flyParticle(rng, f.Replay, math.Mod(float64(i)*golden, 1), math.Mod(float64(i)*silver, 1))
			w *= p.weight(Observations{Seen: f.Seen})
			flown = append(flown, p)
		}
		if o.Clips != nil {
			w *= outingListed(flown, o, 0, 0, math.Inf(-1), math.Inf(1), false)
		}
		total, squares = total+w, squares+w*w
		for k, p := range flown {
			for m, at := range moments[k] {
				if p.stateAt(float64(at)) == sim.StateRecording {
					recording[k][m] += w
				}
			}
		}
	}
	for _, of := range recording {
		for m := range of {
			of[m] /= total
		}
	}
	return recording, total * total / squares
}

// drawOuting draws two or three short flights of one camera, with glances, and now and
// then the card of all.
func drawOuting(rng *rand.Rand) Outing {
	first, seen := doubtfulFlight(rng)
	o := Outing{Flights: []Flight{{first, seen.Seen}}, Clips: seen.Clips, ClipError: seen.ClipError}
	for range 1 + rng.IntN(2) {
		other, glances := doubtfulFlight(rng)
		chain := sim.NewChain(sim.TapChannel, first.Rig)
		chain.FeedAll(samplesOf(other))
		replay := chain.Finish()
		o.Flights = append(o.Flights, Flight{replay, glances.Seen})
		if o.Clips != nil {
			more := Observations{}
			drawCard(rng, replay, &more)
			o.Clips = append(o.Clips, more.Clips...)
		}
	}
	return o
}

// samplesOf returns the moves of a flight's switch as samples of 20 ms.
func samplesOf(r *sim.Replay) []sim.Sample {
	const step = 20 * ms
	var samples []sim.Sample
	for at := sim.Micros(0); at <= r.End; at += step {
		value := sim.PulseWidth(1000)
		for _, p := range r.Presses {
			if at >= p.Down && (p.Open() || at < p.Up) {
				value = 2000
			}
		}
		samples = append(samples, sim.Sample{At: at, Channel: value, Armed: sim.Absent})
	}
	return samples
}

// TestOutingEqualsParticles (M11): flights of an outing share thresholds and one
// list, and each starts afresh: the chance of recording is that of the particles.
func TestOutingEqualsParticles(t *testing.T) {
	compared, worst := 0, 0.0
	for i := range *particleFlights / 4 {
		rng := rand.New(rand.NewPCG(77, uint64(i)))
		o := drawOuting(rng)
		results, err := ResolveOuting(o)
		require.NoError(t, err)
		var moments [][]sim.Micros
		for _, f := range o.Flights {
			at := make([]sim.Micros, 8)
			for k := range at {
				at[k] = sim.Micros(rng.Int64N(int64(f.Replay.End)))
			}
			moments = append(moments, at)
		}
		recording, effective := flyOuting(&o, moments, *particles)
		if effective < 3000 {
			continue
		}
		allowed := 0.005 + 3*0.5/math.Sqrt(effective)
		for k, r := range results {
			if r.Replay.Belief == nil {
				continue
			}
			for m, at := range moments[k] {
				compared++
				chance := chanceAt(r.Replay.Belief, int(2*at))
				worst = max(worst, math.Abs(recording[k][m]-chance))
				assert.InDelta(t, recording[k][m], chance, allowed, "outing %d, flight %d at %s  %s", i, k+1, at.Clock(), describe(o.Flights[k].Replay, Observations{o.Flights[k].Seen, o.Clips, o.ClipError}))
			}
		}
	}
	require.Greater(t, compared, 2**particleFlights, "moments that were compared")
	t.Logf("%d moments, worst %.4f", compared, worst)
}

// TestOneThresholdKnown (M11): a range beside a known threshold is weighed, and
// what was seen narrows it.
func TestOneThresholdKnown(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 160 * ms}
	chain := sim.NewChain(sim.TapChannel, rig)
	chain.FeedAll([]sim.Sample{{At: 0, Channel: 1000}, {At: s, Channel: 2000}, {At: s + 100*ms, Channel: 1000}, {At: 9 * s, Channel: 1000}})
	r, err := Resolve(chain.Finish(), Observations{Seen: []Glance{{4 * s, LightRecording}}})
	require.NoError(t, err)
	require.Equal(t, rig.Camera.LongPress, r.LongPress)
	require.Equal(t, 60*ms, r.MinPress.Low)
	require.Greater(t, chanceAt(r.Replay.Belief, int(2*4*s)), 0.95)
}
