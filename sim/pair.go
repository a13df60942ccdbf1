package sim

import "slices"

// waiting is a press that would toggle but waits to see whether another follows
// soon enough to make a pair (M12). In the zero value no press waits.
type waiting struct {
	on     bool
	n      int    // number of the press
	down   Micros // when it went down
	due    Micros // when it toggles, unless a pair or a long press intervenes
	second bool   // the current press follows in time
}

// Waiting returns when the press that waits for a second one went down; ok is
// false if none waits (M12).
func (c *Camera) Waiting() (down Micros, ok bool) { return c.waiting.down, c.waiting.on }

// waitingDue returns when the waiting press toggles if nothing intervenes; Never
// while the press that follows is down.
func (c *Camera) waitingDue() Micros {
	if !c.waiting.on || c.waiting.second {
		return Never
	}
	return c.waiting.due
}

// pairUp records whether the press going down follows a waiting one. A press
// that the camera ignores does not count.
func (c *Camera) pairUp() {
	c.waiting.second = c.waiting.on && c.state.Accepts() && c.supposed != VerdictIgnored
}

// actInPairs applies the verdict on an accepted press where presses can be
// pairs. It reports whether that is all the press does.
func (c *Camera) actInPairs(at Micros, v Verdict) bool {
	second := c.waiting.second
	switch {
	case v == VerdictToggle && second:
		c.double(at)
	case v == VerdictToggle:
		c.waiting = waiting{on: true, n: c.press.N, down: c.press.Down, due: at + c.spec.DoubleWithin}
	case v == VerdictShort && second:
		c.waiting.second = false
		if c.compareMoments(at, c.waiting.due); c.waiting.due <= at {
			c.endWaiting(at)
		}
	default:
		return false
	}
	return true
}

// endWaiting lets the waiting press toggle.
func (c *Camera) endWaiting(at Micros) {
	w := c.waiting
	c.waiting = waiting{}
	c.toggleBy(at, w.n)
	if first := c.earlier(w.down); first != nil {
		first.Acts, first.StateAfter = at, c.state
	}
}

// double applies the action of a pair, at the effect time of its second press.
func (c *Camera) double(at Micros) {
	w := c.waiting
	c.waiting, c.doubled, c.press.Acts = waiting{}, true, at
	c.perform(c.spec.DoubleAction, at)
	if first := c.earlier(w.down); first != nil {
		first.Verdict, first.StateAfter = VerdictDouble, c.state
	}
}

// earlier returns the press that went down at a moment; nil if the record starts
// later.
func (c *Camera) earlier(down Micros) *Press {
	for i, p := range slices.Backward(c.record.Presses) {
		if p.Down == down {
			return &c.record.Presses[i]
		}
	}
	return nil
}
