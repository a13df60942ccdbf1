package belief

import (
	"iter"
	"math"

	"flicktally/sim"
)

// givenUp is the weight of an unexplained observation if the rig rules such
// observations out: any explanation outweighs it.
const givenUp = 1e-6

// negligible is the share below which a pair of thresholds is left out of sums.
const negligible = 1e-9

// estimator computes the posterior of the thresholds, on a grid, and of the
// histories of some flights that share them.
type estimator struct {
	model
	rig     sim.Rig
	seen    bool        // something was observed
	pairs   int         // the greatest number of pairs of thresholds
	weights [][]float64 // the share of each pair
	total   float64     // logarithm of the weight of all histories
	kept    []*trellis  // by its first grid point of min_press; nil if it was not kept
}

func newEstimator(flights []*sectionedFlight, seen bool, list *card, pairs int) *estimator {
	e := &estimator{rig: flights[0].replay.Rig, seen: seen, pairs: pairs}
	e.flights, e.card, e.doubt = flights, list, e.rig.Doubt
	for _, p := range []*float64{&e.doubt.Misread, &e.doubt.Unlisted, &e.doubt.Foreign} {
		*p = max(*p, givenUp)
	}
	if list != nil {
		list.unlisted, list.foreign = e.doubt.Unlisted, e.doubt.Foreign
	}
	return e
}

// weigh computes the share of each pair of thresholds. If there are
// observations, it evaluates a coarse grid first, then a fine one that is
// densest where the coarse one found weight.
func (e *estimator) weigh() {
	c := e.rig.Camera
	minBreaks, longBreaks := e.breakpoints()
	mins := newAxisGrid(c.MinPress, minBreaks, e.someHoldIn(c.MinPress))
	longs := newAxisGrid(c.LongPress, longBreaks, e.someHoldIn(c.LongPress) || e.endsTakes())
	minPieces, longPieces := e.pieces(mins.matters, longs.matters)
	mins, longs = mins.coarser(minPieces/2), longs.coarser(longPieces/2)
	minShare, longShare := mins.lengthShare, longs.lengthShare
	if e.seen && minPieces*longPieces > 1 {
		e.evaluate(mins.points(minPieces/3, minShare), longs.points(longPieces/3, longShare))
		byMin, byLong := e.shares()
		minShare, longShare = mins.focused(e.mins, byMin), longs.focused(e.longs, byLong)
		minPieces, longPieces = e.affordable(minPieces, longPieces)
	}
	e.evaluate(mins.points(minPieces, minShare), longs.points(longPieces, longShare))
}

// perMin reports whether moments move with min_press, so that each of its grid
// points needs a trellis of its own.
func (e *estimator) perMin() bool {
	return e.rig.Camera.ToggleOn == sim.ToggleOnPress && !e.rig.Camera.MinPress.Exact()
}

// breakpoints returns the breakpoints of all flights.
func (e *estimator) breakpoints() (mins, longs []sim.Micros) {
	for _, f := range e.flights {
		m, l := f.breakpoints()
		mins, longs = append(mins, m...), append(longs, l...)
	}
	return mins, longs
}

// someHoldIn reports whether the outcome of any press depends on where in a
// range a threshold lies.
func (e *estimator) someHoldIn(r sim.Interval) bool {
	return e.anyHold(func(h *holdDistribution) bool { return h.cdf(float64(r.Low)) != h.cdf(float64(r.High)) })
}

// endsTakes reports whether a long press may end a take. The length of its clip
// then depends on long_press itself.
func (e *estimator) endsTakes() bool {
	c := e.rig.Camera
	return e.card != nil && dependsOnLong(c, long) &&
		e.anyHold(func(h *holdDistribution) bool { return h.cdf(float64(c.LongPress.High)) < 1 })
}

func (e *estimator) anyHold(is func(*holdDistribution) bool) bool {
	for _, f := range e.flights {
		for i := range f.sections[1:] {
			if is(&f.sections[i+1].hold) {
				return true
			}
		}
	}
	return false
}

// mostPieces limits the pieces of one threshold if the other is known.
const mostPieces = 300

// pieces returns the number of pieces of each threshold, given which of them
// matter.
func (e *estimator) pieces(minMatters, longMatters bool) (minPieces, longPieces int) {
	one := min(mostPieces, max(4, e.pairs/2))
	switch {
	case minMatters && longMatters:
		both := max(4, min(mostPieces, int(math.Sqrt(float64(e.pairs)))/2))
		minPieces, longPieces = both, both
	case minMatters:
		minPieces, longPieces = one, 1
	case longMatters:
		minPieces, longPieces = 1, one
	default:
		return 1, 1
	}
	if e.perMin() && minMatters {
		// Each point of min_press costs a trellis, a larger one with a list.
		most := 14_000
		if e.card != nil {
			most = 9000
		}
		minPieces = max(4, min(minPieces, most/(1+e.presses())))
	}
	return minPieces, longPieces
}

// affordable reduces the pieces of each threshold to what the work allows, given
// the number of branches for each pair. If each point of min_press has a trellis
// of its own, its pieces are few already.
func (e *estimator) affordable(mins, longs int) (minPieces, longPieces int) {
	const work, few = 20_000_000, 6
	branches := 1
	if t := e.kept[0]; t != nil {
		for i := range t.stages {
			branches += len(t.stages[i].common)
		}
	}
	if e.perMin() {
		return mins, min(longs, max(few, work/(4*branches*mins)))
	}
	most := max(few, int(math.Sqrt(work/4/float64(branches))))
	return min(mins, most), min(longs, most)
}

// evaluate computes the share of each pair of grid points.
func (e *estimator) evaluate(mins, longs []gridPoint) {
	e.logWeights(mins, longs)
	sum := 0.0
	for _, row := range e.weights {
		for b := range row {
			row[b] = math.Exp(row[b] - e.total)
			sum += row[b]
		}
	}
	for _, row := range e.weights {
		for b := range row {
			row[b] /= sum
		}
	}
	e.total += math.Log(sum)
}

// logWeights computes the logarithm of the weight of each pair of grid points,
// and the greatest as the total.
func (e *estimator) logWeights(mins, longs []gridPoint) {
	e.mins, e.longs, e.kept = mins, longs, make([]*trellis, len(mins))
	for _, f := range e.flights {
		f.setHoldChances(mins, longs)
	}
	e.weights = make([][]float64, len(mins))
	e.total = math.Inf(-1)
	for t := range e.trellises() {
		p := newForwardBackward(t)
		for a := t.from; a < t.to; a++ {
			e.weights[a] = make([]float64, len(longs))
			for b := range longs {
				w := p.forwardPass(a, b) + math.Log(mins[a].prior*longs[b].prior)
				e.weights[a][b] = w
				e.total = max(e.total, w)
			}
		}
	}
}

// keptPresses limits the memory of kept trellises, in presses.
const keptPresses = 60_000

// trellises yields the trellises, which together are valid for all grid points of
// min_press.
func (e *estimator) trellises() iter.Seq[*trellis] {
	size := len(e.mins)
	if e.perMin() {
		size = 1
	}
	return func(yield func(*trellis) bool) {
		for from := 0; from < len(e.mins); from += size {
			t := e.kept[from]
			if t == nil {
				t = buildTrellis(e.model, from, from+size)
			}
			if len(e.mins)/size*e.presses() <= keptPresses {
				e.kept[from] = t
			}
			if !yield(t) {
				return
			}
		}
	}
}

// presses returns the number of presses.
func (e *estimator) presses() int {
	n := 0
	for _, f := range e.flights {
		n += len(f.replay.Presses)
	}
	return n
}

// shares returns the share of each grid point of each threshold.
func (e *estimator) shares() (mins, longs []float64) {
	mins, longs = make([]float64, len(e.mins)), make([]float64, len(e.longs))
	for a, row := range e.weights {
		for b, w := range row {
			mins[a] += w
			longs[b] += w
		}
	}
	return mins, longs
}

// stillPossible returns the thresholds that are still possible: those of grid
// points at least a hundredth as likely, per length, as the likeliest.
func stillPossible(whole sim.Interval, points []gridPoint, shares []float64) sim.Interval {
	const least = 0.01
	best := 0.0
	for i, p := range points {
		best = max(best, shares[i]/p.prior)
	}
	found := sim.Interval{Low: whole.High, High: whole.Low}
	for i, p := range points {
		if shares[i]/p.prior >= least*best {
			found.Low, found.High = min(found.Low, p.low), max(found.High, p.high)
		}
	}
	return found
}
