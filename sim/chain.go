package sim

import "fmt"

// stage is a stage between the selector and the camera. Step gives it an edge;
// Deadline returns the next moment at which it acts without one, or [Never];
// Expire lets it act then. Both return the edge to pass on, if changed.
type stage interface {
	Step(Edge) (out Edge, changed bool)
	Deadline() Micros
	Expire(at Micros) (out Edge, changed bool)
}

// Chain wires the stages in the order of the signal:
//
//	sample ─► Selector ─► settle ─► oneShot ─► line ─► wire ─► Camera
//
// Feed it the samples of one log in order of time, in portions of any size, then
// call Finish. Call Advance in between to see the state at a moment without a
// sample.
//
// Equal times (M0): every stage first acts on all that was due before an
// instant, then on the input of that instant, then on what is due at it.
// Upstream goes first, so a stage sees one final input per instant.
type Chain struct {
	rig      Rig
	selector Selector
	hand     hand
	stages   [4]stage // settle, oneShot, line, wire
	lanes    [5]*Lane // the input of each stage and of the camera
	shared   [5]bool  // lanes equal to the one before: the stage between passes everything on
	camera   Camera
	armed    armed
	stepping stepping

	// waiting is the latest sample that may change something, valid or [Lost].
	// A later one at the same time replaces it.
	waiting    Sample
	hasWaiting bool
	// lostAfterValid: the waiting sample is [Lost], and a valid one came at the
	// same instant.
	lostAfterValid bool
	begun          bool // t = 0 has passed through the stages

	out Replay
}

// NewChain returns a chain for one log, recorded at tap. The rig must be valid
// ([Rig.Validate]); thresholds given as ranges are taken at their middle.
//
// At a tap other than [TapChannel], an absent sample means that there is no
// signal from its time on: the level holds, and is released before the first
// sample. The lanes of the stages before the tap stay empty.
func NewChain(tap Tap, rig Rig) *Chain {
	c := NewChainAt(rig.from(tap), rig.Camera.Window())
	c.out.Rig, c.out.Tap = rig, tap
	return c
}

// FlicksBy takes the flicks from another rig's switch, so that a flight has the
// same flicks whatever rig it is replayed with. Call it before the first
// sample.
func (c *Chain) FlicksBy(rig Rig) { c.hand = newHand(rig.from(c.out.Tap)) }

// NewChainAt is [NewChain] for a log of the channel, with the given thresholds.
func NewChainAt(rig Rig, window Window) *Chain {
	c := &Chain{
		rig:      rig,
		selector: NewSelector(rig.Switch, rig.SignalLoss),
		hand:     newHand(rig),
		armed:    armed{ranges: rig.Log.ArmedRange, since: Never},
	}
	c.out.Rig, c.out.Window = rig, window
	return c
}

// Feed takes the next sample. Its time must not be earlier than the previous
// one's.
func (c *Chain) Feed(s Sample) { c.FeedAll([]Sample{s}) }

// FeedAll feeds several samples in turn.
func (c *Chain) FeedAll(samples []Sample) {
	for len(samples) > 0 {
		if c.hasWaiting && c.waiting.At < samples[0].At {
			c.flush()
		}
		passed := c.passUnchanged(samples)
		if passed == 0 {
			c.feedEventful(samples[0])
			passed = 1
		}
		samples = samples[passed:]
	}
}

// passUnchanged consumes leading samples that change nothing but the time of
// the last sample, and returns how many it consumed. Nearly all samples are like
// that, so this loop decides how long a long log takes.
func (c *Chain) passUnchanged(samples []Sample) (passed int) {
	stats := &c.out.Samples
	if c.hasWaiting || samples[0].At < stats.End || !c.stepping.known {
		return 0
	}
	position, armed := c.selector.unchanged.within(c.hand.unchanged), c.armed.unchanged
	// A row after a gap needs the slow path.
	last, within := c.selector.last, min(c.selector.stale, c.stepping.firstLimit())
	for i := range samples {
		s := &samples[i]
		// A time that runs backwards wraps to a huge difference. NaN lies in no
		// range: as a position it ends the loop, as an armed value it changes
		// nothing.
		unchanged := s.Channel >= position.Low && s.Channel < position.High &&
			!(s.Armed < armed.Low || s.Armed >= armed.High) &&
			uint64(s.At-last) <= uint64(within)
		if !unchanged {
			break
		}
		last, within = s.At, min(c.selector.stale, c.stepping.limit)
		passed++
	}
	if passed > 0 {
		c.selector.passed(samples[:passed])
		c.stepping.last, c.stepping.omitted = last, 0
		stats.Count += passed
		stats.Valid += passed
		stats.End = last
	}
	return passed
}

// FeedBlock feeds a block from which samples may have been left out, as a
// [Thinning] for the chain's rig permits.
func (c *Chain) FeedBlock(b Block) {
	fed := 0
	for _, o := range b.Omitted {
		c.FeedAll(b.Samples[fed:o.Before])
		c.omit(o.Samples)
		fed = o.Before
	}
	c.FeedAll(b.Samples[fed:])
}

// omit counts samples that were left out, all of them valid.
func (c *Chain) omit(samples int) {
	c.out.Samples.Count += samples
	c.out.Samples.Valid += samples
	c.stepping.omitted += samples
}

// feedEventful handles a sample that may change something.
func (c *Chain) feedEventful(s Sample) {
	stats := &c.out.Samples
	if s.At < stats.End {
		panic(fmt.Sprintf("internal error: sample at %d µs after one at %d µs", s.At, stats.End))
	}
	stats.Count++
	stats.End = s.At
	c.stepping.note(s.At)
	c.armed.step(s.At, s.Armed)
	switch {
	case c.rig.Switch.IsValid(s.Channel):
		stats.Valid++
		c.lostAfterValid = false
	case c.out.Tap != TapChannel:
		c.tapAbsent(s.At)
		return
	case s.Channel != Lost:
		return
	case c.hasWaiting && c.waiting.Channel != Lost:
		c.lostAfterValid = true // at one instant
	}
	c.waiting, c.hasWaiting = s, true
}

// Advance processes everything before the moment to. Later samples must not be
// earlier than that.
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
	c.stepping.settle()
	c.out.Samples.Steps = c.stepping.steps
	if c.selector.Lost() {
		c.endLoss(end)
	}
	c.out.Lanes = c.out.Lanes.withoutStagesBefore(c.out.Tap)
	if c.out.Tap == TapWire {
		c.out.Flicks = flicksOfPresses(c.out.Presses)
	}
	c.out.judgeFlicks()
	if c.rig.Log.Armed != "" && c.armed.seen {
		c.out.Armed = newArmedTime(c.armed.windows(end), c.out.Takes)
	}
	return &c.out
}

// Camera returns the camera after the last Advance.
func (c *Chain) Camera() *Camera { return &c.camera }

// Pressed returns the position of the switch after the last Advance.
func (c *Chain) Pressed() bool { return c.selector.Pressed() }

// SignalLost reports whether the signal is lost after the last Advance.
func (c *Chain) SignalLost() bool { return c.selector.Lost() }

// SoFar returns the replay up to the last Advance. The chain keeps adding to
// it.
func (c *Chain) SoFar() *Replay { return &c.out }

// flush sends the waiting sample through.
func (c *Chain) flush() {
	s := c.waiting
	c.hasWaiting = false
	c.begin(s.At)
	c.run(s.At)
	if s.Channel == Lost {
		if c.lostAfterValid {
			c.selector.alive(s.At)
			c.lostAfterValid = false
		}
		c.lose(s.At)
		return
	}
	if c.selector.Lost() {
		c.endLoss(s.At)
	}
	e, changed := c.selector.Step(s.At, s.Channel)
	e.Flick = c.hand.step(&c.out.Flicks, s.Channel, e, changed)
	if changed && c.begun {
		c.push(0, e)
	}
}

// lose handles the receiver's report that the signal is lost.
func (c *Chain) lose(at Micros) {
	if c.selector.Lost() {
		return
	}
	c.beginLoss(at)
	if e, changed := c.selector.Expire(at); changed && c.begun {
		c.push(0, e)
	}
}

// begin sets up the stages at t = 0 once that instant is complete: as soon as
// something later is asked for.
func (c *Chain) begin(before Micros) {
	if c.begun || before == 0 {
		return
	}
	c.begun = true
	position := c.selector.Pressed()
	settle := newSettle(c.rig.Switch.Settle, position)
	shot := newOneShot(c.rig.OneShot, position)
	line := newLine(c.rig.Line.Update, shot.pressed)
	wire := newWire(c.rig.Line, c.rig.Inverted(), line.pressed)
	c.camera = NewCamera(c.rig.Camera, c.out.Window, wire.pressed, &c.out.Record)
	c.stages = [4]stage{&settle, &shot, &line, &wire}
	c.lanes = c.out.Lanes.all()
	c.shared = [5]bool{
		1: c.rig.Switch.Settle == 0,
		2: c.rig.OneShot.Trigger == TriggerOff,
		3: c.rig.Line.Update == 0,
		4: c.rig.Line.Delay == 0 && !c.rig.Inverted(),
	}
	for i, initial := range []bool{position, position, shot.pressed, line.pressed, wire.pressed} {
		c.lanes[i].Initial = initial
	}
}

// run lets the stages act, in order, on what is due before a moment. Whatever a
// stage passes on is earlier than that moment too.
func (c *Chain) run(before Micros) {
	if !c.begun {
		return
	}
	for due := c.selector.Deadline(); due < before; due = c.selector.Deadline() {
		c.beginLoss(due)
		if e, changed := c.selector.Expire(due); changed {
			c.hand.lost(c.out.Flicks)
			c.push(0, e)
		}
	}
	for i := range c.lanes {
		c.expire(i, before)
	}
}

// push passes an edge to a stage, or to the camera after the last of them.
func (c *Chain) push(i int, e Edge) {
	if c.shared[i] {
		c.lanes[i].Edges = c.lanes[i-1].Edges
	} else {
		c.lanes[i].Edges = appendDoubling(c.lanes[i].Edges, e)
	}
	c.expire(i, e.At)
	if i == len(c.stages) {
		c.camera.Step(e)
		return
	}
	if out, changed := c.stages[i].Step(e); changed {
		c.push(i+1, out)
	}
}

// expire lets a stage, or the camera after the last of them, act on what is due
// before a moment.
func (c *Chain) expire(i int, before Micros) {
	if i == len(c.stages) {
		c.camera.expireBefore(before, before)
		return
	}
	stage := c.stages[i]
	for due := stage.Deadline(); due < before; due = stage.Deadline() {
		if out, changed := stage.Expire(due); changed {
			c.push(i+1, out)
		}
	}
}

// beginLoss and endLoss record the time without a signal.
func (c *Chain) beginLoss(at Micros) { c.out.lossSince = at }

func (c *Chain) endLoss(at Micros) {
	if at > c.out.lossSince {
		c.out.Lost = append(c.out.Lost, Span{c.out.lossSince, at})
	}
}
