package belief

import (
	"math"

	"flicktally/sim"
)

// givenUp is the weight of an unexplained observation if the rig rules such
// observations out: any explanation outweighs it.
const givenUp = 1e-6

// estimator weighs the histories of some flights that share their thresholds.
type estimator struct {
	model
	rig     sim.Rig
	seen    bool // something was observed
	points  int  // the greatest number of pairs of thresholds
	weights [][]float64
	total   float64 // logarithm of the weight of all histories

	single *trellis   // for all points of min_press; nil if each has its own
	kept   []*trellis // those of the points; nil for one not kept
}

func newEstimator(flights []*sectionedFlight, seen bool, list *card, points int) *estimator {
	e := &estimator{rig: flights[0].replay.Rig, seen: seen, points: points}
	e.flights, e.card, e.doubt = flights, list, e.rig.Doubt
	for _, p := range []*float64{&e.doubt.Misread, &e.doubt.Unlisted, &e.doubt.Foreign} {
		*p = max(*p, givenUp)
	}
	if list != nil {
		list.unlisted, list.foreign = e.doubt.Unlisted, e.doubt.Foreign
	}
	return e
}

// perMin reports whether moments move with min_press, so that each of its
// points needs a trellis of its own.
func (e *estimator) perMin() bool {
	return e.rig.Camera.ToggleOn == sim.ToggleOnPress && !e.rig.Camera.MinPress.Exact()
}

// weigh computes how likely each pair of thresholds is. It evaluates a few points
// first, then more of them where it found weight.
func (e *estimator) weigh() {
	c := e.rig.Camera
	var leastKnots, longKnots []sim.Micros
	if !c.MinPress.Exact() || !c.LongPress.Exact() {
		leastKnots, longKnots = e.breakpoints()
	}
	leastMatters, longMatters := e.mattersIn(c.MinPress), e.mattersIn(c.LongPress) || e.endsTakes()
	leastPieces, longPieces := e.pieces(
		newAxisGrid(c.MinPress, leastKnots, leastMatters, mostPieces), newAxisGrid(c.LongPress, longKnots, longMatters, mostPieces))
	least := newAxisGrid(c.MinPress, leastKnots, leastMatters, leastPieces/2)
	longs := newAxisGrid(c.LongPress, longKnots, longMatters, longPieces/2)
	if e.seen && leastPieces*longPieces > 1 {
		coarse := func(s axisGrid, pieces int) axisGrid { return s.refined(pieces/3, s.lengthShare) }
		e.weighGrids(coarse(least, leastPieces), coarse(longs, longPieces))
		leastShares, longShares := e.shares()
		nearLeast, nearLong := focused(least, e.mins, leastShares), focused(longs, e.longs, longShares)
		leastPieces, longPieces = e.affordable(leastPieces, longPieces)
		fineLeast := least.refined(leastPieces, nearLeast).points()
		fineLongs := longs.refined(longPieces, nearLong).points()
		least.ruleOut(fineLeast, nearLeast)
		longs.ruleOut(fineLongs, nearLong)
		e.weighPoints(fineLeast, fineLongs)
		return
	}
	e.weighGrids(least.refined(leastPieces, least.lengthShare), longs.refined(longPieces, longs.lengthShare))
}

// affordable reduces the pieces of each threshold to what the work allows, given
// the number of edges for each pair of points. If each point of min_press has a
// trellis of its own, its pieces are few already.
func (e *estimator) affordable(least, longs int) (leastPieces, longPieces int) {
	const work, few = 20_000_000, 6
	t := e.single
	if e.perMin() {
		t = e.kept[0]
	}
	edges := 1
	if t != nil {
		for i := range t.stages {
			edges += len(t.stages[i].common)
		}
	}
	if e.perMin() {
		return least, min(longs, max(few, work/(4*edges*least)))
	}
	most := max(few, int(math.Sqrt(work/4/float64(edges))))
	return min(least, most), min(longs, most)
}

// breakpoints returns the knots of all flights.
func (e *estimator) breakpoints() (least, longs []sim.Micros) {
	for _, f := range e.flights {
		l, g := f.breakpoints()
		least, longs = append(least, l...), append(longs, g...)
	}
	return least, longs
}

// endsTakes reports whether a long press may end a take. The length of its clip
// then depends on long_press itself.
func (e *estimator) endsTakes() bool {
	c := e.rig.Camera
	if e.card == nil || !dependsOnLong(c, long) {
		return false
	}
	for _, f := range e.flights {
		for i := range f.sections[1:] {
			if f.sections[i+1].hold.cdf(float64(c.LongPress.High)) < 1 {
				return true
			}
		}
	}
	return false
}

// mattersIn reports whether any press depends on where in a range a threshold
// lies.
func (e *estimator) mattersIn(r sim.Interval) bool {
	for _, f := range e.flights {
		for i := range f.sections[1:] {
			h := f.sections[i+1].hold
			if h.cdf(float64(r.Low)) != h.cdf(float64(r.High)) {
				return true
			}
		}
	}
	return false
}

// ruleOut marks the points in pieces that have no share. A scale that does not
// matter is one piece, and is never idle.
func (s axisGrid) ruleOut(points []gridPoint, share func(from, to sim.Micros) float64) {
	if !s.matters {
		return
	}
	ends := s.edges()
	for i := range len(ends) - 1 {
		if share(ends[i], ends[i+1]) > 0 {
			continue
		}
		for k := range points {
			p := &points[k]
			p.ruledOut = p.ruledOut || p.low >= ends[i] && p.high <= ends[i+1]
		}
	}
}

// mostPieces limits the pieces of one threshold if the other is known.
const mostPieces = 300

// pieces returns the number of pieces of each threshold.
func (e *estimator) pieces(least, longs axisGrid) (leastPieces, longPieces int) {
	one := min(mostPieces, max(4, e.points/2))
	switch {
	case least.matters && longs.matters:
		both := max(4, min(mostPieces, int(math.Sqrt(float64(e.points)))/2))
		leastPieces, longPieces = both, both
	case least.matters:
		leastPieces, longPieces = one, 1
	case longs.matters:
		leastPieces, longPieces = 1, one
	default:
		return 1, 1
	}
	if e.perMin() && least.matters {
		// Each point of min_press costs a trellis, a larger one with a list.
		most := 14_000
		if e.card != nil {
			most = 9000
		}
		leastPieces = max(4, min(leastPieces, most/(1+e.presses())))
	}
	return leastPieces, longPieces
}

// focused returns a function that shares out points, mostly by weight and partly by
// length.
func focused(s axisGrid, points []gridPoint, weights []float64) func(from, to sim.Micros) float64 {
	return func(from, to sim.Micros) float64 {
		weight := 0.0
		for i, p := range points {
			if p.at >= float64(from) && p.at < float64(to) {
				weight += weights[i]
			}
		}
		if weight < negligible {
			return 0
		}
		return 0.7*weight + 0.3*s.lengthShare(from, to)
	}
}

// weighGrids weighs the points of two scales.
func (e *estimator) weighGrids(least, longs axisGrid) { e.weighPoints(least.points(), longs.points()) }

func (e *estimator) weighPoints(least, longs []gridPoint) {
	e.logWeights(least, longs)
	e.normalise()
}

// logWeights computes the logarithm of the weight of each pair of points.
func (e *estimator) logWeights(least, longs []gridPoint) {
	e.mins, e.longs, e.single, e.kept = least, longs, nil, make([]*trellis, len(least))
	for _, f := range e.flights {
		f.setHoldChances(e.mins, e.longs)
	}
	e.weights = make([][]float64, len(e.mins))
	e.total = math.Inf(-1)
	e.eachTrellis(func(t *trellis, from, to int) {
		p := newForwardBackward(t)
		for a := from; a < to; a++ {
			e.weights[a] = make([]float64, len(e.longs))
			for b := range e.longs {
				e.weights[a][b] = math.Inf(-1)
				if e.mins[a].ruledOut || e.longs[b].ruledOut {
					continue
				}
				w := p.forwardPass(t, &e.model, a, b) + math.Log(e.mins[a].prior*e.longs[b].prior)
				e.weights[a][b] = w
				e.total = max(e.total, w)
			}
		}
	})
}

// normalise turns logarithms of weights into shares.
func (e *estimator) normalise() {
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

// eachTrellis yields the trellis of every range of points of min_press.
func (e *estimator) eachTrellis(yield func(t *trellis, from, to int)) {
	if e.perMin() {
		for a := range e.mins {
			t := e.kept[a]
			if t == nil {
				t = buildTrellis(e.model, a, a+1)
			}
			if len(e.mins)*e.presses() <= keptPresses {
				e.kept[a] = t
			}
			yield(t, a, a+1)
		}
		return
	}
	if e.single == nil {
		e.single = buildTrellis(e.model, 0, len(e.mins))
	}
	yield(e.single, 0, len(e.mins))
}

// keptPresses limits the memory of kept trellises, in presses.
const keptPresses = 60_000

// presses returns the number of presses.
func (e *estimator) presses() int {
	n := 0
	for _, f := range e.flights {
		n += len(f.replay.Presses)
	}
	return n
}

// shares returns how likely each point of each threshold is.
func (e *estimator) shares() (least, longs []float64) {
	least, longs = make([]float64, len(e.mins)), make([]float64, len(e.longs))
	for a, row := range e.weights {
		for b, w := range row {
			least[a] += w
			longs[b] += w
		}
	}
	return least, longs
}

// stillPossible returns the thresholds that are still possible: those in pieces
// at least a hundredth as likely, per length, as the likeliest.
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

// negligible is the weight below which a pair of thresholds is left out of
// sums.
const negligible = 1e-9

// marginals is the result of all histories together, for each flight.
type marginals struct {
	verdicts [][]verdictShares // of each flight and press
	starts   [][]float64       // of each flight and place of its starts
	curves   []curve
	ends     [][]endCamera // of each flight
}

// verdictShares are the chances of the verdicts on a press.
type verdictShares []verdictShare

type verdictShare struct {
	verdict sim.Verdict
	share   float64
}

func (s *verdictShares) add(v sim.Verdict, share float64) {
	for i := range *s {
		if x := &(*s)[i]; x.verdict == v {
			x.share += share
			return
		}
	}
	*s = append(*s, verdictShare{v, share})
}

func (s verdictShares) of(v sim.Verdict) float64 {
	for _, x := range s {
		if x.verdict == v {
			return x.share
		}
	}
	return 0
}

// endCamera is a camera, in finer steps, at a flight's end.
type endCamera struct {
	camera sim.Camera
	chance float64
}

func (e *estimator) newMarginals() *marginals {
	o := &marginals{}
	for _, f := range e.flights {
		o.verdicts = append(o.verdicts, make([]verdictShares, len(f.replay.Presses)))
		o.starts = append(o.starts, make([]float64, len(f.starts)))
		o.curves = append(o.curves, newCurve())
		o.ends = append(o.ends, nil)
	}
	return o
}

// backwardPass sums up all histories.
func (e *estimator) smooth() *marginals {
	o := e.newMarginals()
	e.eachTrellis(func(t *trellis, from, to int) {
		mass := newBranchMarginals(t, len(e.longs))
		p := newForwardBackward(t)
		for a := from; a < to; a++ {
			for b := range e.longs {
				share := e.weights[a][b]
				if share < negligible {
					continue
				}
				p.forwardPass(t, &e.model, a, b)
				p.backwardPass(t, &e.model, a, b, share, mass)
			}
		}
		mass.addTo(t, e, o, e.mins[from])
	})
	return o
}

// masses are the weights of the ways of a trellis.
type branchMarginals struct {
	behaviours []float64
	moving     [][]float64 // of those that move with long_press, at each point of it; nil if none does
	starts     [][]float64 // by step, where a flight begins
	ends       [][]float64 // by step, where it ends: of each node before
}

func newBranchMarginals(t *trellis, longs int) *branchMarginals {
	m := &branchMarginals{
		behaviours: make([]float64, len(t.behaviours)),
		starts:     make([][]float64, len(t.stages)), ends: make([][]float64, len(t.stages)),
	}
	for i, w := range t.behaviours {
		if w.moves {
			if m.moving == nil {
				m.moving = make([][]float64, len(t.behaviours))
			}
			m.moving[i] = make([]float64, longs)
		}
	}
	for i, s := range t.stages {
		if s.section == nil {
			m.ends[i] = make([]float64, s.nodes)
		} else if s.startsFlight {
			m.starts[i] = make([]float64, len(s.flight.starts))
		}
	}
	return m
}

// movingWith returns the weights of a way that moves with long_press, nil for
// another.
func (m *branchMarginals) movingWith(way int32) []float64 {
	if m.moving == nil {
		return nil
	}
	return m.moving[way]
}

// addBranch adds the share of an edge of a step, for a point of long_press.
func (m *branchMarginals) add(s *stage, step, b int, x *branch, share float64) {
	if s.section == nil {
		m.ends[step][x.from] += share
		return
	}
	m.behaviours[x.behaviour] += share
	if moving := m.movingWith(x.behaviour); moving != nil {
		moving[b] += share
	}
	if s.startsFlight {
		m.starts[step][x.outcome] += share
	}
}

// addTo adds the masses to an outcome. Moments that move with min_press are
// spread over the piece of one of its points.
func (m *branchMarginals) addTo(t *trellis, e *estimator, o *marginals, least gridPoint) {
	flight, press := -1, 0
	at := make([]int, len(t.stages)) // the press of each step, by number from 1
	flights := make([]int, len(t.stages))
	for i, s := range t.stages {
		switch {
		case s.startsFlight:
			flight, press = flight+1, 0
			for k, w := range m.starts[i] {
				o.starts[flight][k] += w
			}
		case s.section == nil:
			for n, w := range m.ends[i] {
				o.ends[flight] = append(o.ends[flight], endCamera{s.cameras[n], w})
			}
		default:
			press++
		}
		at[i], flights[i] = press, flight
	}
	for k, w := range t.behaviours {
		share := m.behaviours[k]
		if share == 0 {
			continue
		}
		if n := at[w.stage]; n > 0 {
			verdicts := o.verdicts[flights[w.stage]]
			verdicts[n-1].add(w.verdict, share)
			if w.verdict == sim.VerdictDouble {
				first := n - 2
				for t.stages[w.stage].flight.replay.Presses[first].Down != w.pairStart {
					first--
				}
				verdicts[first].add(sim.VerdictToggle, -share)
				verdicts[first].add(sim.VerdictDouble, share)
			}
		}
		o.curves[flights[w.stage]].addBehaviour(&w, share, m.movingWith(int32(k)), least, e.longs)
	}
}

// addBehaviour adds a way with its weight.
func (c *curve) addBehaviour(w *behaviour, weight float64, byLong []float64, least gridPoint, longs []gridPoint) {
	before := w.lightBefore
	for _, change := range w.changes {
		place := lightIndex(change.state)
		if place == before {
			continue
		}
		switch change.at.axis {
		case fixed:
			shift(c.jumps, change.at.base, before, place, weight)
		case alongMin:
			c.ramp(change.at.base, least, before, place, weight)
		default:
			for b, share := range byLong {
				if share > 0 {
					c.ramp(change.at.base, longs[b], before, place, share)
				}
			}
		}
		before = place
	}
}

// ramp adds a change at a moment that is uniform over the piece of a point.
func (c *curve) ramp(base sim.Micros, p gridPoint, before, place int, weight float64) {
	if p.low == p.high {
		shift(c.jumps, base+p.low, before, place, weight)
		return
	}
	slope := weight / float64(p.high-p.low)
	shift(c.bends, base+p.low, before, place, slope)
	shift(c.bends, base+p.high, before, place, -slope)
}
