package chanlog

import (
	"fmt"
	"math"

	"flicktally/sim"
	"flicktally/sim/problem"
)

// rangeCheck checks whether the numbers of a log are pulse widths at all.
type rangeCheck struct {
	valid     sim.PulseRange // both ends included
	rows      int64          // with a number outside
	low, high sim.PulseWidth // of those numbers
	first     *SyntaxError   // place of the first of them
}

func newRangeCheck(opts Options) rangeCheck {
	c := rangeCheck{low: sim.PulseWidth(math.Inf(1)), high: sim.PulseWidth(math.Inf(-1))}
	scale, offset := opts.Spec.Linear()
	if c.valid = opts.Valid; c.valid == (sim.PulseRange{}) || scale != 1 || offset != 0 || len(opts.Spec.Words) > 0 {
		c.valid = sim.PulseRange{Low: c.high, High: c.low}
	}
	return c
}

// isOutside reports whether a value is a number outside the valid range.
func (c *rangeCheck) isOutside(v sim.PulseWidth) bool { return v < c.valid.Low || v > c.valid.High }

// note counts a value outside the valid range and reports whether it is the
// first.
func (c *rangeCheck) note(v sim.PulseWidth) (first bool) {
	if v == sim.Lost || math.IsInf(float64(v), 1) {
		return false
	}
	c.rows++
	c.low, c.high = min(c.low, v), max(c.high, v)
	return c.rows == 1
}

// judge returns an error if most rows of a log are outside the valid range.
func (c *rangeCheck) judge(rows int64, column string) error {
	if c.rows*2 <= rows {
		return nil
	}
	e := c.first
	e.Found = fmt.Sprintf("values from %v to %v in %s", c.low, c.high, column)
	e.Want = fmt.Sprintf("pulse widths from %v to %v µs", c.valid.Low, c.valid.High)
	hint := `say what they are: scale = 0.625 and offset = 880 under [log], or --scale and --offset`
	if name := fittingScale(c.low, c.high); name != "" {
		hint = fmt.Sprintf("the scale %q would fit: scale = %q under [log], or --scale %s", name, name, name)
	}
	return problem.Hinted(e, hint)
}

// fittingScale returns the narrowest common scale for a range of values, which may
// exceed its full travel by a quarter; "" if there is none.
func fittingScale(low, high sim.PulseWidth) sim.ScaleName {
	for _, scale := range []struct {
		name      sim.ScaleName
		low, high sim.PulseWidth
	}{
		{sim.ScaleUnit, -1.25, 1.25},
		{sim.ScalePercent, -125, 125},
		{sim.ScaleCounts, -1280, 1280},
		{sim.ScaleSerial, 0, 2047},
	} {
		if low >= scale.low && high <= scale.high {
			return scale.name
		}
	}
	return ""
}
