package odds

import (
	"errors"
	"fmt"
	"math"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Case is a pilot with a rig, whose odds are computed. The rig's link comes
// first (M10). Its camera is assumed to be in standby, and to be left alone
// until it is ready again.
type Case struct {
	Rig   sim.Rig
	Pilot Pilot
}

// Pilot describes how a hand moves the switch. A hold meant to last h is
// normally distributed about h, apart from slips; a hold below zero is no
// press.
type Pilot struct {
	Spread Spread
	Slips  Slips
	// Bounce is the longest time that the contacts bounce after a move; 0 =
	// never. The package comment has the model.
	Bounce sim.Micros
	// Travel is the time that a three-position lever takes from the centre to
	// its end.
	Travel sim.Micros
	// Shift is how much longer than intended the switch is in the press range;
	// negative if it is shorter.
	Shift sim.Micros
}

// Spread is the standard deviation of holds that are meant to be equal: the
// root of the sum of squares of a fixed part and a part proportional to the
// hold. The zero Spread means a hand that hardly errs.
//
// The proportional part is the usual one: produced intervals scatter in proportion to
// their length, with a coefficient of variation of 0.05 to 0.14 from 3 to 18 s
// (Fechner Day proceedings, article 356), 0.03 to 0.06 for taps of 0.3 to 1 s
// (Repp 2005, doi 10.3758/BF03206433, from memory).
type Spread struct {
	Fixed    sim.Micros
	Relative float64 // of the hold; 0.1 is 10 %
}

// at returns the standard deviation in µs; never below one, the unit of time.
func (s Spread) at(hold sim.Micros) float64 {
	return max(1, math.Hypot(float64(s.Fixed), s.Relative*float64(hold)))
}

// Slips are holds unrelated to the intended one: the hand let go at once, or
// forgot to. The zero value means none.
type Slips struct {
	Rate  float64      // of all flicks
	Holds []sim.Micros // equally likely; at least one if Rate is not 0
}

// widths returns the distribution of the slips.
func (s Slips) widths() normals {
	w := normals{cut: 1}
	for _, hold := range s.Holds {
		w.parts = append(w.parts, normal{stat.Normal{Mean: float64(hold), SD: 1}, 1 / float64(len(s.Holds))})
	}
	return w
}

// Outcome is the result of a flick.
type Outcome int

// The outcomes. A flick is meant to toggle once, and to do nothing else.
const (
	Toggles Outcome = iota
	Missed          // the camera saw no press
	Short           // it saw presses too brief to act
	Long            // it saw a long press
	Twice           // the flick broke up and toggled more than once
	outcomes
)

// Outcomes lists all outcomes, in the order of reports.
var Outcomes = []Outcome{Toggles, Missed, Short, Long, Twice}

// String returns the outcome in a word.
func (o Outcome) String() string {
	return [outcomes]string{"toggles", "missed", "short", "long", "twice"}[o]
}

// Chances holds the chance of each outcome of a flick, 0 to 1. They add up to 1.
type Chances [outcomes]float64

// tally counts the outcomes of simulated flicks.
type tally [outcomes]int

// Flicks returns how many flicks were counted.
func (t tally) Flicks() int {
	total := 0
	for _, n := range t {
		total += n
	}
	return total
}

// Rate returns the rate of an outcome.
func (t tally) Rate(o Outcome) stat.Rate { return stat.Rate{Hits: t[o], Trials: t.Flicks()} }

// HoldMatters reports whether the outcome depends on how long the switch is held.
// With a one-shot on both edges it does not: each move of the switch is a press.
func (c Case) HoldMatters() bool { return c.Rig.OneShot.Trigger != sim.TriggerBoth }

// Check returns an error if the odds of the case cannot be computed.
func (c Case) Check() error {
	if err := c.Rig.Validate(); err != nil {
		return err
	}
	if c.Rig.Inverted() {
		return errors.New("found line.active and camera.pressed_level that differ, want them equal: the camera sees the button down while the switch rests")
	}
	if _, _, err := c.Rig.RestAndPress(); err != nil {
		return err
	}
	return c.checkWork()
}

// Limits of the work for a case: how often the longest hold may be sampled, and the
// share of frames that may be lost.
const (
	mostLooks          = 100_000
	mostLooksSimulated = 10_000
	mostLoss           = 0.99
)

func (c Case) checkWork() error {
	if loss := c.Rig.Link.Loss; loss > mostLoss {
		return fmt.Errorf("found link.loss %v, want at most %v: such a link carries no flick", loss, mostLoss)
	}
	looks := sim.Micros(mostLooks)
	if !c.Closed() {
		looks = mostLooksSimulated
	}
	longest := 2 * c.Rig.Camera.LongPress.High
	for key, period := range map[string]sim.Micros{"link.frame": c.Rig.Link.Frame, "line.update": c.Rig.Line.Update} {
		if period > 0 && longest/period > looks {
			return fmt.Errorf("found %s %s, want at least %s for a camera whose long press takes %s, or 0s for none",
				key, period, longest/looks, c.Rig.Camera.LongPress.High)
		}
	}
	return nil
}
