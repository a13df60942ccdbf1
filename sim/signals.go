package sim

// Signal is what the chain makes of the switch after one of its steps.
type Signal struct {
	Name string // of one word, the same in every view
	Lane Lane
}

// Signals returns the signals that a view shows, in the order of the flow: the
// switch's position and the line, and between and after them those of steps that
// the rig makes use of. Where the log was recorded further down, they begin there.
func (r *Replay) Signals() []Signal {
	rig := r.Rig
	var signals []Signal
	add := func(used bool, name string, lane Lane) {
		if used {
			signals = append(signals, Signal{name, lane})
		}
	}
	channel := r.Tap == TapChannel
	add(channel, "position", r.Lanes.Position)
	add(channel && rig.Switch.Settle > 0, "settled", r.Lanes.Settled)
	add(channel && rig.OneShot.Trigger != TriggerOff, "one-shot", r.Lanes.Pulse)
	add(r.Tap != TapWire, "line", r.Lanes.Line)
	add(r.Tap == TapWire || rig.Line.Delay > 0 || rig.Inverted(), "wire", r.Lanes.Wire)
	return signals
}
