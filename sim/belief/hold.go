package belief

import "flicktally/sim"

// holdDistribution is what is known of the hold of a press, in µs: the logged hold, and
// how much earlier each of its edges may have come, uniformly distributed
// (M11).
type holdDistribution struct{ logged, down, up float64 }

// newHoldDistribution returns the spread of a press. If the edges are exact or the press
// is not released yet, the hold is what the log says.
func newHoldDistribution(p sim.Press, end sim.Micros, sampled bool) holdDistribution {
	if p.Open() {
		return holdDistribution{logged: float64(end - p.Down)}
	}
	s := holdDistribution{logged: float64(p.Hold())}
	if sampled && !p.FromStart {
		s.down, s.up = unseen(p.DownUnseen), unseen(p.UpUnseen)
	}
	return s
}

// unseen ignores the microsecond between two samples of a capture that sees
// every change.
func unseen(m sim.Micros) float64 {
	if m <= sim.Microsecond {
		return 0
	}
	return float64(m)
}

func (s holdDistribution) shortest() float64 { return s.logged - s.up }
func (s holdDistribution) longest() float64  { return s.logged + s.down }

// shortAt returns the chance that the hold was less than a threshold: the
// distribution of a difference of two uniform numbers.
func (s holdDistribution) cdf(threshold float64) float64 {
	past := threshold - s.logged
	switch {
	case past > s.down || past >= s.down && s.down > 0:
		return 1
	case past <= -s.up:
		return 0
	case s.up == 0:
		return past / s.down
	case s.down == 0:
		return (past + s.up) / s.up
	}
	half := func(x float64) float64 { return max(0, x) * max(0, x) / 2 }
	return (half(past+s.up) - half(past) - half(past+s.up-s.down)) / (s.down * s.up)
}

// breakpoints returns the thresholds between which below is one polynomial.
func (s holdDistribution) breakpoints() [4]float64 {
	return [4]float64{s.shortest(), s.logged, s.longest(), s.logged + s.down - s.up}
}
