package odds

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"flicktally/sim"
)

// widths is how long a press is, as a distribution. A press of no length is
// none.
type widths interface {
	// atLeast returns the chance that the press is at least c long, averaged over
	// all c from one length to another. They may be equal.
	atLeast(from, to float64) float64
	// levels returns that chance as it varies over an interval of c: values with
	// their shares of the interval.
	levels(interval sim.Interval) []level
}

// level is a chance that holds for a share of what is not known.
type level struct{ chance, share float64 }

// normal is a normally distributed width; what is below cut is no press.
type normal struct{ mean, sd, cut float64 }

func (n normal) atLeast(from, to float64) float64 {
	if from == to {
		return n.above(max(from, n.cut))
	}
	flat := max(from, min(n.cut, to))
	level := (flat - from) * n.above(n.cut)
	return (level + n.excess(flat) - n.excess(to)) / (to - from)
}

// above returns P(X ≥ c) of the normal distribution.
func (n normal) above(c float64) float64 {
	return math.Erfc((c-n.mean)/n.sd/math.Sqrt2) / 2
}

// excess returns E[max(X−c, 0)] of the normal distribution:
// (μ−c)·Φ((μ−c)/σ) + σ·φ((μ−c)/σ), by parts.
func (n normal) excess(c float64) float64 {
	z := (n.mean - c) / n.sd
	return (n.mean-c)*n.above(c) + n.sd*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi)
}

// levels takes Gauss-Legendre nodes between places that lie closer where the
// chance changes fast.
func (n normal) levels(interval sim.Interval) []level {
	low, high := float64(interval.Low), float64(interval.High)
	if low == high {
		return []level{{n.atLeast(low, low), 1}}
	}
	const nodes = 8
	cuts := []float64{low, high}
	for _, z := range []float64{-8, -4, -2, -1, 0, 1, 2, 4, 8} {
		if c := n.mean + z*n.sd; c > low && c < high {
			cuts = append(cuts, c)
		}
	}
	if n.cut > low && n.cut < high {
		cuts = append(cuts, n.cut)
	}
	slices.Sort(cuts)
	var all []level
	var x, weight [nodes]float64
	for i := 1; i < len(cuts); i++ {
		quad.Legendre{}.FixedLocations(x[:], weight[:], cuts[i-1], cuts[i])
		for j := range x {
			all = append(all, level{n.atLeast(x[j], x[j]), weight[j] / (high - low)})
		}
	}
	return all
}

// lattice is a width that is a whole number of steps.
type lattice struct {
	step float64
	mass []float64 // chance of each number of steps, from 0 on
	// above and moment are Σ mass and Σ k·mass over k and up.
	above, moment []float64
}

// newLattice takes the chances of 1, 2, … steps from mass; that of none is the
// rest.
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

// pulse is a press of a fixed width that happens with a chance.
func pulse(width sim.Micros, chance float64) lattice {
	return newLattice(float64(width), []float64{0, chance})
}

// steps returns the least number of steps that are at least c long.
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

func (l lattice) levels(interval sim.Interval) []level {
	low, high := float64(interval.Low), float64(interval.High)
	if low == high {
		return []level{{l.atLeast(low, low), 1}}
	}
	var all []level
	for k := l.steps(low); low < high; k++ {
		to := high
		if k < len(l.mass) {
			to = min(high, float64(k)*l.step)
		}
		if to > low {
			all = append(all, level{l.above[min(k, len(l.mass))], (to - low) / float64(interval.High-interval.Low)})
		}
		low = to
	}
	return all
}

// negligible is what a chance may be left out at.
const negligible = 1e-15

// sampled is the width as seen by looking at it every period, at a phase that is
// uniform over the period. At least q looks of a press of width w come with
// chance clamp(w/T − q + 1, 0, 1), which is the chance that w reaches a length
// uniform on (q−1)·T to q·T.
func sampled(w widths, period float64) lattice {
	atLeast := func(q int) float64 { return w.atLeast(float64(q-1)*period, float64(q)*period) }
	sure := 1 // this many looks are sure
	if n, ok := w.(normal); ok {
		sure = max(1, int((n.mean-9*n.sd)/period))
	}
	mass := make([]float64, sure)
	for q, chance := sure, atLeast(sure); chance > negligible; q++ {
		next := atLeast(q + 1)
		mass = append(mass, max(0, chance-next))
		chance = next
	}
	return newLattice(period, mass)
}

// lossy is what arrives of presses that last whole numbers of frames when each
// frame is lost with chance loss: the press begins with its first frame that
// arrives, and ends with the first after it that arrives. Of n frames, it is at
// least k frames long with chance
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
		above[k] = frames.above[min(k+late, most+1)] // so many more frames are sure to do
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

// lateFrames is how many frames in a row are never lost.
func lateFrames(loss float64) int {
	if loss == 0 {
		return 0
	}
	return int(math.Ceil(math.Log(negligible) / math.Log(loss)))
}

// longerThan leaves presses out that are not longer than a settling time.
func longerThan(w widths, settle float64) widths {
	switch w := w.(type) {
	case normal:
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
