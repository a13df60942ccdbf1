package rigcheck

import (
	"fmt"
	"strconv"
	"strings"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Setting is a key of the rig file with its value before and after a change,
// both as in the file.
type Setting struct{ Key, From, To string }

// Change is a tested change of a rig.
type Change struct {
	Settings []Setting
	apply    func(*sim.Rig)
}

// changed returns the rig with the change.
func (c Change) changed(rig sim.Rig) sim.Rig {
	c.apply(&rig)
	return rig
}

// String writes the change for people: key = value, and the current value.
func (c Change) String() string {
	var parts []string
	for _, s := range c.Settings {
		parts = append(parts, fmt.Sprintf("%s = %s (now %s)", s.Key, s.To, s.From))
	}
	return strings.Join(parts, ", ")
}

// search looks for changes of a rig that remove one rule's finding.
type search struct {
	rule   Rule
	rig    sim.Rig
	o      Options
	before map[tell.Code]*Finding               // what is wrong with the rig
	after  func(sim.Rig) map[tell.Code]*Finding // and with a changed one
}

// keep returns the change if it removes the finding and adds no other.
func (s search) keep(c Change) []Change {
	if s.gone(c.changed(s.rig)) && s.makesNoOther(c) {
		return []Change{c}
	}
	return nil
}

func (s search) makesNoOther(c Change) bool {
	if s.rule.blocks {
		return true // other faults were hidden by this one
	}
	for code := range s.after(c.changed(s.rig)) {
		if s.before[code] == nil {
			return false
		}
	}
	return true
}

// gone reports whether a rig is valid and the rule finds nothing in it.
func (s search) gone(rig sim.Rig) bool {
	return rig.Validate() == nil && s.rule.find(newProbe(rig), s.o) == nil
}

// try is keep for a change that is a single step.
func (s search) try(apply func(*sim.Rig), settings ...Setting) []Change {
	return s.keep(Change{settings, apply})
}

// duration is a duration of the rig that can be varied.
type duration struct {
	key string
	of  func(*sim.Rig) *sim.Micros
}

var (
	settleTime    = duration{"switch.settle", func(r *sim.Rig) *sim.Micros { return &r.Switch.Settle }}
	staleAfter    = duration{"signal_loss.stale_after", func(r *sim.Rig) *sim.Micros { return &r.SignalLoss.StaleAfter }}
	framePeriod   = duration{"link.frame", func(r *sim.Rig) *sim.Micros { return &r.Link.Frame }}
	pulseRest     = duration{"oneshot.rest", func(r *sim.Rig) *sim.Micros { return &r.OneShot.Rest }}
	refreshPeriod = duration{"line.update", func(r *sim.Rig) *sim.Micros { return &r.Line.Update }}
	bootTime      = duration{"line.boot_for", func(r *sim.Rig) *sim.Micros { return &r.Line.BootFor }}
)

// with returns the rig with another value of the duration.
func (d duration) with(rig sim.Rig, m sim.Micros) sim.Rig {
	*d.of(&rig) = m
	return rig
}

// change returns the change to another value.
func (d duration) change(rig sim.Rig, to sim.Micros) Change {
	return Change{
		[]Setting{{d.key, quoted(*d.of(&rig)), quoted(to)}},
		func(r *sim.Rig) { *d.of(r) = to },
	}
}

// shorten returns the change to the longest value, from least up to less than
// now, that removes the finding.
func (s search) shorten(d duration, least sim.Micros) []Change {
	now := *d.of(&s.rig)
	works := func(m sim.Micros) bool { return s.gone(d.with(s.rig, m)) }
	longest, ok := largest(least, now-1, works)
	if !ok {
		return nil
	}
	if rounded := longest / sim.Millisecond * sim.Millisecond; rounded >= least && rounded > 0 && works(rounded) {
		longest = rounded
	}
	return s.keep(d.change(s.rig, longest))
}

// lengthen returns the change to the shortest value, from more than now up to
// most, that removes the finding.
func (s search) lengthen(d duration, most sim.Micros) []Change {
	now := *d.of(&s.rig)
	works := func(m sim.Micros) bool { return s.gone(d.with(s.rig, m)) }
	shortest, ok := smallest(now+1, most, works)
	if !ok {
		return nil
	}
	if rounded := (shortest + sim.Millisecond - 1) / sim.Millisecond * sim.Millisecond; works(rounded) {
		shortest = rounded
	}
	return s.keep(d.change(s.rig, shortest))
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
	if low > high || !works(low) {
		return 0, false
	}
	for low < high {
		if middle := low + (high-low+1)/2; works(middle) {
			low = middle
		} else {
			high = middle - 1
		}
	}
	return low, true
}

// oneShot returns the change to pulses of a width that always toggles.
func (s search) oneShot() []Change {
	now := s.rig.OneShot
	to := now
	if to.Trigger == sim.TriggerOff {
		to.Trigger = sim.TriggerRising
	}
	width, ok := safeWidth(s.rig, to)
	if !ok {
		return nil
	}
	to.Width = width
	settings := []Setting{{"oneshot.width", quoted(now.Width), quoted(to.Width)}}
	if to.Trigger != now.Trigger {
		settings = append([]Setting{{"oneshot.trigger", quoted(now.Trigger), quoted(to.Trigger)}}, settings...)
	}
	return s.try(func(r *sim.Rig) { r.OneShot = to }, settings...)
}

// presses returns the change of the press ranges that removes the finding and
// leaves the fewest others. It tries moving one edge to halfway between two
// positions or to the end of the valid range, and replacing all ranges by the
// upper end.
func (s search) presses() []Change {
	now := s.rig.Switch.Press
	valid := s.rig.Switch.Valid
	edges := []sim.PulseWidth{1750, 1250, valid.High, valid.Low}
	var candidates [][]sim.PulseRange
	for i, r := range now {
		for _, edge := range edges {
			candidates = append(candidates,
				replaced(now, i, sim.PulseRange{Low: edge, High: r.High}),
				replaced(now, i, sim.PulseRange{Low: r.Low, High: edge}))
		}
	}
	candidates = append(candidates, []sim.PulseRange{{Low: 1750, High: valid.High}})
	var best []Change
	fewest := len(s.before)
	for _, to := range candidates {
		setting := Setting{"switch.press", rangesText(now), rangesText(to)}
		for _, c := range s.try(func(r *sim.Rig) { r.Switch.Press = to }, setting) {
			if left := len(s.after(c.changed(s.rig))); left < fewest || best == nil {
				best, fewest = []Change{c}, left
			}
		}
	}
	return best
}

func replaced(ranges []sim.PulseRange, i int, by sim.PulseRange) []sim.PulseRange {
	all := append([]sim.PulseRange(nil), ranges...)
	all[i] = by
	return all
}

func rangesText(ranges []sim.PulseRange) string {
	var parts []string
	for _, r := range ranges {
		parts = append(parts, rangeText(r))
	}
	return "[" + strings.Join(parts, ", ") + "]"
}

func rangeText(r sim.PulseRange) string { return fmt.Sprintf("[%v, %v]", r.Low, r.High) }

// quoted writes a value as in the rig file.
func quoted[T any](v T) string { return strconv.Quote(fmt.Sprint(v)) }
