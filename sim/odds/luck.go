package odds

import (
	"math/rand/v2"

	"flicktally/sim"
)

// luck is the source of chance for one block of flicks. Each random quantity has a
// source of its own, so flick i of a block is the same for every rig.
type luck struct {
	holds, slips, frames, losses, refreshes, windows, bounces *rand.Rand
}

// newLuck seeds the sources of a block.
func newLuck(seed, block uint64) *luck {
	seeds := rand.NewPCG(seed, block)
	source := func() *rand.Rand { return rand.New(rand.NewPCG(seeds.Uint64(), seeds.Uint64())) }
	return &luck{source(), source(), source(), source(), source(), source(), source()}
}

// hold draws how long the pilot's hand presses the switch for an intended hold;
// 0 or less = not at all.
func (l *luck) hold(p *Pilot, mean, sd float64) sim.Micros {
	hold := sim.Micros(mean + 0.5 + sd*l.holds.NormFloat64()) // truncation rounds down
	if l.slips.Float64() < p.Slips.Rate {
		return p.Slips.Holds[l.slips.IntN(len(p.Slips.Holds))]
	}
	return hold
}

// window draws a press window in whole µs: each threshold is a real number,
// uniform on its range (M9), rounded up to a whole µs. A press lasts at least 1
// µs, so no threshold is lower.
func (l *luck) window(c *sim.CameraSpec) sim.Window {
	return sim.Window{MinPress: l.threshold(c.MinPress), LongPress: l.threshold(c.LongPress)}
}

func (l *luck) threshold(within sim.Interval) sim.Micros {
	if within.Exact() {
		return max(1, within.Low)
	}
	return within.Low + 1 + below(within.High-within.Low, l.windows)
}

// below draws a whole number from 0 to less than n; 0 for n = 0.
func below(n sim.Micros, r *rand.Rand) sim.Micros {
	if n == 0 {
		return 0
	}
	return sim.Micros(r.Int64N(int64(n)))
}

// run draws how many times in a row something happens that has a given chance each
// time.
func run(chance float64, r *rand.Rand) (times sim.Micros) {
	for r.Float64() < chance {
		times++
	}
	return times
}
