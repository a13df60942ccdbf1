package belief

import (
	"cmp"
	"math"
	"slices"

	"flicktally/sim"
)

// course is the fate of every press and the place of every flight's start, by
// step of the trellis.
type course struct {
	fates  []fate
	weight float64 // its share among all
	// least and long are the thresholds in the middle of those with which it is
	// possible.
	least, long float64
}

// likeliest returns the likeliest course. Its candidates are the courses that
// are likeliest for some pair of thresholds; it takes the one with the most
// weight over all of them, and of equals the first tried, so logged comes
// first.
func (e *engine) likeliest(logged []fate) course {
	candidates := [][]fate{}
	known := map[string]bool{}
	propose := func(c []fate) {
		if key := string(bytesOf(c)); !known[key] {
			known[key] = true
			candidates = append(candidates, c)
		}
	}
	if logged != nil {
		propose(logged)
	}
	e.eachTrellis(func(t *trellis, from, to int) {
		for _, at := range e.worthTrying(from, to) {
			propose(t.bestCourse(&e.evidence, at[0], at[1]))
		}
	})
	best := e.best(candidates)
	for range e.rounds(len(best.fates)) {
		better := e.best(append([][]fate{best.fates}, neighbours(best.fates)...))
		if slices.Equal(better.fates, best.fates) {
			break
		}
		best = better
	}
	return best
}

func bytesOf(c []fate) []byte {
	b := make([]byte, len(c))
	for i, x := range c {
		b[i] = byte(x)
	}
	return b
}

// worthTrying returns the pairs of points whose likeliest courses are candidates:
// some points of each threshold, each with the likeliest point of the other.
func (e *engine) worthTrying(from, to int) [][2]int {
	const most = 48
	var pairs [][2]int
	least, longs := e.shares()
	for a := from; a < to; a += (len(e.least)-1)/most + 1 {
		if least[a] > leastShare {
			pairs = append(pairs, [2]int{a, largest(len(e.longs), func(b int) float64 { return e.weights[a][b] / e.longs[b].prior })})
		}
	}
	for b := 0; b < len(e.longs); b += (len(e.longs)-1)/most + 1 {
		if longs[b] <= leastShare {
			continue
		}
		if a := largest(len(e.least), func(a int) float64 { return e.weights[a][b] / e.least[a].prior }); a >= from && a < to {
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

// rounds returns how many times a course may be improved press by press.
func (e *engine) rounds(steps int) int {
	const work = 20_000_000
	one := steps * steps * (len(e.least) + len(e.longs))
	if e.perLeast() {
		one *= len(e.longs)
	}
	return min(8, work/max(1, one))
}

// neighbours returns the courses that differ from one in a single fate.
func neighbours(c []fate) [][]fate {
	var all [][]fate
	for i, now := range c {
		for x := plain; x < fates; x++ {
			if x != now {
				other := slices.Clone(c)
				other[i] = x
				all = append(all, other)
			}
		}
	}
	return all
}

// bestCourse returns the likeliest course for two thresholds, with its
// likeliest matching of the list.
func (t *trellis) bestCourse(e *evidence, a, b int) []fate {
	weights := []float64{1}
	back := make([][]*edge, len(t.steps))
	for i := range t.steps {
		s := &t.steps[i]
		chances := s.chances(a, b, e.doubt.Ignored)
		reached := make([]float64, t.nodesAfter(i))
		back[i] = make([]*edge, len(reached))
		best := 0.0
		for _, edges := range s.edges(b) {
			for k := range edges {
				x := &edges[k]
				if w := weights[x.from] * chances[x.fate] * x.weight; w > reached[x.to] {
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
	fates := make([]fate, len(t.steps))
	for i, at := len(t.steps)-1, int32(0); i >= 0; i-- {
		x := back[i][at]
		fates[i], at = x.fate, x.from
	}
	return fates
}

// best returns the course that weighs most.
func (e *engine) best(candidates [][]fate) course {
	own, alike := make([]sums, len(candidates)), make([]sums, len(candidates))
	others := make([][][]fate, len(candidates))
	for i, c := range candidates {
		own[i].log, alike[i].log = math.Inf(-1), math.Inf(-1)
		others[i] = e.sameOutcomes(c)
	}
	e.eachTrellis(func(t *trellis, from, to int) {
		for i, c := range candidates {
			e.weighCourse(t, c, from, to, &own[i])
			for _, other := range others[i] {
				e.weighCourse(t, other, from, to, &alike[i])
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
	return course{candidates[best], math.Exp(most - e.total), own[best].least, own[best].long}
}

// sameOutcomes returns the other courses in which the outcome of every press is the
// same: a press that is still down is open, whether or not it has reached
// min_press, or the long_press that counts on release only.
func (e *engine) sameOutcomes(c []fate) [][]fate {
	all := [][]fate{c}
	open := []fate{short, toggles}
	if e.rig.Camera.LongFires == sim.LongOnRelease {
		open = append(open, long)
	}
	last := 0 // the step of a flight's last press
	for _, f := range e.plans {
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

// sums adds up weights, given as logarithms, and averages the thresholds by
// them.
type sums struct{ log, least, long float64 }

func (s *sums) add(log, least, long float64) {
	if math.IsInf(s.log, -1) {
		*s = sums{log, least, long}
		return
	}
	top := max(s.log, log)
	mine, its := math.Exp(s.log-top), math.Exp(log-top)
	part := its / (mine + its)
	s.log = top + math.Log(mine+its)
	s.least += (least - s.least) * part
	s.long += (long - s.long) * part
}

// weighCourse adds the weight of a course with some points of min_press. A
// press mostly depends on one threshold only, so the weight is a product of one
// factor for each; see weighPresses.
func (e *engine) weighCourse(t *trellis, c []fate, from, to int, s *sums) {
	p := newPasses(t)
	if !t.needsLong(c) {
		rest := p.runCourse(t, &e.evidence, c, from, 0, false)
		if !math.IsInf(rest, -1) {
			e.weighPresses(t, c, from, to, rest, s)
		}
		return
	}
	for a := from; a < to; a++ {
		for b := range e.longs {
			if e.weights[a][b] < leastShare*1000 {
				continue
			}
			log := p.runCourse(t, &e.evidence, c, a, b, true)
			s.add(log+math.Log(e.least[a].prior*e.longs[b].prior), e.least[a].at, e.longs[b].at)
		}
	}
}

// needsLong reports whether a course has edges that exist only at some points of
// long_press.
func (t *trellis) needsLong(c []fate) bool {
	for i := range t.steps {
		for _, edges := range t.steps[i].byLong {
			if slices.ContainsFunc(edges, func(x edge) bool { return x.fate == c[i] }) {
				return true
			}
		}
	}
	return false
}

// weighPresses adds the weight of a course's fates at each pair of points.
func (e *engine) weighPresses(t *trellis, c []fate, from, to int, rest float64, s *sums) {
	byLeast, byLong := make([]float64, to-from), make([]float64, len(e.longs))
	var both []*section
	for i, x := range c {
		at := t.steps[i].at
		if t.steps[i].steady {
			continue
		}
		least, long := at.depends(x)
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
		byLeast[i] += math.Log(e.least[from+i].prior)
	}
	for a := range byLeast {
		for b := range byLong {
			log := rest + byLeast[a] + byLong[b]
			for _, at := range both {
				log += math.Log(at.chances(from+a, b, e.doubt.Ignored)[toggles])
			}
			s.add(log, e.least[from+a].at, e.longs[b].at)
		}
	}
}

// depends reports which thresholds the chance of a fate depends on.
func (s *section) depends(x fate) (least, longs bool) {
	switch x {
	case short:
		return s.leastMatters, false
	case long:
		return false, s.longMatters
	case toggles:
		return s.leastMatters, s.longMatters
	default:
		return false, false
	}
}

// loggedCourse returns the course that follows from the logged edges alone, at
// given thresholds, if the camera starts in a known state.
func (e *engine) loggedCourse() []fate {
	var all []fate
	for _, f := range e.plans {
		all = append(all, 0)
		for i := range f.sections[1:] {
			all = append(all, f.loggedFate(i))
		}
		all = append(all, 0)
	}
	return all
}

// loggedFate returns the fate of a press according to its logged edges.
func (f *flightPlan) loggedFate(i int) fate {
	p, w := f.replay.Presses[i], f.replay.Window
	switch {
	case p.StateAt == sim.StateOff && f.spec.WakePress != sim.Never:
		return cmp.Or(fateOf(p.Verdict), staysOff)
	case !p.StateAt.Accepts():
		return plain
	case f.sections[i+1].hold.logged < float64(w.MinPress):
		return short
	case f.sections[i+1].hold.logged >= float64(w.LongPress):
		return long
	default:
		return toggles
	}
}
