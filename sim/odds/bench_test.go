package odds

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"flicktally/sim"
)

// peer is the trial of a case as one would write it first, with math/rand/v2: it
// returns how long the camera sees a flick that is meant to be held so long, and
// the press window that it meets.
type peer func(rng *rand.Rand, mean sim.Micros) (seen, minPress, longPress sim.Micros)

// peers are the trials of the cases that are measured.
var peers = map[string]peer{
	"nothing in between": func(rng *rand.Rand, mean sim.Micros) (seen, minPress, longPress sim.Micros) {
		return plainHold(rng, mean), 80 * ms, 1500 * ms
	},
	"frames": func(rng *rand.Rand, mean sim.Micros) (seen, minPress, longPress sim.Micros) {
		return plainLooks(rng, plainHold(rng, mean), 22*ms) * 22 * ms, 80 * ms, 1500 * ms
	},
	"lossy frames": func(rng *rand.Rand, mean sim.Micros) (seen, minPress, longPress sim.Micros) {
		frames := plainLosses(rng, plainLooks(rng, plainHold(rng, mean), 22*ms), 0.2)
		return frames * 22 * ms, 80 * ms, 1500 * ms
	},
	"frames and refresh": func(rng *rand.Rand, mean sim.Micros) (seen, minPress, longPress sim.Micros) {
		frames := plainLosses(rng, plainLooks(rng, plainHold(rng, mean), 9*ms), 0.05)
		return plainLooks(rng, frames*9*ms, 20*ms) * 20 * ms, 80 * ms, 1500 * ms
	},
	"one-shot": func(rng *rand.Rand, mean sim.Micros) (seen, minPress, longPress sim.Micros) {
		if plainLooks(rng, plainHold(rng, mean), 150*ms) == 0 {
			return 0, 80 * ms, 1500 * ms
		}
		return plainLooks(rng, 85*ms, 20*ms) * 20 * ms, 80 * ms, 1500 * ms
	},
	"uncertain window": func(rng *rand.Rand, mean sim.Micros) (seen, minPress, longPress sim.Micros) {
		minPress = 60*ms + 1 + sim.Micros(rng.Int64N(int64(50*ms)))
		longPress = 120*ms + 1 + sim.Micros(rng.Int64N(int64(80*ms)))
		return plainLooks(rng, plainHold(rng, mean), 20*ms) * 20 * ms, minPress, longPress
	},
}

func plainHold(rng *rand.Rand, mean sim.Micros) sim.Micros {
	return mean + sim.Micros(40e3*rng.NormFloat64())
}

// plainLooks looks at a press every period, at a uniform phase.
func plainLooks(rng *rand.Rand, width, period sim.Micros) sim.Micros {
	first := sim.Micros(rng.Int64N(int64(period)))
	if width <= first {
		return 0
	}
	return (width-first-1)/period + 1
}

// plainLosses loses frames from the press on and from the release on.
func plainLosses(rng *rand.Rand, frames sim.Micros, loss float64) sim.Micros {
	for ; rng.Float64() < loss; frames-- {
	}
	if frames <= 0 {
		return 0
	}
	for ; rng.Float64() < loss; frames++ {
	}
	return frames
}

func (p peer) tally(mean sim.Micros, flicks int, rng *rand.Rand) (t Tally) {
	for range flicks {
		switch seen, minPress, longPress := p(rng, mean); {
		case seen <= 0:
			t[Missed]++
		case seen < minPress:
			t[Short]++
		case seen < longPress:
			t[Toggles]++
		default:
			t[Long]++
		}
	}
	return t
}

// TestPeers: the peers make the same trials, for they count what the closed forms
// say.
func TestPeers(t *testing.T) {
	for name, p := range peers {
		for _, mean := range []sim.Micros{100 * ms, 200 * ms} {
			tally := p.tally(mean, 100_000, rand.New(rand.NewPCG(1, 2)))
			requireRates(t, cases[name].Chances(mean), tally)
		}
	}
}

// BenchmarkFlicks measures the cases, each beside its peer: a block of the one and
// a block of the other in turn, so that both meet the same machine. It tells the
// median of the blocks.
func BenchmarkFlicks(b *testing.B) {
	for _, name := range slices.Sorted(maps.Keys(peers)) {
		b.Run(name, func(b *testing.B) {
			l, rng := newLuck(1, 0), rand.New(rand.NewPCG(1, 2))
			var ours, theirs []time.Duration
			for done := 0; done < b.N; done += blockFlicks {
				begin := time.Now()
				cases[name].tally(200*ms, blockFlicks, &l)
				middle := time.Now()
				peers[name].tally(200*ms, blockFlicks, rng)
				ours, theirs = append(ours, middle.Sub(begin)), append(theirs, time.Since(middle))
			}
			b.ReportMetric(perSecond(ours), "Mflicks/s")
			b.ReportMetric(perSecond(theirs), "peer-Mflicks/s")
			b.ReportMetric(perSecond(ours)/perSecond(theirs), "times-peer")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// perSecond returns how many million flicks a second that is.
func perSecond(blocks []time.Duration) float64 {
	slices.Sort(blocks)
	return blockFlicks / blocks[len(blocks)/2].Seconds() / 1e6
}

// BenchmarkRehearsal is the real chain at the same work.
func BenchmarkRehearsal(b *testing.B) {
	c := cases["frames and refresh"]
	b.ReportAllocs()
	r, l := newRehearsal(c, 200*ms), newLuck(1, 0)
	var w windows
	w.fix(c.Rig.Camera.Window(), 1)
	for range b.N {
		r.play(&l, 1, &w)
	}
}

// BenchmarkFirstFlick is what the first flick of a program waits for.
func BenchmarkFirstFlick(b *testing.B) {
	for range b.N {
		newZiggurat()
	}
}
