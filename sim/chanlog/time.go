package chanlog

import "flicktally/sim"

// maxTime bounds the times of a log in µs, so that differences and a wrapped
// counter's sums stay in 64 bits. It is 28 500 years.
const maxTime = 9e17

// maxTimeDigits is how many digits surely stay within maxTime.
const maxTimeDigits = 17

// unitExponent is what a number in the unit is multiplied with to give µs, as
// a power of ten.
func unitExponent(unit sim.TimeUnit) int {
	switch unit {
	case sim.UnitSeconds:
		return 6
	case sim.UnitMillis:
		return 3
	default:
		return 0
	}
}

var powers = [20]uint64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9,
	1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19,
}

// micros returns n · 10^unit in whole µs, halves rounded away from zero. It
// fails where n is no number or beyond maxTime.
func (n number) micros(unit int) (int64, bool) {
	if !n.finite() {
		return 0, false
	}
	m := n.mantissa
	switch e := n.exponent + unit; {
	case m == 0 || e <= -len(powers):
		m = 0 // below half a µs, as the mantissa has no more digits
	case e < 0:
		p := powers[-e]
		up := m%p >= p-m%p
		m /= p
		if up {
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

// counterSpan is the range of a 32-bit counter of µs: 71 minutes.
const counterSpan = 1 << 32

// wrapWindow is how near to its end a 32-bit counter must have been, and how
// near to 0 it must be after it, to count as wrapped.
const wrapWindow = int64(60 * sim.Second)

// clock turns the times of a log's rows into times of its segment (M0).
type clock struct {
	begun  bool
	shift  int64 // of a segment's time against the log's
	last   int64 // the log's time of the row before
	micros bool  // the log counts whole µs
}

// forward returns the segment's time of a row whose time is at, unless that is
// before the row before.
func (c *clock) forward(at int64) (sim.Micros, bool) {
	if at < c.last || !c.begun {
		return 0, false
	}
	c.last = at
	return sim.Micros(at + c.shift), true
}

// wraps reports whether a 32-bit counter of µs wrapped between the row before
// and one whose time is at.
func (c *clock) wraps(at int64) bool {
	return c.micros && c.begun &&
		c.last < counterSpan && c.last >= counterSpan-wrapWindow && at >= 0 && at <= wrapWindow
}

// wrap lets the counter go on from 0.
func (c *clock) wrap() {
	c.shift += counterSpan
	c.last = 0
}

// begin starts a segment at a row whose time is at.
func (c *clock) begin(at int64) {
	c.begun = true
	c.shift, c.last = -at, at
}
