package sim

// OneShot turns edges of the position into pulses of a fixed width (M5), or
// hands the position on where it has no trigger.
type OneShot struct {
	spec    OneShotSpec
	pressed bool
	ends    Micros // the running pulse's end, Never without one
	ready   Micros // edges before this moment are ignored
}

// NewOneShot returns the step; the position at t = 0 is no edge.
func NewOneShot(spec OneShotSpec, pressed bool) OneShot {
	return OneShot{spec: spec, pressed: pressed && spec.Trigger == TriggerOff, ends: Never}
}

// Pressed returns the output.
func (o *OneShot) Pressed() bool { return o.pressed }

// Step takes an edge of the position. An edge at the very end of a pulse that
// has no rest starts the next one, and the output stays pressed.
func (o *OneShot) Step(e Edge) (Edge, bool) {
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

// Deadline returns the end of the running pulse.
func (o *OneShot) Deadline() Micros { return o.ends }

// Expire ends the pulse.
func (o *OneShot) Expire(at Micros) (Edge, bool) {
	o.pressed, o.ends = false, Never
	return Edge{At: at}, true
}
