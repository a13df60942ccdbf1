package joystick

import "flicktally/sim"

// Follower makes of one control's moves the samples of a channel: a control
// tells only of its moves, and holds its position in between. The zero value but
// for its Control is ready.
type Follower struct {
	Control Control

	value   sim.PulseWidth
	begun   bool
	origin  sim.Micros // of the samples' times, by the clock of the moves
	last    sim.Micros // time of the latest sample, by that clock
	samples []sim.Sample
}

// Move takes the next move of any control, and returns what it adds; the samples
// are valid until the next call. The position before a move was held up to it,
// so that its time is exact. A move that comes late, after a later moment was
// told, counts from there.
func (f *Follower) Move(m Move) []sim.Sample {
	f.samples = f.samples[:0]
	if m.Control != f.Control {
		return nil
	}
	if !f.begun {
		f.begun, f.origin, f.last = true, m.At, m.At
	}
	f.hold(m.At - sim.Microsecond)
	f.value, f.last = m.Value, max(m.At, f.last)
	f.tell()
	return f.samples
}

// Hold says that nothing moved up to a moment, and returns what that adds.
func (f *Follower) Hold(until sim.Micros) []sim.Sample {
	f.samples = f.samples[:0]
	f.hold(until)
	return f.samples
}

func (f *Follower) hold(until sim.Micros) {
	if f.begun && until > f.last {
		f.last = until
		f.tell()
	}
}

// tell adds the position at the latest moment.
func (f *Follower) tell() {
	f.samples = append(f.samples, sim.Sample{At: f.last - f.origin, Channel: f.value, Armed: sim.Absent})
}
