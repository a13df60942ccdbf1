package sim

import "fmt"

// Chain wires the steps in the order of the signal:
//
//	sample ─► Selector ─► Settle ─► OneShot ─► Line ─► Wire ─► Camera
//
// Feed it the samples of one log in order of time and call Finish, or Advance
// in between for a look at a moment without a sample. How the samples are cut
// into pieces does not matter.
//
// Equal times (M0): every step first acts on all that was due before an
// instant, then on the input of that instant, then on what is due at it.
// Upstream goes first, so a step sees one final input per instant.
type Chain struct {
	rig      Rig
	selector Selector
	settle   Settle
	shot     OneShot
	line     Line
	wire     Wire
	camera   Camera
	armed    armed

	// waiting is the latest valid sample that may change something: a later
	// one at the same time replaces it.
	waiting    Sample
	hasWaiting bool
	begun      bool // t = 0 has passed through the steps

	out Replay
}

// NewChain returns a chain for one log. The rig must be valid ([Rig.Validate]);
// thresholds given as ranges are taken at their middle.
func NewChain(rig Rig) *Chain { return NewChainAt(rig, rig.Camera.Window()) }

// NewChainAt returns a chain whose camera has the given press window.
func NewChainAt(rig Rig, window Window) *Chain {
	c := &Chain{
		rig:      rig,
		selector: NewSelector(rig.Switch, rig.SignalLoss),
		armed:    newArmed(rig.Log),
	}
	c.out.Rig, c.out.Window = rig, window
	return c
}

// Feed takes the next sample. Its time must not be before that of the sample
// before it.
func (c *Chain) Feed(s Sample) {
	stats := &c.out.Samples
	if s.At < stats.End {
		panic(fmt.Sprintf("internal error: sample at %d µs after one at %d µs", s.At, stats.End))
	}
	stats.Count++
	stats.End = s.At
	c.armed.step(s.At, s.Armed)
	if !c.hasWaiting && c.selector.StepCalm(s.At, s.Channel) {
		stats.Valid++
		return
	}
	c.feedEventful(s)
}

// feedEventful takes a sample that may change something.
func (c *Chain) feedEventful(s Sample) {
	if c.hasWaiting && s.At > c.waiting.At {
		c.flush()
	}
	if !c.rig.Switch.IsValid(s.Channel) {
		if c.out.Tap != TapChannel {
			c.tapAbsent(s.At)
		}
		return
	}
	c.out.Samples.Valid++
	c.waiting, c.hasWaiting = s, true
}

// Advance lets everything before the moment to happen. No sample before it may
// follow.
func (c *Chain) Advance(to Micros) {
	if c.hasWaiting && c.waiting.At < to {
		c.flush()
	}
	c.begin(to)
	c.run(to)
}

// Finish ends the log at its last sample, and returns what happened. The chain
// must not be used after it.
func (c *Chain) Finish() *Replay { return c.FinishAt(c.out.Samples.End) }

// FinishAt ends the log at a moment not before its last sample.
func (c *Chain) FinishAt(end Micros) *Replay {
	c.Advance(end + 1)
	c.camera.Finish(end)
	c.out.End = end
	if c.selector.Lost() {
		c.endLoss(end)
	}
	c.out.Lanes = c.out.Lanes.withoutStepsBefore(c.out.Tap)
	if c.rig.Log.Armed != "" && c.armed.told {
		c.out.Armed = newArmedTime(c.armed.windows(end), c.out.Takes)
	}
	return &c.out
}

// Camera returns the camera as it stands after the last Advance.
func (c *Chain) Camera() *Camera { return &c.camera }

// Pressed returns the position of the switch after the last Advance.
func (c *Chain) Pressed() bool { return c.selector.Pressed() }

// SignalLost reports whether the signal is lost after the last Advance.
func (c *Chain) SignalLost() bool { return c.selector.Lost() }

// SoFar returns what has been noted up to the last Advance. The chain goes on
// adding to it.
func (c *Chain) SoFar() *Replay { return &c.out }

// flush sends the waiting sample through.
func (c *Chain) flush() {
	s := c.waiting
	c.hasWaiting = false
	c.begin(s.At)
	c.run(s.At)
	if c.selector.Lost() {
		c.endLoss(s.At)
	} else if c.out.Tap == TapWire {
		c.selector.alive(s.At - 1)
	}
	if e, changed := c.selector.Step(s.At, s.Channel); changed && c.begun {
		c.toSettle(e)
	}
}

// begin brings the steps to t = 0 once the instant 0 is complete, that is, as
// soon as something later is asked for.
func (c *Chain) begin(before Micros) {
	if c.begun || before == 0 {
		return
	}
	c.begun = true
	position := c.selector.Pressed()
	c.settle = NewSettle(c.rig.Switch.Settle, position)
	c.shot = NewOneShot(c.rig.OneShot, position)
	c.line = NewLine(c.rig.Line.Update, c.shot.Pressed())
	c.wire = NewWire(c.rig.Line, c.rig.Inverted(), c.line.Pressed())
	c.camera = NewCamera(c.rig.Camera, c.out.Window, c.wire.Pressed(), &c.out.Record)
	l := &c.out.Lanes
	l.Position.Start(position)
	l.Settled.Start(position)
	l.Pulse.Start(c.shot.Pressed())
	l.Line.Start(c.line.Pressed())
	l.Wire.Start(c.wire.Pressed())
}

// run lets every step act on what is due before a moment, in their order: what
// a step hands on is earlier than the moment too.
func (c *Chain) run(before Micros) {
	for due := c.selector.Deadline(); due < before; due = c.selector.Deadline() {
		c.beginLoss(due)
		if e, changed := c.selector.Expire(due); changed {
			c.toSettle(e)
		}
	}
	c.runSettle(before)
	c.runShot(before)
	c.runLine(before)
	c.runWire(before)
	c.runCamera(before)
}

func (c *Chain) toSettle(e Edge) {
	c.out.Lanes.Position.add(e)
	c.runSettle(e.At)
	if e, changed := c.settle.Step(e); changed {
		c.toShot(e)
	}
}

func (c *Chain) runSettle(before Micros) {
	for due := c.settle.Deadline(); due < before; due = c.settle.Deadline() {
		if e, changed := c.settle.Expire(due); changed {
			c.toShot(e)
		}
	}
}

func (c *Chain) toShot(e Edge) {
	c.out.Lanes.Settled.add(e)
	c.runShot(e.At)
	if e, changed := c.shot.Step(e); changed {
		c.toLine(e)
	}
}

func (c *Chain) runShot(before Micros) {
	for due := c.shot.Deadline(); due < before; due = c.shot.Deadline() {
		if e, changed := c.shot.Expire(due); changed {
			c.toLine(e)
		}
	}
}

func (c *Chain) toLine(e Edge) {
	c.out.Lanes.Pulse.add(e)
	c.runLine(e.At)
	if e, changed := c.line.Step(e); changed {
		c.toWire(e)
	}
}

func (c *Chain) runLine(before Micros) {
	for due := c.line.Deadline(); due < before; due = c.line.Deadline() {
		if e, changed := c.line.Expire(due); changed {
			c.toWire(e)
		}
	}
}

func (c *Chain) toWire(e Edge) {
	c.out.Lanes.Line.add(e)
	c.runWire(e.At)
	if e, changed := c.wire.Step(e); changed {
		c.toCamera(e)
	}
}

func (c *Chain) runWire(before Micros) {
	for due := c.wire.Deadline(); due < before; due = c.wire.Deadline() {
		if e, changed := c.wire.Expire(due); changed {
			c.toCamera(e)
		}
	}
}

func (c *Chain) toCamera(e Edge) {
	c.out.Lanes.Wire.add(e)
	c.runCamera(e.At)
	c.camera.Step(e)
}

func (c *Chain) runCamera(before Micros) {
	for due := c.camera.Deadline(); due < before; due = c.camera.Deadline() {
		c.camera.Expire(due)
	}
}

// beginLoss and endLoss note the time during which the signal is lost.
func (c *Chain) beginLoss(at Micros) { c.out.lossSince = at }

func (c *Chain) endLoss(at Micros) {
	if at > c.out.lossSince {
		c.out.Lost = append(c.out.Lost, Span{c.out.lossSince, at})
	}
}
