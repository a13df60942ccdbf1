package belief

import (
	"math"

	"flicktally/sim"
)

// evidence is what is known of some flights before their courses are weighed.
type evidence struct {
	plans        []*flightPlan
	doubt        sim.DoubtSpec
	least, longs []point
	card         *card // nil where the card was not read
}

// passes holds the weights of nodes at every step, for one pair of thresholds.
// They are scaled, so that long flights do not sink below what a float holds.
type passes struct {
	forward [][]float64
	edges   []float64
}

func newPasses(t *trellis) *passes {
	p := &passes{}
	for i := range t.steps {
		p.forward = append(p.forward, make([]float64, t.steps[i].nodes))
	}
	p.forward = append(p.forward, make([]float64, 1))
	return p
}

// sinking is the sum below which weights are scaled up, by as much.
const sinking = 1e-100

// run weighs all courses with thresholds at two points, and returns the
// logarithm of the sum. Where a course is given, it alone is weighed; where
// free, without what chance makes of its presses.
func (p *passes) run(t *trellis, e *evidence, a, b int, only []fate, free bool) float64 {
	p.forward[0][0] = 1
	scaled := 0
	for i := range t.steps {
		s := &t.steps[i]
		chances := s.chances(a, b, e.doubt.Ignored)
		if free {
			chances = certainly
		}
		from, to := p.forward[i], p.forward[i+1]
		clear(to)
		for _, edges := range s.edges(b) {
			for k := range edges {
				x := &edges[k]
				if only == nil || only[i] == x.fate {
					to[x.to] += from[x.from] * chances[x.fate] * x.weight
				}
			}
		}
		sum := 0.0
		for _, w := range to {
			sum += w
		}
		if sum < sinking {
			if sum == 0 {
				return math.Inf(-1)
			}
			scaled++
			for k := range to {
				to[k] /= sinking
			}
		}
	}
	return math.Log(p.forward[len(t.steps)][0]) + float64(scaled)*math.Log(sinking)
}

// certainly is the chance of each fate where all happen.
var certainly = [fates]float64{1, 1, 1, 1, 1, 1, 1}

// chances returns the chance of each fate in the step.
func (s *step) chances(a, b int, ignore float64) [fates]float64 {
	if s.at == nil || s.begins {
		return certainly
	}
	return s.at.chances(a, b, ignore)
}

// smooth goes back over what run has weighed, and tells the share of each edge
// among all courses.
func (p *passes) smooth(t *trellis, e *evidence, a, b int, yield func(step int, x *edge, share float64)) {
	after := []float64{1}
	for i := len(t.steps) - 1; i >= 0; i-- {
		s := &t.steps[i]
		chances := s.chances(a, b, e.doubt.Ignored)
		from := p.forward[i]
		before := make([]float64, s.nodes)
		all, top := 0.0, 0.0
		for _, edges := range s.edges(b) {
			for k := range edges {
				x := &edges[k]
				w := chances[x.fate] * x.weight * after[x.to]
				before[x.from] += w
				all += from[x.from] * w
			}
		}
		for _, edges := range s.edges(b) {
			for k := range edges {
				x := &edges[k]
				yield(i, x, from[x.from]*chances[x.fate]*x.weight*after[x.to]/all)
			}
		}
		for _, w := range before {
			top = max(top, w)
		}
		for k := range before {
			before[k] /= top
		}
		after = before
	}
}
