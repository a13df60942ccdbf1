package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// history is the outcome of every press and the place of every flight's start, by
// step of the trellis.
type history struct {
	outcomes []outcome
	weight   float64 // its share among all
	// least and long are the thresholds in the middle of those with which it is
	// possible.
	minPress, longPress float64
}

// likeliest returns the likeliest history. Its candidates are the histories that
// are likeliest for some pair of thresholds; it takes the one with the most
// weight over all of them, and of equals the first tried, so logged comes
// first.
func (e *estimator) likeliest(logged []outcome) history {
	candidates := [][]outcome{}
	known := map[string]bool{}
	propose := func(c []outcome) {
		if key := string(keyOf(c)); !known[key] {
			known[key] = true
			candidates = append(candidates, c)
		}
	}
	if logged != nil {
		propose(logged)
	}
	e.eachTrellis(func(t *trellis, from, to int) {
		for _, at := range e.worthTrying(from, to) {
			propose(t.viterbi(&e.model, at[0], at[1]))
		}
	})
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

func keyOf(c []outcome) []byte {
	b := make([]byte, len(c))
	for i, x := range c {
		b[i] = byte(x)
	}
	return b
}

// worthTrying returns the pairs of points whose likeliest histories are candidates:
// some points of each threshold, each with the likeliest point of the other.
func (e *estimator) worthTrying(from, to int) [][2]int {
	const most = 48
	var pairs [][2]int
	least, longs := e.shares()
	for a := from; a < to; a += (len(e.mins)-1)/most + 1 {
		if least[a] > negligible {
			pairs = append(pairs, [2]int{a, largest(len(e.longs), func(b int) float64 { return e.weights[a][b] / e.longs[b].prior })})
		}
	}
	for b := 0; b < len(e.longs); b += (len(e.longs)-1)/most + 1 {
		if longs[b] <= negligible {
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
func (e *estimator) rounds(steps int) int {
	const work = 20_000_000
	one := steps * steps * (len(e.mins) + len(e.longs))
	if e.perMin() {
		one *= len(e.longs)
	}
	return min(8, work/max(1, one))
}

// neighbours returns the histories that differ from one in a single outcome.
func neighbours(c []outcome) [][]outcome {
	var all [][]outcome
	for i, now := range c {
		for x := predetermined; x < outcomes; x++ {
			if x != now {
				other := slices.Clone(c)
				other[i] = x
				all = append(all, other)
			}
		}
	}
	return all
}

// viterbi returns the likeliest history for two thresholds, with its
// likeliest matching of the list.
func (t *trellis) viterbi(e *model, a, b int) []outcome {
	weights := []float64{1}
	back := make([][]*branch, len(t.stages))
	for i := range t.stages {
		s := &t.stages[i]
		chances := s.chances(a, b, e.doubt.Ignored)
		reached := make([]float64, t.nodesAfter(i))
		back[i] = make([]*branch, len(reached))
		best := 0.0
		for _, edges := range s.branches(b) {
			for k := range edges {
				x := &edges[k]
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
	outcomes := make([]outcome, len(t.stages))
	for i, at := len(t.stages)-1, int32(0); i >= 0; i-- {
		x := back[i][at]
		outcomes[i], at = x.outcome, x.from
	}
	return outcomes
}

// best returns the history that weighs most.
func (e *estimator) best(candidates [][]outcome) history {
	own, alike := make([]weightedMean, len(candidates)), make([]weightedMean, len(candidates))
	others := make([][][]outcome, len(candidates))
	for i, c := range candidates {
		own[i].log, alike[i].log = math.Inf(-1), math.Inf(-1)
		others[i] = e.sameVerdicts(c)
	}
	e.eachTrellis(func(t *trellis, from, to int) {
		for i, c := range candidates {
			e.addHistory(t, c, from, to, &own[i])
			for _, other := range others[i] {
				e.addHistory(t, other, from, to, &alike[i])
			}
		}
	})
	best, most := 0, math.Inf(-1)
	for i := range candidates {
		const dust = 1e-9
		alike[i].add(own[i].log, 0, 0)
		if alike[i].log > most+dust {
			best, most = i, alike[i].log
		}
	}
	return history{candidates[best], math.Exp(most - e.total), own[best].least, own[best].long}
}

// sameVerdicts returns the other histories in which the outcome of every press is the
// same: a press that is still down is open, whether or not it has reached
// min_press, or the long_press that counts on release only.
func (e *estimator) sameVerdicts(c []outcome) [][]outcome {
	all := [][]outcome{c}
	open := []outcome{short, toggles}
	if e.rig.Camera.LongFires == sim.LongOnRelease {
		open = append(open, long)
	}
	last := 0 // the step of a flight's last press
	for _, f := range e.flights {
		last += len(f.sections)
		if n := len(f.replay.Presses); n > 0 && f.replay.Presses[n-1].Open() && slices.Contains(open, c[last-1]) {
			for _, same := range all {
				for _, x := range open {
					if x != c[last-1] {
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

// weightedMean adds up weights, given as logarithms, and averages the thresholds by
// them.
type weightedMean struct{ log, least, long float64 }

func (s *weightedMean) add(log, least, long float64) {
	if math.IsInf(s.log, -1) {
		*s = weightedMean{log, least, long}
		return
	}
	top := max(s.log, log)
	mine, its := math.Exp(s.log-top), math.Exp(log-top)
	part := its / (mine + its)
	s.log = top + math.Log(mine+its)
	s.least += (least - s.least) * part
	s.long += (long - s.long) * part
}

// addHistory adds the weight of a history with some points of min_press. A
// press mostly depends on one threshold only, so the weight is a product of one
// factor for each; see weighPresses.
func (e *estimator) addHistory(t *trellis, c []outcome, from, to int, s *weightedMean) {
	p := newForwardBackward(t)
	if !t.hasBranchesByLong(c) {
		rest := p.historyPass(t, &e.model, c, from, 0, false)
		if !math.IsInf(rest, -1) {
			e.addHistoryByFactors(t, c, from, to, rest, s)
		}
		return
	}
	for a := from; a < to; a++ {
		for b := range e.longs {
			if e.weights[a][b] < negligible*1000 {
				continue
			}
			log := p.historyPass(t, &e.model, c, a, b, true)
			s.add(log+math.Log(e.mins[a].prior*e.longs[b].prior), e.mins[a].at, e.longs[b].at)
		}
	}
}

// hasBranchesByLong reports whether a history has edges that exist only at some points of
// long_press.
func (t *trellis) hasBranchesByLong(c []outcome) bool {
	for i := range t.stages {
		for _, edges := range t.stages[i].byLong {
			if slices.ContainsFunc(edges, func(x branch) bool { return x.outcome == c[i] }) {
				return true
			}
		}
	}
	return false
}

// addHistoryByFactors adds the weight of a history's outcomes at each pair of points.
func (e *estimator) addHistoryByFactors(t *trellis, c []outcome, from, to int, rest float64, s *weightedMean) {
	byLeast, byLong := make([]float64, to-from), make([]float64, len(e.longs))
	var both []*section
	for i, x := range c {
		at := t.stages[i].section
		if t.stages[i].fixed {
			continue
		}
		least, long := at.dependsOn(x)
		switch {
		case least && long:
			both = append(both, at)
		case long:
			for b := range byLong {
				byLong[b] += math.Log(at.chances(from, b, e.doubt.Ignored)[x])
			}
		case least:
			for a := range byLeast {
				byLeast[a] += math.Log(at.chances(from+a, 0, e.doubt.Ignored)[x])
			}
		default:
			rest += math.Log(at.chances(from, 0, e.doubt.Ignored)[x])
		}
	}
	for i, p := range e.longs {
		byLong[i] += math.Log(p.prior)
	}
	for i := range byLeast {
		byLeast[i] += math.Log(e.mins[from+i].prior)
	}
	for a := range byLeast {
		for b := range byLong {
			log := rest + byLeast[a] + byLong[b]
			for _, at := range both {
				log += math.Log(at.chances(from+a, b, e.doubt.Ignored)[toggles])
			}
			s.add(log, e.mins[from+a].at, e.longs[b].at)
		}
	}
}

// dependsOn reports which thresholds the chance of a outcome depends on.
func (s *section) dependsOn(x outcome) (least, longs bool) {
	switch x {
	case short:
		return s.minMatters, false
	case long:
		return false, s.longMatters
	case toggles:
		return s.minMatters, s.longMatters
	default:
		return false, false
	}
}

// loggedHistory returns the history that follows from the logged edges alone, at
// given thresholds, if the camera starts in a known state.
func (e *estimator) loggedHistory() []outcome {
	var all []outcome
	for _, f := range e.flights {
		all = append(all, 0)
		for i := range f.sections[1:] {
			all = append(all, f.loggedOutcome(i))
		}
		all = append(all, 0)
	}
	return all
}

// loggedOutcome returns the outcome of a press according to its logged edges.
func (f *sectionedFlight) loggedOutcome(i int) outcome {
	p, w := f.replay.Presses[i], f.replay.Window
	switch {
	case p.StateAt == sim.StateOff && f.spec.WakePress != sim.Never:
		return cmp.Or(outcomeOf(p.Verdict), staysOff)
	case !p.StateAt.Accepts():
		return predetermined
	case f.sections[i+1].hold.logged < float64(w.MinPress):
		return short
	case f.sections[i+1].hold.logged >= float64(w.LongPress):
		return long
	default:
		return toggles
	}
}
