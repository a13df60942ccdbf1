package odds

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// widths is the distribution of a press's length: [normals], or a [lattice]
// once sampled. A press of length zero does not exist.
type widths interface {
	// atLeast returns the chance that the press is at least c long, averaged over
	// all c from one length to another. They may be equal.
	atLeast(from, to float64) float64
	// pieces divides a range of c into pieces over which that chance is smooth,
	// and returns how many nodes it takes to average it over one.
	pieces(from, to float64) (cuts []float64, nodes int)
}

// level is a chance that applies with a share of the possible thresholds.
type level struct{ chance, share float64 }

// levels returns the chance that the press reaches a threshold at each level
// over the threshold's range.
func levels(w widths, threshold sim.Interval) []level {
	low, high := reachable(threshold)
	if low == high {
		return []level{{w.atLeast(low, low), 1}}
	}
	cuts, nodes := w.pieces(low, high)
	x, weight := make([]float64, nodes), make([]float64, nodes)
	var all []level
	for i := 1; i < len(cuts); i++ {
		quad.Legendre{}.FixedLocations(x, weight, cuts[i-1], cuts[i])
		for j := range x {
			all = append(all, level{w.atLeast(x[j], x[j]), weight[j] / (high - low)})
		}
	}
	return all
}

// reachable returns the range of a threshold for presses, which last at least 1
// µs.
func reachable(threshold sim.Interval) (low, high float64) {
	return max(1, float64(threshold.Low)), max(1, float64(threshold.High))
}

// normals is a mixture of normal distributions; what is below cut is no press.
type normals struct {
	parts []normal
	cut   float64
}

type normal struct {
	stat.Normal
	share float64
}

func (n normals) atLeast(from, to float64) (chance float64) {
	for _, part := range n.parts {
		if from == to {
			chance += part.share * part.AtLeast(max(from, n.cut))
			continue
		}
		flat := max(from, min(n.cut, to))
		level := (flat - from) * part.AtLeast(n.cut)
		chance += part.share * (level + part.Excess(flat) - part.Excess(to)) / (to - from)
	}
	return chance
}

// pieces are smaller where the chance changes fast.
func (n normals) pieces(from, to float64) (cuts []float64, nodes int) {
	inner := []float64{n.cut}
	for _, part := range n.parts {
		for _, z := range []float64{-8, -4, -2, -1, 0, 1, 2, 4, 8} {
			inner = append(inner, part.Mean+z*part.SD)
		}
	}
	return cutAt(from, to, inner), 8
}

// cutAt returns the ends of a range and the cuts between them, in order.
func cutAt(from, to float64, inner []float64) []float64 {
	cuts := []float64{from, to}
	for _, c := range inner {
		cuts = append(cuts, min(max(c, from), to))
	}
	slices.Sort(cuts)
	return slices.Compact(cuts)
}

// lattice is a distribution of whole numbers of steps.
type lattice struct {
	step float64
	mass []float64 // chance of each number of steps, from 0 on
	// above and moment are Σ mass and Σ k·mass over k and up.
	above, moment []float64
}

// newLattice takes the chances of 1, 2, … steps from mass; the rest is the
// chance of no press.
func newLattice(step float64, mass []float64) lattice {
	n := len(mass)
	l := lattice{step, mass, make([]float64, n+1), make([]float64, n+1)}
	for k := n - 1; k >= 1; k-- {
		l.above[k] = l.above[k+1] + mass[k]
		l.moment[k] = l.moment[k+1] + float64(k)*mass[k]
	}
	l.mass[0] = max(0, 1-l.above[1])
	l.above[0], l.moment[0] = 1, l.moment[1]
	return l
}

// pulse is a press of a fixed width that happens with the given chance.
func pulse(width sim.Micros, chance float64) lattice {
	return newLattice(float64(width), []float64{0, chance})
}

// steps returns the smallest number of steps at least c long.
func (l lattice) steps(c float64) int {
	return int(min(math.Ceil(c/l.step), float64(len(l.mass))))
}

func (l lattice) atLeast(from, to float64) float64 {
	if from == to {
		return l.above[l.steps(from)]
	}
	return (l.excess(from) - l.excess(to)) / (to - from)
}

// excess returns E[max(W−c, 0)].
func (l lattice) excess(c float64) float64 {
	k := l.steps(c)
	return l.step*l.moment[k] - c*l.above[k]
}

// pieces are the steps: the chance is constant over each.
func (l lattice) pieces(from, to float64) (cuts []float64, nodes int) {
	var inner []float64
	for k := range l.steps(to) {
		inner = append(inner, float64(k)*l.step)
	}
	return cutAt(from, to, inner), 1
}

// mixed returns the mixture of w, with chance 1 − share, and other, with chance
// share. Both are of the same kind, lattices with the same step.
func mixed(w, other widths, share float64) widths {
	switch w := w.(type) {
	case normals:
		return w.mixed(other.(normals), share)
	case lattice:
		return w.mixed(other.(lattice), share)
	default:
		panic("internal error: a distribution of widths of another kind")
	}
}

func (n normals) mixed(other normals, share float64) normals {
	all := normals{cut: n.cut}
	for _, part := range n.parts {
		part.share *= 1 - share
		all.parts = append(all.parts, part)
	}
	for _, part := range other.parts {
		part.share *= share
		all.parts = append(all.parts, part)
	}
	return all
}

func (l lattice) mixed(other lattice, share float64) lattice {
	mass := make([]float64, max(len(l.mass), len(other.mass)))
	for k, p := range l.mass {
		mass[k] = (1 - share) * p
	}
	for k, p := range other.mass {
		mass[k] += share * p
	}
	return newLattice(l.step, mass)
}

// negligible is the chance below which an outcome is left out.
const negligible = 1e-15

// sampled returns the apparent width when sampled every period, at a phase uniform
// over the period. A press of width w is sampled at least q times with chance
// clamp(w/T − q + 1, 0, 1), which is the chance that w reaches a length uniform
// on (q−1)·T to q·T.
func sampled(w widths, period float64) lattice {
	atLeast := func(q int) float64 { return w.atLeast(float64(q-1)*period, float64(q)*period) }
	mass := []float64{0}
	for q, chance := 1, atLeast(1); chance > negligible; q++ {
		next := atLeast(q + 1)
		mass = append(mass, max(0, chance-next))
		chance = next
	}
	return newLattice(period, mass)
}

// lossy returns what arrives of presses of whole numbers of frames if each frame is
// lost with chance loss: a press starts with its first frame that arrives, and ends
// with the first frame after it that arrives. A press of n frames
// arrives at least k frames long with chance
//
//	k ≤ n:  1 − l^(n−k+1) + l^(n−k+2)·(1 − l^(2k−2))/(1+l)
//	k > n:  l^(k−n)·(1 − l^(2n))/(1+l)
//
// for a first that arrives i < n frames late, and an end j frames late: the sum
// of (1−l)·l^i · l^max(0, k−n+i) over i.
func lossy(frames lattice, loss float64) lattice {
	if loss == 0 {
		return frames
	}
	most := len(frames.mass) - 1
	late := lateFrames(loss)
	power := make([]float64, 2*late+2)
	for i := range power {
		power[i] = math.Pow(loss, float64(i))
	}
	to := func(i int) float64 {
		if i < len(power) {
			return power[i]
		}
		return 0
	}
	above := make([]float64, most+late+2)
	for k := range above {
		above[k] = frames.above[min(k+late, most+1)] // this many more frames are sure to suffice
	}
	for n := 1; n <= most; n++ {
		chance := frames.mass[n]
		if chance < negligible {
			continue
		}
		for k := max(1, n-late+1); k <= n+late; k++ {
			if k <= n {
				above[k] += chance * (1 - to(n-k+1) + to(n-k+2)*(1-to(2*k-2))/(1+loss))
			} else {
				above[k] += chance * to(k-n) * (1 - to(2*n)) / (1 + loss)
			}
		}
	}
	mass := make([]float64, len(above)-1)
	for k := 1; k < len(mass); k++ {
		mass[k] = max(0, above[k]-above[k+1])
	}
	return newLattice(frames.step, mass)
}

// lateFrames returns the number of frames in a row that are practically never all
// lost.
func lateFrames(loss float64) int {
	if loss == 0 {
		return 0
	}
	return int(math.Ceil(math.Log(negligible) / math.Log(loss)))
}

// longerThan returns the widths of the presses that are longer than a settling time.
func longerThan(w widths, settle float64) widths {
	switch w := w.(type) {
	case normals:
		w.cut = max(w.cut, settle+1)
		return w
	case lattice:
		kept := slices.Clone(w.mass)
		for k := range kept {
			if float64(k)*w.step <= settle {
				kept[k] = 0
			}
		}
		return newLattice(w.step, kept)
	default:
		panic("internal error: a distribution of widths of another kind")
	}
}
