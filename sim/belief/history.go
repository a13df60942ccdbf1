package belief

import (
	"math"
	"slices"

	"flicktally/sim"
)

// history is a start and the outcome of every press, for each flight.
type history struct {
	outcomes []outcome // by stage of the trellis; where a flight starts, an index of its starts
	weight   float64   // its share among all
	// minPress and longPress are the means of the thresholds with which it is
	// possible.
	minPress, longPress float64
}

// likeliest returns the likeliest history. It first compares those that are
// likeliest for some pair of thresholds, then changes one outcome at a time. Of
// equals it takes the first tried, so the logged one comes first.
func (e *estimator) likeliest(logged []outcome) history {
	var candidates [][]outcome
	known := map[string]bool{}
	propose := func(h []outcome) {
		key := make([]byte, len(h))
		for i, x := range h {
			key[i] = byte(x)
		}
		if !known[string(key)] {
			known[string(key)] = true
			candidates = append(candidates, h)
		}
	}
	if logged != nil {
		propose(logged)
	}
	for t := range e.trellises() {
		for _, at := range e.worthTrying(t.from, t.to) {
			propose(t.viterbi(at[0], at[1]))
		}
	}
	best := e.best(candidates)
	for range e.rounds(len(best.outcomes)) {
		better := e.best(append([][]outcome{best.outcomes}, neighbours(best.outcomes)...))
		if slices.Equal(better.outcomes, best.outcomes) {
			break
		}
		best = better
	}
	return best
}

// worthTrying returns the pairs of grid points whose likeliest histories are
// candidates: some points of each threshold, each with the likeliest point of
// the other.
func (e *estimator) worthTrying(from, to int) [][2]int {
	const most = 48
	var pairs [][2]int
	byMin, byLong := e.shares()
	for a := from; a < to; a += (len(e.mins)-1)/most + 1 {
		if byMin[a] > negligible {
			pairs = append(pairs, [2]int{a, largest(len(e.longs), func(b int) float64 { return e.weights[a][b] / e.longs[b].prior })})
		}
	}
	for b := 0; b < len(e.longs); b += (len(e.longs)-1)/most + 1 {
		if byLong[b] <= negligible {
			continue
		}
		if a := largest(len(e.mins), func(a int) float64 { return e.weights[a][b] / e.mins[a].prior }); a >= from && a < to {
			pairs = append(pairs, [2]int{a, b})
		}
	}
	return pairs
}

// largest returns the index of the largest of n values, the first if several are
// equal.
func largest(n int, value func(int) float64) int {
	best := 0
	for i := range n {
		if value(i) > value(best) {
			best = i
		}
	}
	return best
}

// rounds returns how many times a history may be improved press by press.
func (e *estimator) rounds(stages int) int {
	const work = 20_000_000
	one := stages * stages * (len(e.mins) + len(e.longs))
	if e.perMin() {
		one *= len(e.longs)
	}
	return min(8, work/max(1, one))
}

// neighbours returns the histories that differ from one in a single outcome.
func neighbours(h []outcome) [][]outcome {
	var all [][]outcome
	for i, now := range h {
		for x := predetermined; x < outcomes; x++ {
			if x != now {
				other := slices.Clone(h)
				other[i] = x
				all = append(all, other)
			}
		}
	}
	return all
}

// viterbi returns the history of the likeliest path through the trellis for the
// thresholds at two grid points.
func (t *trellis) viterbi(a, b int) []outcome {
	weights := []float64{1}
	back := make([][]*branch, len(t.stages))
	for i := range t.stages {
		s := &t.stages[i]
		chances := s.chances(a, b)
		reached := make([]float64, t.nodesAfter(i))
		back[i] = make([]*branch, len(reached))
		best := 0.0
		for _, branches := range s.branches(b) {
			for k := range branches {
				x := &branches[k]
				if w := weights[x.from] * chances[x.outcome] * x.weight; w > reached[x.to] {
					reached[x.to], back[i][x.to] = w, x
					best = max(best, w)
				}
			}
		}
		for k := range reached {
			reached[k] /= best
		}
		weights = reached
	}
	path := make([]outcome, len(t.stages))
	for i, at := len(t.stages)-1, int32(0); i >= 0; i-- {
		x := back[i][at]
		path[i], at = x.outcome, x.from
	}
	return path
}

// best returns the history that weighs most. Histories in which every press has
// the same verdict count as one.
func (e *estimator) best(candidates [][]outcome) history {
	own, same := make([]weightedMean, len(candidates)), make([]weightedMean, len(candidates))
	others := make([][][]outcome, len(candidates))
	for i, h := range candidates {
		own[i].log, same[i].log = math.Inf(-1), math.Inf(-1)
		others[i] = e.sameVerdicts(h)
	}
	for t := range e.trellises() {
		for i, h := range candidates {
			e.addHistory(t, h, &own[i])
			for _, other := range others[i] {
				e.addHistory(t, other, &same[i])
			}
		}
	}
	best, most := 0, math.Inf(-1)
	for i := range candidates {
		const dust = 1e-9
		same[i].add(own[i].log, 0, 0)
		if same[i].log > most+dust {
			best, most = i, same[i].log
		}
	}
	return history{candidates[best], math.Exp(most - e.total), own[best].minPress, own[best].longPress}
}

// sameVerdicts returns the other histories in which every press has the same
// verdict: a press that is still down is open, whether or not it has reached
// min_press, or the long_press that counts on release only.
func (e *estimator) sameVerdicts(h []outcome) [][]outcome {
	all := [][]outcome{h}
	open := []outcome{short, toggles}
	if e.rig.Camera.LongFires == sim.LongOnRelease {
		open = append(open, long)
	}
	last := 0 // the stage of a flight's last press
	for _, f := range e.flights {
		last += len(f.sections)
		if n := len(f.replay.Presses); n > 0 && f.replay.Presses[n-1].Open() && slices.Contains(open, h[last-1]) {
			for _, same := range all {
				for _, x := range open {
					if x != h[last-1] {
						other := slices.Clone(same)
						other[last-1] = x
						all = append(all, other)
					}
				}
			}
		}
		last++
	}
	return all[1:]
}

// weightedMean adds up weights, given as logarithms, and averages the thresholds
// by them.
type weightedMean struct{ log, minPress, longPress float64 }

func (m *weightedMean) add(log, minPress, longPress float64) {
	if math.IsInf(m.log, -1) {
		*m = weightedMean{log, minPress, longPress}
		return
	}
	top := max(m.log, log)
	mine, its := math.Exp(m.log-top), math.Exp(log-top)
	part := its / (mine + its)
	m.log = top + math.Log(mine+its)
	m.minPress += (minPress - m.minPress) * part
	m.longPress += (longPress - m.longPress) * part
}

// addHistory adds the weight of a history at the grid points of a trellis.
func (e *estimator) addHistory(t *trellis, h []outcome, m *weightedMean) {
	p := newForwardBackward(t)
	if !t.hasBranchesByLong(h) {
		if rest := p.historyPass(h, t.from, 0, false); !math.IsInf(rest, -1) {
			e.addFactored(t, h, rest, m)
		}
		return
	}
	for a := t.from; a < t.to; a++ {
		for b := range e.longs {
			if e.weights[a][b] < negligible*1000 {
				continue
			}
			log := p.historyPass(h, a, b, true)
			m.add(log+math.Log(e.mins[a].prior*e.longs[b].prior), e.mins[a].at, e.longs[b].at)
		}
	}
}

// hasBranchesByLong reports whether a history has branches that exist only at
// some grid points of long_press.
func (t *trellis) hasBranchesByLong(h []outcome) bool {
	for i := range t.stages {
		for _, branches := range t.stages[i].byLong {
			if slices.ContainsFunc(branches, func(x branch) bool { return x.outcome == h[i] }) {
				return true
			}
		}
	}
	return false
}

// addFactored adds the weight of a history with the same branches at every grid
// point. As the chance of an outcome mostly depends on one threshold, the weight
// is a product of a factor for each threshold, except for presses that depend on
// both; rest is the logarithm of what depends on neither.
func (e *estimator) addFactored(t *trellis, h []outcome, rest float64, m *weightedMean) {
	byMin, byLong := logPriors(e.mins[t.from:t.to]), logPriors(e.longs)
	var both []*section
	for i, x := range h {
		s := t.stages[i].section
		if t.stages[i].press == 0 {
			continue
		}
		switch onMin, onLong := s.dependsOn(x); {
		case onMin && onLong:
			both = append(both, s)
		case onLong:
			for b := range byLong {
				byLong[b] += math.Log(s.chances(t.from, b)[x])
			}
		case onMin:
			for a := range byMin {
				byMin[a] += math.Log(s.chances(t.from+a, 0)[x])
			}
		default:
			rest += math.Log(s.chances(t.from, 0)[x])
		}
	}
	for a := range byMin {
		for b := range byLong {
			log := rest + byMin[a] + byLong[b]
			for _, s := range both {
				log += math.Log(s.chances(t.from+a, b)[toggles])
			}
			m.add(log, e.mins[t.from+a].at, e.longs[b].at)
		}
	}
}

func logPriors(points []gridPoint) []float64 {
	logs := make([]float64, len(points))
	for i, p := range points {
		logs[i] = math.Log(p.prior)
	}
	return logs
}

// loggedHistory returns the history that follows from the logged edges alone, at
// given thresholds, if the camera starts in a known state.
func (e *estimator) loggedHistory() []outcome {
	var all []outcome
	for _, f := range e.flights {
		all = append(all, 0)
		for i := range f.replay.Presses {
			all = append(all, f.loggedOutcome(i))
		}
		all = append(all, 0)
	}
	return all
}
