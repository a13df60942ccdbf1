package rigcheck

import (
	"fmt"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// Change is a tested change of a rig: the keys of the rig file with their values
// before and after it.
type Change struct {
	Settings []rigfile.Difference
	rig      sim.Rig // with the change
}

// String writes the change for people: key = value, and the current value.
func (c Change) String() string {
	var parts []string
	for _, s := range c.Settings {
		parts = append(parts, fmt.Sprintf("%s = %s (now %s)", s.Key, s.Second, s.First))
	}
	return strings.Join(parts, ", ")
}

// search looks for changes of a rig that remove one rule's finding.
type search struct {
	rule   Rule
	rig    sim.Rig
	within sim.Micros
	before map[tell.Code]*Finding               // of the rig
	after  func(sim.Rig) map[tell.Code]*Finding // of a changed one
}

// try returns the change if it removes the finding and adds no other.
func (s search) try(apply func(*sim.Rig)) []Change {
	rig := s.rig
	apply(&rig)
	if !s.gone(rig) || !s.addsNone(rig) {
		return nil
	}
	return []Change{{rigfile.Differences(s.rig, rig), rig}}
}

// addsNone reports whether a changed rig has no finding that the rig lacks.
func (s search) addsNone(rig sim.Rig) bool {
	if s.rule.blocks {
		return true // other findings were hidden by this one
	}
	for code := range s.after(rig) {
		if s.before[code] == nil {
			return false
		}
	}
	return true
}

// gone reports whether a rig is valid and the rule finds nothing in it.
func (s search) gone(rig sim.Rig) bool {
	return rig.Validate() == nil && s.rule.find(newProbe(rig, s.within)) == nil
}

// duration is the place of a duration in a rig.
type duration func(*sim.Rig) *sim.Micros

func settleTime(r *sim.Rig) *sim.Micros    { return &r.Switch.Settle }
func staleAfter(r *sim.Rig) *sim.Micros    { return &r.SignalLoss.StaleAfter }
func framePeriod(r *sim.Rig) *sim.Micros   { return &r.Link.Frame }
func pulseRest(r *sim.Rig) *sim.Micros     { return &r.OneShot.Rest }
func refreshPeriod(r *sim.Rig) *sim.Micros { return &r.Line.Update }
func bootTime(r *sim.Rig) *sim.Micros      { return &r.Line.BootFor }

// works reports whether another value of a duration removes the finding.
func (s search) works(d duration) func(sim.Micros) bool {
	return func(m sim.Micros) bool {
		rig := s.rig
		*d(&rig) = m
		return s.gone(rig)
	}
}

// shorten returns the change to the longest value, from least up to less than
// now, that removes the finding, in whole milliseconds if possible.
func (s search) shorten(d duration, least sim.Micros) []Change {
	works := s.works(d)
	to, ok := largest(least, *d(&s.rig)-1, works)
	if !ok {
		return nil
	}
	if rounded := to / sim.Millisecond * sim.Millisecond; rounded >= least && rounded > 0 && works(rounded) {
		to = rounded
	}
	return s.try(func(r *sim.Rig) { *d(r) = to })
}

// lengthen returns the change to the shortest value, from more than now up to
// most, that removes the finding, in whole milliseconds if possible.
func (s search) lengthen(d duration, most sim.Micros) []Change {
	works := s.works(d)
	to, ok := smallest(*d(&s.rig)+1, most, works)
	if !ok {
		return nil
	}
	if rounded := (to + sim.Millisecond - 1) / sim.Millisecond * sim.Millisecond; works(rounded) {
		to = rounded
	}
	return s.try(func(r *sim.Rig) { *d(r) = to })
}

// smallest returns the smallest value from low to high that works, given that
// all larger values then work too.
func smallest(low, high sim.Micros, works func(sim.Micros) bool) (sim.Micros, bool) {
	if low > high || !works(high) {
		return 0, false
	}
	for low < high {
		if middle := low + (high-low)/2; works(middle) {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return high, true
}

// largest returns the largest value from low to high that works, given that all
// smaller values then work too.
func largest(low, high sim.Micros, works func(sim.Micros) bool) (sim.Micros, bool) {
	m, ok := smallest(-high, -low, func(m sim.Micros) bool { return works(-m) })
	return -m, ok
}

// oneShot returns the change to pulses of a width that always toggles.
func (s search) oneShot() []Change {
	to := s.rig.OneShot
	if to.Trigger == sim.TriggerOff {
		to.Trigger = sim.TriggerRising
	}
	width, ok := safeWidth(s.rig, to)
	if !ok {
		return nil
	}
	to.Width = width
	return s.try(func(r *sim.Rig) { r.OneShot = to })
}

// presses returns the change of the press ranges that removes the finding and
// leaves the fewest others. It tries moving one edge to halfway between two
// positions or to the end of the valid range, and replacing all ranges by the
// upper end.
func (s search) presses() []Change {
	now, valid := s.rig.Switch.Press, s.rig.Switch.Valid
	var candidates [][]sim.PulseRange
	for i, r := range now {
		for _, edge := range []sim.PulseWidth{1750, 1250, valid.High, valid.Low} {
			for _, to := range []sim.PulseRange{{Low: edge, High: r.High}, {Low: r.Low, High: edge}} {
				candidates = append(candidates, slices.Concat(now[:i], []sim.PulseRange{to}, now[i+1:]))
			}
		}
	}
	candidates = append(candidates, []sim.PulseRange{{Low: 1750, High: valid.High}})
	var best []Change
	fewest := len(s.before)
	for _, to := range candidates {
		for _, c := range s.try(func(r *sim.Rig) { r.Switch.Press = to }) {
			if left := len(s.after(c.rig)); left < fewest || best == nil {
				best, fewest = []Change{c}, left
			}
		}
	}
	return best
}
