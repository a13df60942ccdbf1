package sim

// twin is the model of M0 to M8 again, written plainly as a loop over every
// microsecond. It is slow, keeps all history, and shares no code with the stages.
// The property tests compare the chain with it.
type twin struct {
	rig     Rig
	window  Window
	samples []Sample
	end     Micros

	position, settled, pulse, line, wire []bool // one value a microsecond
	record                               Record
}

func runTwin(rig Rig, window Window, samples []Sample, end Micros) *twin {
	t := &twin{rig: rig, window: window, samples: samples, end: end}
	t.selectPositions()
	t.settlePositions()
	t.firePulses()
	t.refreshLine()
	t.carryToCamera()
	t.runCamera()
	return t
}

// selectPositions follows M1, M2, M3.
func (t *twin) selectPositions() {
	loss := t.rig.SignalLoss
	pressed := loss.Then == LossPress
	last, seen := Micros(0), false
	next := 0
	for at := Micros(0); at <= t.end; at++ {
		value, has, says := Absent, false, false
		for next < len(t.samples) && t.samples[next].At == at {
			v := t.samples[next].Channel
			if v >= t.rig.Switch.Valid.Low && v <= t.rig.Switch.Valid.High {
				value, has, says = v, true, false
			} else if v == Lost {
				has, says = false, true
			}
			next++
		}
		if says {
			last = at - loss.StaleAfter
		}
		switch {
		case has:
			last, seen = at, true
			pressed = t.presses(value, pressed)
		case seen && at >= last+loss.StaleAfter && loss.Then == LossRelease:
			pressed = false
		case seen && at >= last+loss.StaleAfter && loss.Then == LossPress:
			pressed = true
		}
		t.position = append(t.position, pressed)
	}
}

func (t *twin) presses(v PulseWidth, pressed bool) bool {
	margin := PulseWidth(0)
	if pressed {
		margin = t.rig.Switch.Hysteresis
	}
	for _, r := range t.rig.Switch.Press {
		if v >= r.Low-margin && v < r.High+margin {
			return true
		}
	}
	return false
}

// settlePositions follows M4: a position counts at a moment if the switch was in
// it then and throughout the settle time before.
func (t *twin) settlePositions() {
	counts := t.position[0]
	for at := range t.position {
		since := at
		for since > 0 && t.position[since-1] == t.position[at] {
			since--
		}
		if Micros(at-since) >= t.rig.Switch.Settle {
			counts = t.position[at]
		}
		t.settled = append(t.settled, counts)
	}
}

// firePulses follows M5.
func (t *twin) firePulses() {
	shot := t.rig.OneShot
	if shot.Trigger == TriggerOff {
		t.pulse = t.settled
		return
	}
	ends, ready := 0, 0
	for at := range t.settled {
		edge := at > 0 && t.settled[at] != t.settled[at-1]
		if edge && at >= ready && (shot.Trigger == TriggerBoth || t.settled[at]) {
			ends = at + int(shot.Width)
			ready = ends + int(shot.Rest)
		}
		t.pulse = append(t.pulse, at < ends)
	}
}

// refreshLine follows the first half of M6.
func (t *twin) refreshLine() {
	level := false
	for at, pulse := range t.pulse {
		if t.rig.Line.Update == 0 || Micros(at)%t.rig.Line.Update == 0 {
			level = pulse
		}
		t.line = append(t.line, level)
	}
}

// carryToCamera follows the second half of M6.
func (t *twin) carryToCamera() {
	for at := range t.line {
		level := t.rig.Line.Boot == BootPressed
		if from := at - int(t.rig.Line.Delay); from >= 0 {
			level = t.line[from]
		}
		if (t.rig.Line.Active != t.rig.Camera.PressedLevel) != (t.rig.Line.Through == ThroughInverting) {
			level = !level
		}
		t.wire = append(t.wire, level)
	}
}

// twinCamera is the camera of M7 and M8, evaluated at every microsecond.
type twinCamera struct {
	spec   CameraSpec
	window Window
	record *Record

	state     State
	busyEnds  Micros
	then      State
	takeSince Micros
	idle      Micros // how long the line has been released in standby

	wasIdle bool // released and in standby at the microsecond before

	waits      int // number of the press that waits for another, 0 if none (M12)
	waitsSince Micros
	second     bool // the press in hand is that other one
	double     bool

	press    *Press
	breakAt  Micros // start of a break in the press, -1 without one
	toggled  bool
	long     bool
	woke     bool
	accepted bool
}

func (t *twin) runCamera() {
	c := &twinCamera{spec: t.rig.Camera, window: t.window, record: &t.record, busyEnds: -1, breakAt: -1}
	c.state = State(t.rig.Camera.Start)
	t.record.States = append(t.record.States, StateChange{0, c.state})
	for i, level := range t.wire {
		before := c.state
		c.tick(Micros(i), level)
		switch {
		case i == 0:
			t.record.States[0].State = c.state
		case c.state != before:
			t.record.States = append(t.record.States, StateChange{Micros(i), c.state})
		}
	}
	if c.press != nil {
		c.closePress(Never)
	}
	if c.state == StateRecording {
		c.cutTake(t.end, EndLog, 0)
	}
}

func (c *twinCamera) tick(at Micros, level bool) {
	if at == c.busyEnds {
		c.setState(at, c.then)
	}
	if c.wasIdle && c.spec.AutoOff != Never {
		if c.idle++; c.idle == c.spec.AutoOff {
			c.setState(at, StateOff)
		}
	}
	defer func() {
		if c.wasIdle = !level && c.state == StateStandby; !c.wasIdle {
			c.idle = 0
		}
	}()
	if c.waits > 0 && !c.second && at >= c.waitsSince+c.spec.DoubleWithin {
		c.toggleWaiting(at)
	}
	if c.press != nil && c.breakAt >= 0 && at-c.breakAt >= c.spec.MinGap {
		c.letGo(at)
	}
	switch {
	case level && c.press == nil:
		c.press = &Press{N: len(c.record.Presses) + 1, Down: at, Up: Never, Effect: Never, Acts: Never, StateAt: c.state, FromStart: at == 0}
		c.accepted = c.state == StateStandby || c.state == StateRecording
		c.toggled, c.long, c.woke, c.double = false, false, false, false
		c.second = c.accepted && c.waits > 0
	case level:
		c.breakAt = -1
	case c.press != nil && c.breakAt < 0:
		c.breakAt = at
		if c.spec.MinGap == 0 {
			c.letGo(at)
		}
	}
	if c.press != nil && c.breakAt < 0 {
		c.whileDown(at, at-c.press.Down)
	}
}

// whileDown lets thresholds act on a button that is down.
func (c *twinCamera) whileDown(at, held Micros) {
	if c.accepted && !c.toggled && c.spec.ToggleOn == ToggleOnPress && held >= c.window.MinPress {
		c.doToggle(at)
	}
	if c.accepted && !c.long && c.spec.LongFires == LongAtThreshold && held >= c.window.LongPress {
		c.doLong(at)
	}
	if c.press.StateAt == StateOff && !c.woke && c.spec.WakePress != Never && held >= c.spec.WakePress {
		c.doWake(at)
	}
}

// letGo counts the release whose break started at breakAt.
func (c *twinCamera) letGo(at Micros) {
	hold := c.breakAt - c.press.Down
	toggles := hold >= c.window.MinPress && hold < c.window.LongPress
	if c.spec.ToggleOn == ToggleOnPress {
		toggles = hold >= c.window.MinPress
	}
	switch {
	case c.accepted && toggles && c.second:
		c.doDouble(at)
	case c.accepted && toggles && c.spec.DoubleWithin > 0:
		c.waits, c.waitsSince = c.press.N, at
	case c.accepted && toggles && !c.toggled:
		c.doToggle(at)
	case c.second && hold < c.window.MinPress:
		c.second = false
		if at >= c.waitsSince+c.spec.DoubleWithin {
			c.toggleWaiting(at)
		}
	}
	if c.accepted && hold >= c.window.LongPress && !c.long {
		c.doLong(at)
	}
	if c.press.StateAt == StateOff && c.spec.WakePress != Never && hold >= c.spec.WakePress && !c.woke {
		c.doWake(at)
	}
	c.press.Up = c.breakAt
	c.closePress(at)
}

func (c *twinCamera) closePress(effect Micros) {
	p := c.press
	p.Effect, p.StateAfter = effect, c.state
	open := effect == Never
	switch {
	case c.woke:
		p.Verdict = VerdictWake
	case p.StateAt == StateOff:
		p.Verdict = VerdictOff
	case p.StateAt == StateUnknown:
		p.Verdict = VerdictUnknown
	case !c.accepted:
		p.Verdict = VerdictBusy
	case open && c.long:
		p.Verdict = VerdictLong
	case open:
		p.Verdict = VerdictOpen
	case c.double:
		p.Verdict = VerdictDouble
	case p.Up-p.Down < c.window.MinPress:
		p.Verdict = VerdictShort
	case p.Up-p.Down >= c.window.LongPress:
		p.Verdict = VerdictLong
	default:
		p.Verdict = VerdictToggle
	}
	c.record.Presses = append(c.record.Presses, *p)
	c.press, c.breakAt = nil, -1
}

// toggleWaiting has the press that waits toggle (M12).
func (c *twinCamera) toggleWaiting(at Micros) {
	p := &c.record.Presses[c.waits-1]
	c.waits, c.second = 0, false
	p.Acts = at
	c.toggleBy(at, p.N)
	p.StateAfter = c.state
}

// doDouble does what a pair does (M12).
func (c *twinCamera) doDouble(at Micros) {
	first := &c.record.Presses[c.waits-1]
	c.waits, c.second, c.double = 0, false, true
	c.press.Acts = at
	switch c.spec.DoubleAction {
	case ActionPowerOff:
		if c.state == StateRecording {
			c.cutTake(at, EndPowerOff, c.press.N)
		}
		c.setState(at, StateOff)
	case ActionUnknown:
		if c.state == StateRecording {
			c.cutTake(at, EndUnknown, c.press.N)
		}
		c.setState(at, StateUnknown)
	}
	first.Verdict, first.StateAfter = VerdictDouble, c.state
}

func (c *twinCamera) doToggle(at Micros) {
	c.toggled, c.press.Acts = true, at
	c.toggleBy(at, c.press.N)
}

func (c *twinCamera) toggleBy(at Micros, press int) {
	if c.state == StateRecording {
		c.record.Toggles = append(c.record.Toggles, Toggle{at, StateStandby, press})
		c.cutTake(at, EndPress, press)
		c.setState(at, StateStopping)
		c.later(at, c.spec.StopDelay, StateStandby)
		return
	}
	c.record.Toggles = append(c.record.Toggles, Toggle{at, StateRecording, press})
	c.setState(at, StateStarting)
	c.later(at, c.spec.StartDelay, StateRecording)
}

func (c *twinCamera) doLong(at Micros) {
	if c.second {
		c.toggleWaiting(at)
	}
	c.long, c.press.Acts = true, at
	ends := map[Action]TakeEnd{ActionPowerOff: EndPowerOff, ActionUnknown: EndUnknown}
	states := map[Action]State{ActionPowerOff: StateOff, ActionUnknown: StateUnknown}
	if c.spec.LongAction == ActionNone {
		return
	}
	if c.state == StateRecording {
		c.cutTake(at, ends[c.spec.LongAction], c.press.N)
	}
	c.setState(at, states[c.spec.LongAction])
}

func (c *twinCamera) doWake(at Micros) {
	c.woke, c.press.Acts = true, at
	c.setState(at, StateBooting)
	c.later(at, c.spec.Boot, State(c.spec.WakeInto))
}

func (c *twinCamera) later(at, lasts Micros, then State) {
	if lasts == 0 {
		c.setState(at, then)
		return
	}
	c.busyEnds, c.then = at+lasts, then
}

func (c *twinCamera) setState(at Micros, s State) {
	c.state, c.busyEnds = s, -1
	if s == StateRecording {
		c.takeSince = at
	}
}

func (c *twinCamera) cutTake(at Micros, how TakeEnd, press int) {
	if at > c.takeSince {
		c.record.Takes = append(c.record.Takes, Take{len(c.record.Takes) + 1, c.takeSince, at, how, press})
	}
}
