package sim

// Tap says where between the switch and the camera a log was recorded. The
// stages before the tap have already acted on the log, as has the controller on
// a lost signal, so these are left out.
type Tap string

// The taps. The zero value is TapChannel.
const (
	// TapChannel is the channel as the controller receives it. All stages follow.
	TapChannel Tap = ""
	// TapOutput is the controller's output as a pulse width. The press ranges
	// give its level (M3); delay, polarity and the camera follow.
	TapOutput Tap = "output"
	// TapWire is the level of the camera's wire, as LevelLow or LevelHigh. Only
	// the camera follows. A recorder that watches the wire all the time shows
	// that by a sample of the old level before each change.
	TapWire Tap = "wire"
)

// The two levels of a wire in the samples of [TapWire].
const (
	LevelLow  PulseWidth = 1000
	LevelHigh PulseWidth = 2000
)

// from returns the rig with the stages before the tap made transparent.
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

// tapAbsent handles an absent sample at a tap other than TapChannel: there is no
// signal from then on, unless a valid sample came at the same instant.
func (c *Chain) tapAbsent(at Micros) {
	outweighed := c.hasWaiting && at == c.waiting.At || at == c.selector.last
	if outweighed || c.selector.Lost() {
		return
	}
	c.beginLoss(at)
	c.selector.Expire(at)
}

// withoutStagesBefore returns the lanes without those of the stages before the
// tap.
func (l Lanes) withoutStagesBefore(tap Tap) Lanes {
	switch tap {
	case TapOutput:
		return Lanes{Line: l.Line, Wire: l.Wire}
	case TapWire:
		return Lanes{Wire: l.Wire}
	default:
		return l
	}
}
