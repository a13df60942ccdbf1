package belief

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// Every history of a flight, weighed one by one: particles that draw nothing, but
// go through all choices in turn, each with its chance.

// walk goes through all sequences of choices, like the digits of a number that is
// counted up.
type walk struct {
	digits, ends []int
	at           int
}

// choose takes the next choice among some with their chances.
func (w *walk) choose(p *particle, chances ...float64) int {
	if w.at == len(w.digits) {
		w.digits, w.ends = append(w.digits, 0), append(w.ends, len(chances))
	}
	digit := w.digits[w.at]
	w.at++
	p.odds *= chances[digit]
	return digit
}

// next goes on to the next sequence, and reports whether there is one.
func (w *walk) next() bool {
	last := len(w.digits) - 1
	for last >= 0 && w.digits[last]+1 == w.ends[last] {
		last--
	}
	if last < 0 {
		return false
	}
	w.digits, w.ends, w.at = w.digits[:last+1], w.ends[:last+1], 0
	w.digits[last]++
	return true
}

// hold chooses between which thresholds a hold lies.
func (w *walk) hold(p *particle, logged sim.Press, at sim.State) float64 {
	var thresholds []float64
	switch {
	case at.Accepts():
		thresholds = []float64{p.least, p.long}
	case at == sim.StateOff && p.c.WakePress != sim.Never:
		thresholds = []float64{float64(p.c.WakePress)}
	}
	ends := append(append([]float64{0}, thresholds...), 1e9)
	var holds, chances []float64
	before := 0.0
	for i, end := range ends[1:] {
		below := 1.0
		if i < len(thresholds) {
			below = shorter(logged, end)
		}
		if below > before {
			holds, chances = append(holds, (ends[i]+end)/2), append(chances, below-before)
		}
		before = below
	}
	return holds[w.choose(p, chances...)]
}

// shorter returns the chance that a press was held for less than a threshold: the
// mean, over where its begin lies, of the chance that its end lies early enough.
func shorter(logged sim.Press, threshold float64) float64 {
	const steps = 50
	sum := 0.0
	for i := range steps {
		longest := float64(logged.Hold()) + (float64(i)+0.5)/steps*float64(logged.DownUnseen)
		sum += min(1, max(0, 1-(longest-threshold)/float64(logged.UpUnseen)))
	}
	return sum / steps
}

// everyHistory returns the share of each history, with thresholds at so many even
// places of their ranges. It stops where there are too many.
func everyHistory(r *sim.Replay, seen Observations, places, most int) (histories map[string]float64, ok bool) {
	histories = map[string]float64{}
	starts := []sim.State{sim.State(r.Rig.Camera.Start)}
	if r.Rig.Camera.Start == sim.StartUnknown {
		starts = []sim.State{sim.StateStandby, sim.StateRecording}
	}
	total, flown := 0.0, 0
	for _, least := range evenly(r.Rig.Camera.MinPress, places) {
		for _, long := range evenly(r.Rig.Camera.LongPress, places) {
			for _, start := range starts {
				w := &walk{}
				for more := true; more; more = w.next() {
					if flown++; flown > most {
						return nil, false
					}
					p := newParticle(r, least, long)
					p.walk = w
					p.fly(r, start)
					weight := p.weight(seen)
					histories[historyOf(start, p.verdicts)] += weight
					total += weight
				}
			}
		}
	}
	for k := range histories {
		histories[k] /= total
	}
	return histories, true
}

// evenly returns places of a range, from 0 to 1: the middles of equal parts.
func evenly(of sim.Interval, parts int) []float64 {
	if of.Exact() {
		return []float64{0}
	}
	var all []float64
	for i := range parts {
		all = append(all, (float64(i)+0.5)/float64(parts))
	}
	return all
}

// TestTheLikeliestHistoryIsShown (M11): among all histories of a small flight, weighed
// one by one, none is likelier than the one that is shown, and its chance is right.
func TestTheLikeliestHistoryIsShown(t *testing.T) {
	const places, most = 32, 150_000
	compared, worst := 0, 0.0
	for i := 0; compared < *particleFlights; i++ {
		replay, seen := doubtfulFlight(rand.New(rand.NewPCG(31, uint64(i))))
		if seen.None() {
			continue
		}
		histories, ok := everyHistory(replay, seen, places, most)
		if !ok {
			continue
		}
		compared++
		result, err := Resolve(replay, seen)
		require.NoError(t, err)
		var shown []sim.Verdict
		for _, p := range result.Replay.Presses {
			shown = append(shown, p.Verdict)
		}
		got, best := histories[historyOf(result.Replay.States[0].State, shown)], 0.0
		for _, share := range histories {
			best = max(best, share)
		}
		worst = max(worst, math.Abs(got-result.Likeliest))
		assert.GreaterOrEqual(t, got, best-0.004, "flight %d %s", i, describe(replay, seen))
		assert.InDelta(t, got, result.Likeliest, 0.02, "flight %d %s", i, describe(replay, seen))
	}
	t.Logf("%d flights, the chance of the shown history off by at most %.4f", compared, worst)
}
