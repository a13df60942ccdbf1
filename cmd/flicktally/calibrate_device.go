package main

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/trainer/device"
)

// holdMeter measures flicks of a transmitter on USB.
type holdMeter struct {
	device *device.Device
	spec   sim.SwitchSpec
	which  joystick.Control
	moves  chan joystick.Move // read as they come, so that their times are right
	done   chan struct{}
	failed error // why moves was closed
}

// openHoldMeter opens the transmitter that the flags ask for and finds the
// switch on it; nil for none.
func (a *app) openHoldMeter(f *calibrateFlags) (*holdMeter, error) {
	transmitter, err := f.openTransmitter()
	if transmitter == nil || err != nil {
		return nil, err
	}
	rig, err := a.loadRig(f.rig)
	if err != nil {
		transmitter.device.Close()
		return nil, err
	}
	m := newHoldMeter(transmitter.device, rig.Rig.Switch)
	if err := m.find(transmitter.control, a.talk); err != nil {
		m.Close()
		return nil, err
	}
	a.talk.note("The switch is %s. The hold is that of the switch: settle, one-shot and link are not in it.", m.which)
	return m, nil
}

// manyMoves are more than come between two flicks, so that none waits to be read
// and gets a late time.
const manyMoves = 1 << 14

func newHoldMeter(d *device.Device, spec sim.SwitchSpec) *holdMeter {
	m := &holdMeter{device: d, spec: spec, moves: make(chan joystick.Move, manyMoves), done: make(chan struct{})}
	go m.read()
	return m
}

// Close lets the transmitter go.
func (m *holdMeter) Close() error {
	close(m.done)
	return m.device.Close()
}

func (m *holdMeter) read() {
	defer close(m.moves)
	for {
		moves, err := m.device.Next()
		if err != nil {
			m.failed = err
			return
		}
		for _, move := range moves {
			select {
			case m.moves <- move:
			case <-m.done:
				return
			}
		}
	}
}

// find takes the control that was named, or else waits for a flick of one.
func (m *holdMeter) find(named *joystick.Control, t *talk) error {
	if named != nil {
		m.which = *named
		return nil
	}
	t.note("Flick the switch there and back, and nothing else.")
	var finder joystick.Finder
	for move := range m.moves {
		if which, found := finder.Feed(move); found {
			m.which = which
			return nil
		}
	}
	return m.lost()
}

// measure waits for the next flick and returns how long it was held. What
// began before does not count.
func (m *holdMeter) measure() (sim.Micros, error) {
	from := device.Now()
	selector := sim.NewSelector(m.spec, sim.SignalLossSpec{StaleAfter: sim.MaxDuration, Then: sim.LossHold})
	down := sim.Never
	for move := range m.moves {
		if move.Control != m.which {
			continue
		}
		switch edge, changed := selector.Step(move.At, move.Value); {
		case !changed:
		case edge.Pressed && edge.At >= from:
			down = edge.At
		case !edge.Pressed && down != sim.Never:
			return edge.At - down, nil
		}
	}
	return 0, m.lost()
}

func (m *holdMeter) lost() error { return fmt.Errorf("lost the transmitter: %w", m.failed) }
