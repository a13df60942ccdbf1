package sim

// oneShot turns edges of the position into pulses of a fixed width (M5).
// Without a trigger it passes the position on.
type oneShot struct {
	spec    OneShotSpec
	pressed bool   // the output
	ends    Micros // end of the current pulse, Never if there is none
	ready   Micros // edges before this moment are ignored
}

// newOneShot returns the stage at t = 0, where the position is not an edge.
func newOneShot(spec OneShotSpec, pressed bool) oneShot {
	return oneShot{spec: spec, pressed: pressed && spec.Trigger == TriggerOff, ends: Never}
}

// Step takes an edge of the position. An edge at the very end of a pulse
// without rest starts the next one, and the output stays pressed.
func (o *oneShot) Step(e Edge) (Edge, bool) {
	if o.spec.Trigger == TriggerOff {
		o.pressed = e.Pressed
		return e, true
	}
	if e.At < o.ready || o.spec.Trigger == TriggerRising && !e.Pressed {
		return Edge{}, false
	}
	was := o.pressed
	o.pressed = true
	o.ends = e.At + o.spec.Width
	o.ready = o.ends + o.spec.Rest
	return Edge{At: e.At, Pressed: true, Flick: e.Flick}, !was
}

// Deadline returns the end of the current pulse.
func (o *oneShot) Deadline() Micros { return o.ends }

// Expire ends the pulse.
func (o *oneShot) Expire(at Micros) (Edge, bool) {
	o.pressed, o.ends = false, Never
	return Edge{At: at}, true
}
