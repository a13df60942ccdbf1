package sim

import "math"

// Selector is the first stage. It decides from the channel's value whether the
// switch is in a press range (M1, M3), and which position counts while the
// signal is lost (M2).
type Selector struct {
	spec  SwitchSpec
	stale Micros
	then  LossPolicy

	pressed bool
	lost    bool
	seen    bool   // a valid sample has come
	last    Micros // time of the last valid sample
	before  Micros // time of the valid sample before that one, at an earlier instant

	// unchanged is a range of valid values that keep the position, while the
	// signal is there. It is empty if no such range is known.
	unchanged PulseRange
}

// NewSelector returns the stage before the first sample.
func NewSelector(spec SwitchSpec, loss SignalLossSpec) Selector {
	return Selector{spec: spec, stale: loss.StaleAfter, then: loss.Then, pressed: loss.Then == LossPress}
}

// Pressed returns the position.
func (s *Selector) Pressed() bool { return s.pressed }

// Lost reports whether the signal is lost, or has not been there yet.
func (s *Selector) Lost() bool { return s.lost || !s.seen }

// Step takes a valid sample. A sample at the very moment at which the signal
// would be lost prevents the loss, so call Step before Expire for the same
// moment.
func (s *Selector) Step(at Micros, v PulseWidth) (Edge, bool) {
	s.alive(at)
	s.lost, s.seen = false, true
	was := s.pressed
	s.pressed = s.spec.presses(v, was)
	s.unchanged = s.spec.unchangedBy(v, s.pressed)
	return Edge{At: at, Pressed: s.pressed, Unseen: s.last - s.before}, s.pressed != was
}

// passed takes one or more samples that change nothing and came before the
// signal was lost. Only the times of the last two matter.
func (s *Selector) passed(samples []Sample) {
	end := samples[len(samples)-1].At
	if end == s.last {
		return
	}
	s.before = s.last
	for i := len(samples) - 1; i >= 0; i-- {
		if samples[i].At < end {
			s.before = samples[i].At
			break
		}
	}
	s.last = end
}

func (s *Selector) alive(at Micros) {
	if at > s.last {
		s.before, s.last = s.last, at
	}
}

// Deadline returns the moment at which the signal will be lost if no valid
// sample comes, [Never] if it is lost already.
func (s *Selector) Deadline() Micros {
	if s.Lost() {
		return Never
	}
	return s.last + s.stale
}

// Expire marks the signal as lost.
func (s *Selector) Expire(at Micros) (Edge, bool) {
	s.lost = true
	s.unchanged = PulseRange{}
	was := s.pressed
	switch s.then {
	case LossHold:
	case LossRelease:
		s.pressed = false
	case LossPress:
		s.pressed = true
	}
	return Edge{At: at, Pressed: s.pressed}, s.pressed != was
}

// presses reports whether v presses, given the position before it (M3).
func (s *SwitchSpec) presses(v PulseWidth, pressed bool) bool {
	for _, r := range s.Press {
		if pressed {
			r = r.widened(s.Hysteresis)
		}
		if r.Contains(v) {
			return true
		}
	}
	return false
}

func (r PulseRange) widened(by PulseWidth) PulseRange { return PulseRange{r.Low - by, r.High + by} }

// unchangedBy returns values around v that leave the position as it is.
func (s *SwitchSpec) unchangedBy(v PulseWidth, pressed bool) PulseRange {
	valid := PulseRange{s.Valid.Low, nextWidth(s.Valid.High)}
	if !pressed {
		return gapAround(s.Press, v, valid)
	}
	for _, r := range s.Press {
		if wide := r.widened(s.Hysteresis); wide.Contains(v) {
			return PulseRange{max(valid.Low, wide.Low), min(valid.High, wide.High)}
		}
	}
	return PulseRange{}
}

// gapAround returns the largest range around v that overlaps none of the ranges;
// v must lie in none.
func gapAround(ranges []PulseRange, v PulseWidth, within PulseRange) PulseRange {
	for _, r := range ranges {
		if r.High <= v {
			within.Low = max(within.Low, r.High)
		} else {
			within.High = min(within.High, r.Low)
		}
	}
	return within
}

// everyWidth contains every finite pulse width.
var everyWidth = PulseRange{PulseWidth(math.Inf(-1)), PulseWidth(math.Inf(1))}

// within returns the intersection of two ranges.
func (r PulseRange) within(other PulseRange) PulseRange {
	return PulseRange{max(r.Low, other.Low), min(r.High, other.High)}
}
