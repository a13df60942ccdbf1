package sim

// Tap says where between the switch and the camera a log was recorded. A log
// recorded further down already contains the effect of the earlier steps, so
// these are left out. The rig's handling of signal loss is left out too, as the
// controller has already acted on it.
type Tap string

// The taps. The zero value is TapChannel.
const (
	// TapChannel is the channel as the controller receives it: all steps follow.
	TapChannel Tap = ""
	// TapOutput is the controller's output as a pulse width. The press ranges
	// determine its level (M3); the delay and polarity of the line follow, then
	// the camera.
	TapOutput Tap = "output"
	// TapWire is the level of the camera's wire, as LevelLow or LevelHigh. Only
	// the camera follows, and only its pressed level counts. A recorder that
	// watches the wire all the time marks that by a sample of the old level
	// before each change.
	TapWire Tap = "wire"
)

// The two levels of a wire in the samples of [TapWire].
const (
	LevelLow  PulseWidth = 1000
	LevelHigh PulseWidth = 2000
)

// from returns the rig with the steps before the tap made transparent.
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

// tapAbsent handles an absent sample beyond TapChannel: no signal from here on.
// A valid sample at the same instant takes precedence.
func (c *Chain) tapAbsent(at Micros) {
	outweighed := c.hasWaiting && at == c.waiting.At || at == c.selector.last
	if outweighed || c.selector.Lost() {
		return
	}
	c.beginLoss(at)
	c.selector.Expire(at)
}

// withoutStepsBefore returns the lanes without those of the steps before the
// tap.
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
