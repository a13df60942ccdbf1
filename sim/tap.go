package sim

// Tap says where between the switch and the camera a log was recorded. A log
// recorded further down carries in it what the steps before have done, so they
// are left out, and with them what the rig says about a lost signal: the
// controller has already acted on it.
type Tap string

// The taps. The zero value is TapChannel.
const (
	// TapChannel is the channel as the controller receives it: all steps follow.
	TapChannel Tap = ""
	// TapOutput is the controller's output as a pulse width: the press ranges
	// tell its level (M3); delay and polarity of the line follow, then the camera.
	TapOutput Tap = "output"
	// TapWire is the level of the camera's wire, as LevelLow or LevelHigh: the
	// camera alone follows, and only its pressed level counts. Whoever watches the
	// wire all the time says so by a sample of the old level before each change.
	TapWire Tap = "wire"
)

// What stands for the two levels of a wire in the samples of [TapWire].
const (
	LevelLow  PulseWidth = 1000
	LevelHigh PulseWidth = 2000
)

// from returns the rig with the steps before the tap letting all through.
func (r Rig) from(tap Tap) Rig {
	if tap == TapChannel {
		return r
	}
	r.SignalLoss = SignalLossSpec{StaleAfter: MaxDuration, Then: LossHold}
	r.Switch.Settle = 0
	r.OneShot.Trigger = TriggerOff
	r.Line.Update = 0
	if tap == TapWire {
		r.Switch.Hysteresis = 0
		r.Switch.Valid = PulseRange{LevelLow, LevelHigh}
		r.Line.Delay = 0
		r.Line.Active, r.Line.Through = r.Camera.PressedLevel, ThroughDirect
		const between = (LevelLow + LevelHigh) / 2
		r.Switch.Press = []PulseRange{{between, LevelHigh + 1}}
		if r.Camera.PressedLevel == ActiveLow {
			r.Switch.Press = []PulseRange{{LevelLow, between}}
		}
	}
	return r
}

// tapAbsent takes a sample beyond TapChannel that says: no signal from here. A
// valid one of the same instant outweighs it.
func (c *Chain) tapAbsent(at Micros) {
	outweighed := c.hasWaiting && at == c.waiting.At || at == c.selector.last
	if outweighed || c.selector.Lost() {
		return
	}
	c.beginLoss(at)
	c.selector.Expire(at)
}

// withoutStepsBefore returns the lanes without those before the tap.
func (l Lanes) withoutStepsBefore(tap Tap) Lanes {
	switch tap {
	case TapOutput:
		return Lanes{Line: l.Line, Wire: l.Wire}
	case TapWire:
		return Lanes{Wire: l.Wire}
	default:
		return l
	}
}
