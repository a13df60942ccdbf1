package sim

// waiting is a press that would toggle and waits whether another one follows it
// so soon that the two are a pair (M12). The zero value is none.
type waiting struct {
	on     bool
	n      int    // number of the press
	down   Micros // when it went down
	due    Micros // when it toggles, unless a pair or a long press comes of it
	second bool   // the press in hand follows within the time
}

// Waiting returns when the press went down that waits for another one, if one
// does (M12).
func (c *Camera) Waiting() (down Micros, ok bool) { return c.waiting.down, c.waiting.on }

// waitingDue returns when the press that waits toggles by itself; not while the
// press that follows it is in hand.
func (c *Camera) waitingDue() Micros {
	if !c.waiting.on || c.waiting.second {
		return Never
	}
	return c.waiting.due
}

// pairUp looks whether the press that goes down follows one that waits. A press
// that the camera ignores was never made.
func (c *Camera) pairUp() {
	c.waiting.second = c.waiting.on && c.state.Accepts() && c.supposed != VerdictIgnored
}

// actInPairs does what an accepted press comes to where presses can be pairs. It
// reports whether that is all.
func (c *Camera) actInPairs(at Micros, v Verdict) bool {
	second := c.waiting.second
	switch {
	case v == VerdictToggle && second:
		c.double(at)
	case v == VerdictToggle:
		c.waiting = waiting{on: true, n: c.press.N, down: c.press.Down, due: at + c.spec.DoubleWithin}
	case v == VerdictShort && second:
		c.waiting.second = false
		if c.tellMoments(at, c.waiting.due); c.waiting.due <= at {
			c.endWaiting(at)
		}
	default:
		return false
	}
	return true
}

// endWaiting lets the press that waits toggle.
func (c *Camera) endWaiting(at Micros) {
	w := c.waiting
	c.waiting = waiting{}
	c.toggleBy(at, w.n)
	if first := c.earlier(w.down); first != nil {
		first.Acts, first.StateAfter = at, c.state
	}
}

// double does what a pair does, at the effect time of its second press.
func (c *Camera) double(at Micros) {
	w := c.waiting
	c.waiting, c.doubled, c.press.Acts = waiting{}, true, at
	switch c.spec.DoubleAction {
	case DoublePowerOff:
		c.powerOff(at)
	case DoubleUnknown:
		c.loseTrack(at)
	case DoubleNone:
	}
	if first := c.earlier(w.down); first != nil {
		first.Verdict, first.StateAfter = VerdictDouble, c.state
	}
}

// earlier returns the press that went down at a moment; nil where the record
// began after it.
func (c *Camera) earlier(down Micros) *Press {
	for i := len(c.record.Presses) - 1; i >= 0; i-- {
		if p := &c.record.Presses[i]; p.Down <= down {
			if p.Down == down {
				return p
			}
			break
		}
	}
	return nil
}
