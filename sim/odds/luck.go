package odds

import "flicktally/sim"

// luck is the chance of one block of flicks. Each thing that chance decides has a
// source of its own, so that flick i of a block is the same flick whatever the
// rig.
type luck struct {
	holds, frames, losses, refreshes, windows, bounces source
}

// lucks is how many sources a luck has.
const lucks = 6

// newLuck seeds the sources of a block from its stretch of the one sequence of
// words that the seed begins.
func newLuck(seed, block uint64) luck {
	words := splitMix(seed + block*lucks*sourceWords*golden)
	return luck{words.source(), words.source(), words.source(), words.source(), words.source(), words.source()}
}

// batch is how many flicks are carried at a time: few enough to stay in the
// processor's nearest memory, enough to make up for what begins with each.
const batch = 256

// column has a time for each flick of a batch.
type column [batch]sim.Micros

// windows are the press windows of a batch of flicks, in whole µs. A press lasts
// 1 µs at least, so no threshold is lower.
type windows struct{ minPress, longPress column }

// draw draws a window for each of n flicks.
func (w *windows) draw(c sim.CameraSpec, s *source, n int) {
	thresholds(c.MinPress, s, w.minPress[:n])
	thresholds(c.LongPress, s, w.longPress[:n])
}

// thresholds draws thresholds: each is a real number, uniform on its range (M9).
// Holds are whole µs, so the next whole µs stands for it.
func thresholds(within sim.Interval, s *source, all []sim.Micros) {
	if within.Exact() {
		fill(all, within.Low)
		return
	}
	now := *s
	for i := range all {
		var u uint64
		u, now = now.next()
		all[i] = within.Low + 1 + below(within.High-within.Low, u)
	}
	*s = now
}

func fill(thresholds []sim.Micros, with sim.Micros) {
	for i := range thresholds {
		thresholds[i] = max(1, with)
	}
}

// fix gives n flicks one window.
func (w *windows) fix(to sim.Window, n int) {
	fill(w.minPress[:n], to.MinPress)
	fill(w.longPress[:n], to.LongPress)
}

// of returns the window of a flick.
func (w *windows) of(flick int) sim.Window {
	return sim.Window{MinPress: w.minPress[flick], LongPress: w.longPress[flick]}
}
