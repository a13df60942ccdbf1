package fit

import "flicktally/sim"

// Proposal is the hold that the next trial should have.
type Proposal struct {
	Hold sim.Micros
	For  ThresholdName
	Why  string // in a few words, for the person at the bench
}

// ThresholdName is the rig file's name of a threshold.
type ThresholdName string

// The two thresholds.
const (
	NameMinPress  ThresholdName = "min_press"
	NameLongPress ThresholdName = "long_press"
)

// Where the search for a threshold begins, if no trial tells anything: holds
// that hardly any button ignores, and that are long for most.
const (
	firstMinHold  = 200 * sim.Millisecond
	firstLongHold = 2 * sim.Second
)

// LongestHold is the longest hold that is proposed. If even that is not long,
// the camera has hardly a long press at all.
const LongestHold = 20 * sim.Second

// Next proposes the most informative hold until both thresholds are known to
// the wanted width; more is false when they are, or when no hold can tell more.
//
// Without an overlap a trial in the middle of the bracket halves it whatever it
// does: one bit, more than any other hold tells if the threshold may be anywhere
// in it with the same chance. With one, the hold is that after which the
// standard error of the threshold is expected to be smallest.
func (w Window) Next(width sim.Micros) (p Proposal, more bool) {
	lower, upper := w.MinPress, w.LongPress
	switch {
	case lower.Width() > width:
		p, more = lower.next(firstMinHold, w.Options.Shape)
		p.For = NameMinPress
	case upper.Width() > width:
		// A hold that does nothing would tell nothing about long_press.
		upper.Range.Low = max(upper.Range.Low, lower.Range.High)
		p, more = upper.next(firstLongHold, w.Options.Shape)
		p.For = NameLongPress
	}
	return p, more
}

// next proposes a hold for one threshold.
func (t Threshold) next(first sim.Micros, shape Shape) (Proposal, bool) {
	switch {
	case t.Curve != nil:
		return Proposal{Hold: t.sharpest(), Why: "outcomes overlap here; this hold narrows the estimate most"}, true
	case t.Open() && t.Range.Low >= LongestHold:
		return Proposal{}, false
	case t.Open():
		return Proposal{Hold: min(LongestHold, max(first, 2*t.Range.Low)), Why: "not reached yet; a longer hold"}, true
	case t.Range.High-t.Range.Low <= sim.Microsecond:
		return Proposal{}, false
	default:
		return Proposal{Hold: t.Range.Middle(), Why: "the middle of what is open"}, true
	}
}

// sharpest returns the hold after which the threshold's standard error is
// smallest, within the reach of the trials.
func (t Threshold) sharpest() sim.Micros {
	const steps = 200
	c := t.Curve
	at, _ := c.Threshold()
	low, high := c.doses[0].At, c.doses[len(c.doses)-1].At
	best, bestVariance := at, c.varianceAfter(at)
	for i := range steps + 1 {
		x := low + (high-low)*float64(i)/steps
		if v := c.varianceAfter(x); v < bestVariance {
			best, bestVariance = x, v
		}
	}
	return micros(max(0, best))
}

// varianceAfter returns the variance of the threshold, up to a factor, after one
// more trial at x: the covariance less what the trial's information takes away
// (Sherman and Morrison's formula).
func (c *Curve) varianceAfter(x float64) float64 {
	at, _ := c.Threshold()
	along := func(u, v [2]float64) float64 {
		m := c.Covariance
		return u[0]*(m[0][0]*v[0]+m[0][1]*v[1]) + u[1]*(m[1][0]*v[0]+m[1][1]*v[1])
	}
	trial, threshold := [2]float64{1, x}, [2]float64{1, at}
	weight := c.Shape.information(c.Intercept + c.Slope*x)
	shared := along(trial, threshold)
	return along(threshold, threshold) - weight*shared*shared/(1+weight*along(trial, trial))
}
