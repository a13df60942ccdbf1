package belief

import (
	"math"

	"flicktally/sim"
)

// model is what is known of the flights before their histories are weighed.
type model struct {
	flights     []*sectionedFlight
	doubt       sim.DoubtSpec
	mins, longs []gridPoint
	beamWidth   int   // most nodes of a section; 0 is mostNodes
	card        *card // nil if the card was not read
}

// forwardBackward holds the weights of nodes at every step for one pair of thresholds,
// scaled so that long flights do not underflow.
type forwardBackward struct {
	forward       [][]float64
	after, before []float64
	parts         []float64 // of each edge of a step
}

func newForwardBackward(t *trellis) *forwardBackward {
	p := &forwardBackward{forward: make([][]float64, 0, len(t.stages)+1)}
	most, all := 1, 1
	for i := range t.stages {
		most, all = max(most, t.stages[i].nodes), all+t.stages[i].nodes
	}
	weights := make([]float64, all)
	for i := range t.stages {
		p.forward = append(p.forward, weights[:t.stages[i].nodes])
		weights = weights[t.stages[i].nodes:]
	}
	p.forward = append(p.forward, weights)
	p.after, p.before = make([]float64, most), make([]float64, most)
	return p
}

// rescaleBelow is the sum below which weights are scaled up, and the factor.
const rescaleBelow = 1e-100

// forwardPass weighs all histories for one pair of thresholds and returns the logarithm of
// the sum.
func (p *forwardBackward) forwardPass(t *trellis, e *model, a, b int) float64 {
	p.forward[0][0] = 1
	scaled := 0
	for i := range t.stages {
		s := &t.stages[i]
		chances := s.chances(a, b, e.doubt.Ignored)
		from, to := p.forward[i], p.forward[i+1]
		clear(to)
		for _, edges := range s.branches(b) {
			for k := range edges {
				x := &edges[k]
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
	return t.logFactor + math.Log(p.forward[len(t.stages)][0]) + float64(scaled)*math.Log(rescaleBelow)
}

// historyPass weighs one history for one pair of thresholds. If holds is false, it
// leaves out the chances that come from the lengths of the presses.
func (p *forwardBackward) historyPass(t *trellis, e *model, c []outcome, a, b int, holds bool) float64 {
	p.forward[0][0] = 1
	log, product := 0.0, 1.0
	for i := range t.stages {
		s := &t.stages[i]
		if holds {
			product *= s.chances(a, b, e.doubt.Ignored)[c[i]]
		}
		from, to := p.forward[i], p.forward[i+1]
		clear(to)
		for _, edges := range s.branches(b) {
			for k := range edges {
				if x := &edges[k]; x.outcome == c[i] {
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
	return t.logFactor + log + math.Log(product)
}

func sumOf(weights []float64) float64 {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	return sum
}

// allCertain gives every outcome the chance 1.
var allCertain = &[8]float64{1, 1, 1, 1, 1, 1, 1, 1}

// chances returns the chance of each outcome in the step, apart from what is
// already in the weights of its edges.
func (s *stage) chances(a, b int, ignore float64) *[8]float64 {
	if s.fixed {
		return allCertain
	}
	chances := s.section.chances(a, b, ignore)
	return &chances
}

// backwardPass goes backwards over the weights that run left. It adds to the masses the
// share of each edge among all histories, times a weight.
func (p *forwardBackward) backwardPass(t *trellis, e *model, a, b int, weight float64, m *branchMarginals) {
	after, before := p.after, p.before
	after[0] = 1
	for i := len(t.stages) - 1; i >= 0; i-- {
		s := &t.stages[i]
		chances := s.chances(a, b, e.doubt.Ignored)
		from := p.forward[i]
		clear(before[:s.nodes])
		p.parts = p.parts[:0]
		all, top := 0.0, 0.0
		for _, edges := range s.branches(b) {
			for k := range edges {
				x := &edges[k]
				w := chances[x.outcome&7] * x.weight * after[x.to]
				before[x.from] += w
				part := from[x.from] * w
				p.parts = append(p.parts, part)
				all += part
			}
		}
		parts, scale := p.parts, weight/all
		for _, edges := range s.branches(b) {
			for k := range edges {
				m.add(s, i, b, &edges[k], parts[k]*scale)
			}
			parts = parts[len(edges):]
		}
		for _, w := range before[:s.nodes] {
			top = max(top, w)
		}
		for k := range before[:s.nodes] {
			before[k] /= top
		}
		after, before = before, after
	}
}
