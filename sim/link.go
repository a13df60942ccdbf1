package sim

import "math/rand/v2"

// Link is the radio link where no log was recorded (M10): it samples the
// switch every frame and loses each frame with a chance of its own. It stands
// before the [Chain], which it feeds; [LinkedChain] wires the two.
//
// Frames fall on phase, phase + Frame, phase + 2·Frame, … With no frame period
// every move passes at once, and the value is repeated just as the signal would
// go stale: such a link is always alive.
type Link struct {
	spec   LinkSpec
	stale  Micros
	chance *rand.Rand
	value  PulseWidth
	due    Micros
}

// NewLink returns the link of a rig at t = 0 with the switch at value. phase is
// when the first frame is sent, from 0 to less than the frame period
// ([FramePhase]); chance decides which frames are lost. Both are unused without
// a frame period.
func NewLink(rig Rig, value PulseWidth, phase Micros, chance *rand.Rand) Link {
	l := Link{spec: rig.Link, stale: rig.SignalLoss.StaleAfter, chance: chance, value: value, due: phase}
	if l.spec.Frame == 0 {
		l.due = l.stale
	}
	return l
}

// FramePhase draws the time of a link's first frame, uniform over the period.
func (s LinkSpec) FramePhase(chance *rand.Rand) Micros { return uniformBelow(s.Frame, chance) }

// RefreshPhase draws where in the period of the line's refresh something
// begins, uniform over the period. A chain refreshes its line at t = 0, so what
// begins at a random phase of the refresh begins at this time of the chain.
func (s LineSpec) RefreshPhase(chance *rand.Rand) Micros { return uniformBelow(s.Update, chance) }

func uniformBelow(period Micros, chance *rand.Rand) Micros {
	if period == 0 {
		return 0
	}
	return Micros(chance.Int64N(int64(period)))
}

// Step takes a move of the switch. A frame at the same moment sees it, so
// everything due before it, and nothing due at it, must have expired.
func (l *Link) Step(at Micros, v PulseWidth) (Sample, bool) {
	l.value = v
	if l.spec.Frame > 0 {
		return Sample{}, false
	}
	return l.send(at), true
}

// Deadline returns the moment of the next frame.
func (l *Link) Deadline() Micros { return l.due }

// Expire sends a frame; it may get lost.
func (l *Link) Expire(at Micros) (Sample, bool) {
	if l.spec.Frame == 0 {
		return l.send(at), true
	}
	l.due = at + l.spec.Frame
	if l.spec.Loss > 0 && l.chance.Float64() < l.spec.Loss {
		return Sample{}, false
	}
	return Sample{at, l.value, Absent}, true
}

// send passes the value on where there is no frame period.
func (l *Link) send(at Micros) Sample {
	l.due = at + l.stale
	return Sample{at, l.value, Absent}
}

// LinkedChain is a [Chain] behind a [Link]: it is fed the moves of the switch
// itself instead of samples. The link is alive when it begins: the value at
// t = 0 has arrived.
type LinkedChain struct {
	link  Link
	chain *Chain
}

// NewLinkedChain returns a chain with its link, at t = 0 with the switch at
// value; see [NewLink].
func NewLinkedChain(rig Rig, window Window, value PulseWidth, phase Micros, chance *rand.Rand) *LinkedChain {
	c := &LinkedChain{NewLink(rig, value, phase, chance), NewChainAt(rig, window)}
	c.chain.Feed(Sample{0, value, Absent})
	return c
}

// Move takes a move of the switch, in order of time.
func (c *LinkedChain) Move(at Micros, v PulseWidth) {
	c.send(at)
	if s, sent := c.link.Step(at, v); sent {
		c.chain.Feed(s)
	}
}

// Advance lets everything before the moment to happen. No move before it may
// follow.
func (c *LinkedChain) Advance(to Micros) {
	c.send(to)
	c.chain.Advance(to)
}

// Finish ends the flight at a moment not before the last move, and returns
// what happened. The chain must not be used after it.
func (c *LinkedChain) Finish(end Micros) *Replay {
	c.send(end + 1)
	return c.chain.FinishAt(end)
}

// Chain returns the chain behind the link, to look at.
func (c *LinkedChain) Chain() *Chain { return c.chain }

// send sends the frames before a moment.
func (c *LinkedChain) send(before Micros) {
	for due := c.link.Deadline(); due < before; due = c.link.Deadline() {
		if s, arrived := c.link.Expire(due); arrived {
			c.chain.Feed(s)
		}
	}
}
