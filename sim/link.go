package sim

import "math/rand/v2"

// Link is the radio link where no log was recorded (M10): a stage before the
// [Chain] that samples the switch every frame and loses frames at random.
// [LinkedChain] wires the two.
//
// Frames fall on phase, phase + Frame, phase + 2·Frame, … Without a frame period
// every move passes at once, and the value is repeated when the signal would go
// stale, so that it is never lost.
type Link struct {
	spec   LinkSpec
	stale  Micros
	chance *rand.Rand
	value  PulseWidth
	due    Micros
}

// NewLink returns the link of a rig at t = 0 with the switch at value. phase is
// when the first frame is sent, from 0 to less than the frame period
// ([LinkSpec.FramePhase]); chance decides which frames are lost. Both are unused without
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

// RefreshPhase draws a start time, uniform over the line's refresh period. As a
// chain refreshes its line at t = 0, an action that starts then starts at a
// random phase of the refresh.
func (s LineSpec) RefreshPhase(chance *rand.Rand) Micros { return uniformBelow(s.Update, chance) }

func uniformBelow(period Micros, chance *rand.Rand) Micros {
	if period == 0 {
		return 0
	}
	return Micros(chance.Int64N(int64(period)))
}

// Step takes a move of the switch. A frame at the same moment sees it, so call
// Expire first for everything due before it, but not for what is due at it.
func (l *Link) Step(at Micros, v PulseWidth) (Sample, bool) {
	l.value = v
	if l.spec.Frame > 0 {
		return Sample{}, false
	}
	return l.send(at), true
}

// Deadline returns the moment of the next frame.
func (l *Link) Deadline() Micros { return l.due }

// Expire sends a frame; it may be lost.
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

// send passes the value on when there is no frame period.
func (l *Link) send(at Micros) Sample {
	l.due = at + l.stale
	return Sample{at, l.value, Absent}
}

// LinkedChain is a [Chain] behind a [Link]: it takes moves of the switch
// instead of samples. The link is up at the start: the value at t = 0 has
// arrived.
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

// Advance processes everything before the moment to. Later moves must not be
// earlier than that.
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

// Chain returns the chain behind the link, for reading only.
func (c *LinkedChain) Chain() *Chain { return c.chain }

// send sends the frames before a moment.
func (c *LinkedChain) send(before Micros) {
	for due := c.link.Deadline(); due < before; due = c.link.Deadline() {
		if s, arrived := c.link.Expire(due); arrived {
			c.chain.Feed(s)
		}
	}
}
