package belief

import (
	"math"
	"slices"

	"flicktally/sim"
)

// model is what the likelihood of a history depends on.
type model struct {
	flights     []*sectionedFlight
	doubt       sim.DoubtSpec
	mins, longs []gridPoint // of the two thresholds
	beamWidth   int         // most nodes of a stage; 0 means defaultBeamWidth
	card        *card       // nil if the card was not read
}

// forwardBackward sums over the histories in a trellis for one pair of
// thresholds. Weights are scaled so that long flights do not underflow.
type forwardBackward struct {
	t        *trellis
	forward  [][]float64 // of the nodes of each stage, and of the final node
	backward [2][]float64
	parts    []float64 // of each branch of a stage
}

func newForwardBackward(t *trellis) *forwardBackward {
	p := &forwardBackward{t: t, forward: make([][]float64, len(t.stages)+1)}
	most, all := 1, 1
	for i := range t.stages {
		most, all = max(most, t.stages[i].nodes), all+t.stages[i].nodes
	}
	weights := make([]float64, all)
	for i := range t.stages {
		p.forward[i], weights = weights[:t.stages[i].nodes], weights[t.stages[i].nodes:]
	}
	p.forward[len(t.stages)] = weights
	p.backward = [2][]float64{make([]float64, most), make([]float64, most)}
	return p
}

// rescaleBelow is the sum below which weights are scaled up, and the factor.
const rescaleBelow = 1e-100

// forwardPass weighs all histories for the thresholds at two grid points and
// returns the logarithm of the sum.
func (p *forwardBackward) forwardPass(a, b int) float64 {
	p.forward[0][0] = 1
	scaled := 0
	for i := range p.t.stages {
		s := &p.t.stages[i]
		chances := s.chances(a, b)
		from, to := p.forward[i], p.forward[i+1]
		clear(to)
		for _, branches := range s.branches(b) {
			for k := range branches {
				x := &branches[k]
				to[x.to] += from[x.from] * chances[x.outcome&7] * x.weight
			}
		}
		switch sum := sumOf(to); {
		case sum == 0:
			return math.Inf(-1)
		case sum < rescaleBelow:
			scaled++
			for k := range to {
				to[k] /= rescaleBelow
			}
		}
	}
	return p.t.logFactor + math.Log(p.forward[len(p.t.stages)][0]) + float64(scaled)*math.Log(rescaleBelow)
}

// historyPass weighs one history for the thresholds at two grid points. If holds
// is false, it leaves out the chances of the outcomes.
func (p *forwardBackward) historyPass(h []outcome, a, b int, holds bool) float64 {
	p.forward[0][0] = 1
	log, product := 0.0, 1.0
	for i := range p.t.stages {
		s := &p.t.stages[i]
		if holds {
			product *= s.chances(a, b)[h[i]]
		}
		from, to := p.forward[i], p.forward[i+1]
		clear(to)
		for _, branches := range s.branches(b) {
			for k := range branches {
				if x := &branches[k]; x.outcome == h[i] {
					to[x.to] += from[x.from] * x.weight
				}
			}
		}
		sum := sumOf(to)
		if product *= sum; product == 0 {
			return math.Inf(-1)
		}
		for k := range to {
			to[k] /= sum
		}
		if product < rescaleBelow {
			log, product = log+math.Log(product), 1
		}
	}
	return p.t.logFactor + log + math.Log(product)
}

func sumOf(weights []float64) float64 {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	return sum
}

// backwardPass follows a forwardPass for the same thresholds. It adds to the
// marginals the share of each branch among all histories, times a weight.
func (p *forwardBackward) backwardPass(a, b int, weight float64, m *behaviourShares) {
	after, before := p.backward[0], p.backward[1]
	after[0] = 1
	for i := len(p.t.stages) - 1; i >= 0; i-- {
		s := &p.t.stages[i]
		chances := s.chances(a, b)
		from := p.forward[i]
		clear(before[:s.nodes])
		p.parts = p.parts[:0]
		all := 0.0
		for _, branches := range s.branches(b) {
			for k := range branches {
				x := &branches[k]
				w := chances[x.outcome&7] * x.weight * after[x.to]
				before[x.from] += w
				part := from[x.from] * w
				p.parts = append(p.parts, part)
				all += part
			}
		}
		parts, scale := p.parts, weight/all
		for _, branches := range s.branches(b) {
			for k := range branches {
				m.add(branches[k].behaviour, b, parts[k]*scale)
			}
			parts = parts[len(branches):]
		}
		top := slices.Max(before[:s.nodes])
		for k := range before[:s.nodes] {
			before[k] /= top
		}
		after, before = before, after
	}
}
