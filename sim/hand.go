package sim

import "math"

// LeastHold is about the shortest press that a hand makes: one cycle of the
// motor system, 70 ms. Source: Card, Moran and Newell, The Psychology of
// Human-Computer Interaction (1983), quoted second-hand.
const LeastHold = 70 * Millisecond

// MiddleHold returns the hold in the middle of the press window, wherever in
// their ranges the thresholds lie: as many times longer than the lower one as it
// is shorter than the upper one, rounded down to 10 ms where that leaves more
// than that.
func (c CameraSpec) MiddleHold() Micros {
	const step = 10 * Millisecond
	low, high := max(1, c.MinPress.High), c.LongPress.Low-1
	hold := Micros(math.Sqrt(float64(low) * float64(high)))
	if hold > 2*step {
		hold = hold / step * step
	}
	return hold
}
