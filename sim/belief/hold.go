package belief

import "flicktally/sim"

// holdDistribution is the distribution of the hold of a press, in µs: the logged
// hold, each of whose edges may have come earlier, uniformly up to a limit (M11).
type holdDistribution struct{ logged, down, up float64 }

// newHoldDistribution returns the distribution for a press. If its edges are
// exact or it is not released yet, the hold is what the log says.
func newHoldDistribution(p sim.Press, end sim.Micros, sampled bool) holdDistribution {
	if p.Open() {
		return holdDistribution{logged: float64(end - p.Down)}
	}
	h := holdDistribution{logged: float64(p.Hold())}
	if sampled && !p.FromStart {
		h.down, h.up = unseen(p.DownUnseen), unseen(p.UpUnseen)
	}
	return h
}

// unseen ignores the microsecond between two samples of a capture that sees
// every change.
func unseen(m sim.Micros) float64 {
	if m <= sim.Microsecond {
		return 0
	}
	return float64(m)
}

// cdf returns the chance that the hold was less than a threshold: the
// distribution of a difference of two uniform numbers.
func (h holdDistribution) cdf(threshold float64) float64 {
	past := threshold - h.logged
	switch {
	case past > h.down || past >= h.down && h.down > 0:
		return 1
	case past <= -h.up:
		return 0
	case h.up == 0:
		return past / h.down
	case h.down == 0:
		return (past + h.up) / h.up
	}
	half := func(x float64) float64 { return max(0, x) * max(0, x) / 2 }
	return (half(past+h.up) - half(past) - half(past+h.up-h.down)) / (h.down * h.up)
}

// breakpoints returns the thresholds between which the cdf is one polynomial.
func (h holdDistribution) breakpoints() [4]float64 {
	return [4]float64{h.logged - h.up, h.logged, h.logged + h.down, h.logged + h.down - h.up}
}
