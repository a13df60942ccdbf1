package sim

// armed follows the channel that says when the craft is armed. No stage of the
// chain depends on it.
type armed struct {
	ranges []PulseRange
	since  Micros // start of the current window, Never when not armed
	spans  []Span
	seen   bool // a value has arrived

	unchanged PulseRange // a range of values that change nothing
}

// step takes a value; an absent one is skipped. Of several values at one
// instant the last counts.
func (a *armed) step(at Micros, v PulseWidth) {
	if !finite(float64(v)) {
		return
	}
	a.seen = true
	on := false
	a.unchanged = gapAround(a.ranges, v, everyWidth)
	for _, r := range a.ranges {
		if r.Contains(v) {
			on, a.unchanged = true, r
		}
	}
	switch armed := a.since != Never; {
	case on && !armed:
		a.begin(at)
	case !on && armed:
		a.end(at)
	}
}

func (a *armed) begin(at Micros) {
	a.since = at
	if n := len(a.spans); n > 0 && a.spans[n-1].To == at {
		a.since = a.spans[n-1].From
		a.spans = a.spans[:n-1]
	}
}

func (a *armed) end(at Micros) {
	if at > a.since {
		a.spans = append(a.spans, Span{a.since, at})
	}
	a.since = Never
}

// windows returns the armed time of a log that ends at end.
func (a *armed) windows(end Micros) []Span {
	if a.since != Never {
		a.end(end)
	}
	return a.spans
}
