package joystick

import "flicktally/sim"

// Finder determines which control is the switch: the one that is flicked there
// and back while the pilot moves only the switch. The zero value is ready.
//
// A switch rests at its stops and jumps from one to another. A stick or a knob
// passes through the values in between, and noise stays near one value.
type Finder struct{ controls map[Control]*travel }

// travel is how a control has moved so far.
type travel struct {
	at    sim.PulseWidth
	moved sim.Micros // when it arrived there
	jumps int        // successive moves from stop to stop
}

// A jump is at least a quarter of the whole travel, as a switch with three
// positions has two. It comes after a rest that is short for a hand but long for
// a moving stick. A move smaller than noise is ignored.
const (
	jump  = (highEnd - lowEnd) / 4
	noise = (highEnd - lowEnd) / 50
	rest  = 50 * sim.Millisecond

	thereAndBack = 2
)

// Feed takes a move. It returns the switch once it is found.
func (f *Finder) Feed(m Move) (Control, bool) {
	if f.controls == nil {
		f.controls = map[Control]*travel{}
	}
	t, known := f.controls[m.Control]
	if !known || m.Initial {
		f.controls[m.Control] = &travel{at: m.Value, moved: m.At - rest}
		return m.Control, false
	}
	way := max(m.Value-t.at, t.at-m.Value)
	if way < noise {
		return m.Control, false
	}
	if way >= jump && m.At-t.moved >= rest {
		t.jumps++
	} else {
		t.jumps = 0
	}
	t.at, t.moved = m.Value, m.At
	return m.Control, t.jumps == thereAndBack
}
