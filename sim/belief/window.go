package belief

import "flicktally/sim"

// Window returns thresholds that lead to the cell's course of events, in the
// middle of its bounds.
func (c Cell) Window() sim.Window {
	return sim.Window{MinPress: middleOf(c.MinPress), LongPress: middleOf(c.LongPress)}
}

// middleOf returns the middle of the bounds of a threshold, in whole µs. One
// between two whole µs is judged like the later one, so the low bound of a range
// is not part of it.
func middleOf(bounds sim.Interval) sim.Micros {
	if bounds.Exact() {
		return bounds.Low
	}
	return max(bounds.Low+1, bounds.Middle())
}
