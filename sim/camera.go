package sim

// Camera is the last stage: the record button (M7) and what its presses do to
// the camera (M8). Its input is the level that the camera reads.
//
// At one instant, the camera acts in this order: a busy time that is over ends;
// a release whose gap is complete counts; the level of that instant is read; a
// threshold reached with the button still down acts.
type Camera struct {
	spec   CameraSpec
	window Window
	record *Record

	state State
	// next is the state that follows without input at nextAt, which is Never if
	// none does.
	next   State
	nextAt Micros

	takeStart Micros // of the running take; meaningful while recording

	// The camera has been in standby since standbySince. Its line has been
	// released since releasedSince, or Never while pressed. See idleDue.
	standbySince, releasedSince Micros

	// press is the current press while down is set. The line has been released
	// since upAt, which is Never while the line is pressed. upUnseen belongs to
	// upAt.
	press    Press
	down     bool
	upAt     Micros
	upUnseen Micros

	// The moments at which the current press reaches the thresholds; Never for
	// one that is past or acts only at the release.
	toggleAt, longAt, wakeAt Micros
	toggled, fired, woke     bool // what the current press has done

	waiting waiting // a press that would toggle, where presses can be pairs
	doubled bool    // the current press was the second of a pair

	supposed Verdict   // of the current press or, while up, of the next one; see Suppose
	watching *watching // nil if no comparisons are reported
}

// NewCamera returns the camera at t = 0 with the given level. It writes what
// happens to record. window gives the thresholds, as those in spec may be
// ranges.
func NewCamera(spec CameraSpec, window Window, pressed bool, record *Record) Camera {
	c := Camera{
		spec: spec, window: window, record: record,
		nextAt: Never, upAt: Never, toggleAt: Never, longAt: Never, wakeAt: Never,
	}
	if pressed {
		c.releasedSince = Never
	}
	c.enter(0, State(spec.Start))
	if pressed {
		c.goDown(Edge{At: 0, Pressed: true})
	}
	return c
}

// State returns the state after the last step.
func (c *Camera) State() State { return c.state }

// TakeStart returns when the running take started, if one runs.
func (c *Camera) TakeStart() (Micros, bool) { return c.takeStart, c.state == StateRecording }

// BusyUntil returns when the current busy time ends; Never if the camera is not
// busy.
func (c *Camera) BusyUntil() Micros { return c.nextAt }

// Holding returns the current press if the button is down. Its Up and Verdict
// are not yet set.
func (c *Camera) Holding() (Press, bool) { return c.press, c.down }

// Step takes an edge of the level. Call Expire first for everything due before
// it.
func (c *Camera) Step(e Edge) {
	c.comparePending(e.At)
	if c.nextAt <= e.At {
		c.moveOn(e.At)
	}
	if c.idleDue() <= e.At {
		c.enter(e.At, StateOff)
	}
	if c.waitingDue() <= e.At {
		c.endWaiting(e.At)
	}
	if c.gapDue() <= e.At {
		c.release(e.At)
	}
	if !c.ignores(e) {
		c.releasedSince = Never
		if !e.Pressed {
			c.releasedSince = e.At
		}
	}
	switch {
	case !e.Pressed:
		c.upAt, c.upUnseen = e.At, e.Unseen
		if c.spec.MinGap == 0 {
			c.release(e.At)
		}
	case c.down:
		c.endBreak(e.At)
	default:
		c.goDown(e)
	}
}

// Deadline returns the next moment at which the camera acts without input.
func (c *Camera) Deadline() Micros {
	due := min(c.nextAt, c.idleDue(), c.waitingDue(), c.gapDue())
	if c.upAt == Never {
		due = min(due, c.toggleAt, c.longAt, c.wakeAt)
	}
	return due
}

// Expire acts at a deadline.
func (c *Camera) Expire(at Micros) {
	c.comparePending(at)
	switch {
	case c.nextAt == at:
		c.moveOn(at)
	case c.idleDue() == at:
		c.enter(at, StateOff)
	case c.waitingDue() == at:
		c.endWaiting(at)
	case c.gapDue() == at:
		c.release(at)
	default:
		c.reachThresholds(at)
	}
}

// Finish ends the log at end. Call Expire first for everything due by then.
func (c *Camera) Finish(end Micros) {
	c.comparePending(end)
	if c.down {
		c.press.Verdict = c.verdictWhileDown()
		c.press.StateAfter = c.state
		c.record.Presses = appendDoubling(c.record.Presses, c.press)
		c.down = false
	}
	c.endTake(end, EndLog, 0)
}

// gapDue returns when the current release will count.
func (c *Camera) gapDue() Micros {
	if c.upAt == Never {
		return Never
	}
	return c.upAt + c.spec.MinGap
}

// idleDue returns when an idle camera in standby switches off (M8).
func (c *Camera) idleDue() Micros {
	if c.state != StateStandby || c.spec.AutoOff == Never || c.releasedSince == Never {
		return Never
	}
	return max(c.standbySince, c.releasedSince) + c.spec.AutoOff
}

// goDown starts a press and sets which thresholds it can reach: an accepted
// press may toggle or become long; a press while the camera is off may wake it.
func (c *Camera) goDown(e Edge) {
	c.down = true
	c.press = Press{
		N: len(c.record.Presses) + 1, Down: e.At, Up: Never, Effect: Never, Acts: Never,
		FromStart: e.At == 0, StateAt: c.state, Flick: int(e.Flick), DownUnseen: e.Unseen,
	}
	c.toggled, c.fired, c.woke, c.doubled = false, false, false, false
	c.pairUp()
	c.toggleAt, c.longAt, c.wakeAt = Never, Never, Never
	switch {
	case c.state.Accepts():
		if c.spec.ToggleOn == ToggleOnPress && c.mayGet(VerdictToggle, VerdictLong) {
			c.toggleAt = e.At + c.window.MinPress
		}
		if c.spec.LongFires == LongAtThreshold && c.mayGet(VerdictLong) {
			c.longAt = e.At + c.window.LongPress
		}
	case c.state == StateOff && c.spec.WakePress != Never && c.mayGet(VerdictWake):
		c.wakeAt = e.At + c.spec.WakePress
	}
}

// Accepts reports whether a press that goes down in the state is accepted (M8).
func (s State) Accepts() bool { return s == StateStandby || s == StateRecording }

// endBreak handles a break too short to be a release. Thresholds reached during
// it act now.
func (c *Camera) endBreak(at Micros) {
	c.upAt = Never
	c.comparePending(at)
	c.reachThresholds(at)
}

// reachThresholds applies every threshold reached by now, in order.
func (c *Camera) reachThresholds(at Micros) {
	if c.toggleAt <= at {
		c.toggle(at)
	}
	if c.longAt <= at {
		c.long(at)
	}
	if c.wakeAt <= at {
		c.wake(at)
	}
}

// release counts the current release, at its effect time.
func (c *Camera) release(at Micros) {
	p := &c.press
	p.Up, p.UpUnseen, p.Effect = c.upAt, c.upUnseen, at
	c.upAt, c.down = Never, false
	hold := p.Hold()
	c.compareHold(hold)
	switch {
	case p.StateAt.Accepts():
		c.act(at, c.judge(hold))
	case p.StateAt == StateOff && c.wakes(hold) && !c.woke:
		c.wake(at)
	}
	c.toggleAt, c.longAt, c.wakeAt = Never, Never, Never
	p.Verdict = c.verdict(hold)
	p.StateAfter = c.state
	c.record.Presses = appendDoubling(c.record.Presses, *p)
	c.supposed = ""
}

// act does what the verdict on an accepted press calls for and has not happened
// yet.
func (c *Camera) act(at Micros, v Verdict) {
	if c.spec.DoubleWithin > 0 && c.actInPairs(at, v) {
		return
	}
	if !c.toggled && (v == VerdictToggle || v == VerdictLong && c.spec.ToggleOn == ToggleOnPress) {
		c.toggle(at)
	}
	if v == VerdictLong && !c.fired {
		c.long(at)
	}
}

// verdict judges a press that has been released.
func (c *Camera) verdict(hold Micros) Verdict {
	switch {
	case c.doubled:
		return VerdictDouble
	case c.press.StateAt.Accepts():
		return c.judge(hold)
	default:
		return c.verdictUnaccepted()
	}
}

// judge returns the verdict on an accepted press with this hold (M7).
func (w Window) judge(hold Micros) Verdict {
	switch {
	case hold < w.MinPress:
		return VerdictShort
	case hold < w.LongPress:
		return VerdictToggle
	default:
		return VerdictLong
	}
}

// verdictWhileDown judges a press that is still down when the log ends.
func (c *Camera) verdictWhileDown() Verdict {
	switch {
	case !c.press.StateAt.Accepts():
		return c.verdictUnaccepted()
	case c.supposed == VerdictIgnored:
		return VerdictIgnored
	case c.fired:
		return VerdictLong
	default:
		return VerdictOpen
	}
}

func (c *Camera) verdictUnaccepted() Verdict {
	switch {
	case c.woke:
		return VerdictWake
	case c.press.StateAt == StateOff:
		return VerdictOff
	case c.press.StateAt == StateUnknown:
		return VerdictUnknown
	default:
		return VerdictBusy
	}
}

// toggle has the current press start or stop recording.
func (c *Camera) toggle(at Micros) {
	c.toggled, c.toggleAt, c.press.Acts = true, Never, at
	c.toggleBy(at, c.press.N)
}

// toggleBy starts or stops recording because of a press.
func (c *Camera) toggleBy(at Micros, press int) {
	to := StateRecording
	if c.state == StateRecording {
		to = StateStandby
	}
	c.record.Toggles = appendDoubling(c.record.Toggles, Toggle{at, to, press})
	if to == StateStandby {
		c.endTake(at, EndPress, press)
		c.passThrough(at, StateStopping, c.spec.StopDelay, StateStandby)
	} else {
		c.passThrough(at, StateStarting, c.spec.StartDelay, StateRecording)
	}
}

// long applies the long action.
func (c *Camera) long(at Micros) {
	if c.waiting.second {
		c.endWaiting(at) // the first press of the two toggles just before it
	}
	c.fired, c.longAt, c.press.Acts = true, Never, at
	c.perform(c.spec.LongAction, at)
}

// perform has the current press do an action other than toggling.
func (c *Camera) perform(action Action, at Micros) {
	switch action {
	case ActionPowerOff:
		c.endTake(at, EndPowerOff, c.press.N)
		c.enter(at, StateOff)
	case ActionUnknown:
		c.endTake(at, EndUnknown, c.press.N)
		c.enter(at, StateUnknown)
	case ActionNone:
	}
}

// wake boots a camera that is off.
func (c *Camera) wake(at Micros) {
	c.woke, c.wakeAt, c.press.Acts = true, Never, at
	c.passThrough(at, StateBooting, c.spec.Boot, State(c.spec.WakeInto))
}

// passThrough enters a state that another follows after a time.
func (c *Camera) passThrough(at Micros, state State, lasts Micros, then State) {
	c.enter(at, state)
	c.next, c.nextAt = then, at+lasts
	if lasts == 0 {
		c.moveOn(at)
	}
}

// moveOn enters the state that follows without input.
func (c *Camera) moveOn(at Micros) { c.enter(at, c.next) }

// enter sets a state that lasts until something ends it.
func (c *Camera) enter(at Micros, state State) {
	c.state, c.nextAt = state, Never
	switch state {
	case StateRecording:
		c.takeStart = at
	case StateStandby:
		c.standbySince = at
	}
	c.record.setState(at, state)
}

// endTake ends the running take, if one runs.
func (c *Camera) endTake(at Micros, how TakeEnd, press int) {
	if c.state == StateRecording {
		c.record.addTake(Take{Start: c.takeStart, End: at, Ended: how, EndedBy: press})
	}
}
