package joystick

import "flicktally/sim"

// Follower turns the moves of one control into samples of a channel. A control
// reports only its moves and holds its position in between. A Follower needs
// only its Control set.
type Follower struct {
	Control Control

	value   sim.PulseWidth
	started bool
	origin  sim.Micros // time 0 of the samples, on the clock of the moves
	last    sim.Micros // time of the latest sample, on that clock
	samples []sim.Sample
}

// Move takes the next move of any control and returns the samples it adds,
// valid until the next call. The old position was held up to the move, so the
// time of the move is exact. A move earlier than the latest sample counts at the
// time of that sample.
func (f *Follower) Move(m Move) []sim.Sample {
	f.samples = f.samples[:0]
	if m.Control != f.Control {
		return nil
	}
	if !f.started {
		f.started, f.origin, f.last = true, m.At, m.At
	}
	f.hold(m.At - sim.Microsecond)
	f.value, f.last = m.Value, max(m.At, f.last)
	f.emit()
	return f.samples
}

// Hold says that nothing moved up to a moment, and returns the samples it adds.
func (f *Follower) Hold(until sim.Micros) []sim.Sample {
	f.samples = f.samples[:0]
	f.hold(until)
	return f.samples
}

func (f *Follower) hold(until sim.Micros) {
	if f.started && until > f.last {
		f.last = until
		f.emit()
	}
}

// emit adds the position at the latest moment.
func (f *Follower) emit() {
	f.samples = append(f.samples, sim.Sample{At: f.last - f.origin, Channel: f.value, Armed: sim.Absent})
}
