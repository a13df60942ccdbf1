package chanlog

import (
	"math"

	"flicktally/sim"
)

// maxTime is the greatest time of a log in µs, 28 500 years: differences, and
// the sums of a wrapped counter, stay in 64 bits.
const maxTime = 9e17

// maxTimeDigits is how many digits always stay within maxTime.
const maxTimeDigits = 17

var powers = [20]uint64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9,
	1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19,
}

// micros returns n ticks in whole µs, halves rounded away from zero. It fails
// if n is not a number or is beyond maxTime.
func (n number) micros(t tick) (int64, bool) {
	if n.special {
		return 0, false
	}
	m, e := n.mantissa, n.exponent+t.exponent
	if t.factor > 1 {
		for m > math.MaxUint64/t.factor { // drop digits far below a µs
			m /= 10
			e++
		}
		m *= t.factor
	}
	switch {
	case m == 0 || e <= -len(powers):
		m = 0 // below half a µs, as the mantissa has no more digits
	case e < 0:
		p := powers[-e]
		rest := m % p
		m /= p
		if rest >= p-rest {
			m++
		}
	case e >= len(powers) || m > maxTime/powers[e]:
		return 0, false
	default:
		m *= powers[e]
	}
	if m > maxTime {
		return 0, false
	}
	if n.negative {
		return -int64(m), true
	}
	return int64(m), true
}

// counter is a time that starts again from 0. A time counts as wrapped if it was
// within window of span and is then within window of 0.
type counter struct {
	span, window int64
	passed       string // says that the counter started again
}

// The counters that a log may have.
var (
	counter32   = counter{1 << 32, int64(60 * sim.Second), "a 32-bit counter of µs wrapped"} // after 71 minutes
	dayCounter  = counter{dayMicros, dayMicros / 2, "the clock passed midnight"}             // no clock of the day runs back by half a day
	hourCounter = counter{int64(sim.Hour), int64(60 * sim.Second), "the clock passed the full hour"}
	neverWraps  = counter{}
)

// clock turns the times of a log's rows into times of its segment (M0).
type clock struct {
	started bool
	shift   int64 // from the log's time to the segment's
	last    int64 // the log's time of the latest row
	counter counter
}

// sequel returns how a row with time at follows the latest. A file, unlike a
// stream, may consist of several logs: an earlier row starts a segment at once,
// and so does the first row.
func (c *clock) sequel(at int64) sim.Sequel {
	if !c.started {
		return sim.Back
	}
	return sim.Follow(sim.Micros(c.last), sim.Micros(at))
}

// wraps reports whether the counter wrapped before a row with time at.
func (c *clock) wraps(at int64) bool {
	span, window := c.counter.span, c.counter.window
	return c.started && c.last < span && c.last >= span-window && at >= 0 && at <= window && c.last-at > window
}

// take makes a time the latest, and returns the time in the segment.
func (c *clock) take(at int64) sim.Micros {
	c.last = at
	return sim.Micros(at + c.shift)
}

// wrap continues the time after the counter wrapped to 0.
func (c *clock) wrap() {
	c.shift += c.counter.span
	c.last -= c.counter.span
}

// start starts a segment at a row whose time is at.
func (c *clock) start(at int64) {
	c.started = true
	c.shift, c.last = -at, at
}
