package season

import (
	"slices"

	"flicktally/sim"
	"flicktally/sim/habit"
	"flicktally/sim/stat"
)

// hand is how the pilot held the switch.
type hand struct {
	habit.Habit
	Known int // holds known from the logs
}

func handOf(rig sim.Rig, flights []Flight) *hand {
	var held []habit.Held
	for _, f := range flights {
		held = append(held, f.holds()...)
	}
	h, err := habit.Of(held, rig.Link)
	if err != nil { // fewer than two holds besides slips
		return nil
	}
	return &hand{h, len(held)}
}

// change is what differs between the latest day and all earlier ones: the rate
// (Newcombe), the mean hold (Welch) or its scatter (Brown and Forsythe). By Holm's
// rule, the three tests together have a false-alarm chance of at most 5 %.
type change struct {
	Day                    string
	Now, Before            stat.Rate
	Hold, HoldBefore       stat.Summary // in µs, without slips
	Rate, Longer, Scatters bool         // whether rate, mean and scatter differ
}

// Any reports whether anything differs.
func (c *change) Any() bool { return c.Rate || c.Longer || c.Scatters }

// falseAlarm limits the chance that a change is reported when nothing changed.
const falseAlarm = 0.05

// change compares the latest day with those before, nil on the first.
func (s *Season) change() *change {
	if len(s.Days) < 2 {
		return nil
	}
	c := &change{Day: s.Days[len(s.Days)-1].Name}
	var now, before []sim.Micros
	for _, f := range s.Flights() {
		rate, holds := &c.Before, &before
		if f.day() == c.Day {
			rate, holds = &c.Now, &now
		}
		*rate = rate.Plus(stat.Rate{Hits: f.Toggled, Trials: f.Flicks})
		for _, h := range f.holds() {
			if h.Hold > 0 {
				*holds = append(*holds, h.Hold)
			}
		}
	}
	if all := slices.Concat(now, before); len(all) > 0 { // with moves on both edges there are no holds
		kept, _ := stat.SplitSlips(all)
		now, before = within(now, kept), within(before, kept)
	}
	c.Hold, c.HoldBefore = stat.Summarize(now), stat.Summarize(before)
	found := stat.Holm([]float64{
		c.Now.DiffersP(c.Before), stat.WelchP(c.Hold, c.HoldBefore), stat.BrownForsytheP(now, before),
	}, falseAlarm)
	c.Rate, c.Longer, c.Scatters = found[0], found[1], found[2]
	return c
}

// within returns the holds between the smallest and the largest that were kept.
func within(holds, kept []sim.Micros) (in []sim.Micros) {
	low, high := slices.Min(kept), slices.Max(kept)
	for _, h := range holds {
		if h >= low && h <= high {
			in = append(in, h)
		}
	}
	return in
}
