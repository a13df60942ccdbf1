package belief

import (
	"math"

	"flicktally/sim"
)

// evidence is what is known of the flights before their courses are weighed.
type evidence struct {
	plans        []*flightPlan
	doubt        sim.DoubtSpec
	least, longs []point
	widest       int   // most nodes of a section; 0 is mostNodes
	card         *card // nil if the card was not read
}

// passes holds the weights of nodes at every step for one pair of thresholds,
// scaled so that long flights do not underflow.
type passes struct {
	forward       [][]float64
	after, before []float64
	parts         []float64 // of each edge of a step
}

func newPasses(t *trellis) *passes {
	p := &passes{forward: make([][]float64, 0, len(t.steps)+1)}
	most, all := 1, 1
	for i := range t.steps {
		most, all = max(most, t.steps[i].nodes), all+t.steps[i].nodes
	}
	weights := make([]float64, all)
	for i := range t.steps {
		p.forward = append(p.forward, weights[:t.steps[i].nodes])
		weights = weights[t.steps[i].nodes:]
	}
	p.forward = append(p.forward, weights)
	p.after, p.before = make([]float64, most), make([]float64, most)
	return p
}

// sinking is the sum below which weights are scaled up, and the factor.
const sinking = 1e-100

// run weighs all courses for one pair of thresholds and returns the logarithm of
// the sum.
func (p *passes) run(t *trellis, e *evidence, a, b int) float64 {
	p.forward[0][0] = 1
	scaled := 0
	for i := range t.steps {
		s := &t.steps[i]
		chances := s.chances(a, b, e.doubt.Ignored)
		from, to := p.forward[i], p.forward[i+1]
		clear(to)
		for _, edges := range s.edges(b) {
			for k := range edges {
				x := &edges[k]
				to[x.to] += from[x.from] * chances[x.fate&7] * x.weight
			}
		}
		switch sum := sumOf(to); {
		case sum == 0:
			return math.Inf(-1)
		case sum < sinking:
			scaled++
			for k := range to {
				to[k] /= sinking
			}
		}
	}
	return t.log + math.Log(p.forward[len(t.steps)][0]) + float64(scaled)*math.Log(sinking)
}

// runCourse weighs one course for one pair of thresholds. If holds is false, it
// leaves out the chances that come from the lengths of the presses.
func (p *passes) runCourse(t *trellis, e *evidence, c []fate, a, b int, holds bool) float64 {
	p.forward[0][0] = 1
	log, product := 0.0, 1.0
	for i := range t.steps {
		s := &t.steps[i]
		if holds {
			product *= s.chances(a, b, e.doubt.Ignored)[c[i]]
		}
		from, to := p.forward[i], p.forward[i+1]
		clear(to)
		for _, edges := range s.edges(b) {
			for k := range edges {
				if x := &edges[k]; x.fate == c[i] {
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
		if product < sinking {
			log, product = log+math.Log(product), 1
		}
	}
	return t.log + log + math.Log(product)
}

func sumOf(weights []float64) float64 {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	return sum
}

// certainly gives every fate the chance 1.
var certainly = &[8]float64{1, 1, 1, 1, 1, 1, 1, 1}

// chances returns the chance of each fate in the step, apart from what is
// already in the weights of its edges.
func (s *step) chances(a, b int, ignore float64) *[8]float64 {
	if s.steady {
		return certainly
	}
	chances := s.at.chances(a, b, ignore)
	return &chances
}

// smooth goes backwards over the weights that run left. It adds to the masses the
// share of each edge among all courses, times a weight.
func (p *passes) smooth(t *trellis, e *evidence, a, b int, weight float64, m *masses) {
	after, before := p.after, p.before
	after[0] = 1
	for i := len(t.steps) - 1; i >= 0; i-- {
		s := &t.steps[i]
		chances := s.chances(a, b, e.doubt.Ignored)
		from := p.forward[i]
		clear(before[:s.nodes])
		p.parts = p.parts[:0]
		all, top := 0.0, 0.0
		for _, edges := range s.edges(b) {
			for k := range edges {
				x := &edges[k]
				w := chances[x.fate&7] * x.weight * after[x.to]
				before[x.from] += w
				part := from[x.from] * w
				p.parts = append(p.parts, part)
				all += part
			}
		}
		parts, scale := p.parts, weight/all
		for _, edges := range s.edges(b) {
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
