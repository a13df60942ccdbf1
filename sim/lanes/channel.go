package lanes

import (
	"math"
	"strconv"

	"flicktally/sim"
)

// Scale is the range of channel values that a view covers.
type Scale struct{ Low, High sim.PulseWidth }

// ScaleOf returns a scale for values from low to high ([sim.Trace.Extremes]) that
// covers at least the usual travel, 1000 to 2000 µs, with a margin.
func ScaleOf(low, high sim.PulseWidth) Scale {
	if math.IsNaN(float64(low)) {
		return Scale{900, 2100}
	}
	return Scale{min(900, low), max(2100, high)}
}

// Share returns the position of a value on the scale, clamped to 0 to 1.
func (s Scale) Share(v sim.PulseWidth) float64 {
	return max(0, min(1, float64((v-s.Low)/(s.High-s.Low))))
}

// Shows reports whether a value lies within the scale.
func (s Scale) Shows(v sim.PulseWidth) bool { return v > s.Low && v < s.High }

// Value is a value labelled beside the channel.
type Value struct {
	At        sim.PulseWidth
	Text      string
	Threshold bool // an end of a press range
}

// Values returns the values to label beside the channel, the most important
// first: the ends of the press ranges, then round values. A value closer than a
// share of the scale to an earlier one is left out.
func (s Scale) Values(press []sim.PulseRange, apart float64) []Value {
	var all []Value
	add := func(v sim.PulseWidth, threshold bool) {
		if !s.Shows(v) {
			return
		}
		for _, other := range all {
			if d := s.Share(v) - s.Share(other.At); d < apart && -d < apart {
				return
			}
		}
		all = append(all, Value{v, strconv.FormatFloat(float64(v), 'g', 6, 64), threshold})
	}
	for _, r := range press {
		add(r.Low, true)
		add(r.High, true)
	}
	for _, v := range []sim.PulseWidth{1000, 2000, 1500} {
		add(v, false)
	}
	return all
}
