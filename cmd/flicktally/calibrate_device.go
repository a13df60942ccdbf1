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
}

// openHoldMeter opens the transmitter and finds the switch on it.
func (a *app) openHoldMeter(f *calibrateFlags) (*holdMeter, error) {
	rig, err := a.loadRig(f.rig)
	if err != nil {
		return nil, err
	}
	d, err := device.Open(f.device)
	if err != nil {
		return nil, fmt.Errorf("cannot open the transmitter: %w", err)
	}
	m := &holdMeter{device: d, spec: rig.Rig.Switch}
	a.talk.note("Flick the switch there and back, and nothing else.")
	if err := m.find(); err != nil {
		d.Close()
		return nil, err
	}
	a.talk.note("The switch is %s. The hold is that of the switch: settle, one-shot and link are not in it.", m.which)
	return m, nil
}

func (m *holdMeter) Close() error { return m.device.Close() }

func (m *holdMeter) find() error {
	var finder joystick.Finder
	for {
		moves, err := m.device.Next()
		if err != nil {
			return err
		}
		for _, move := range moves {
			if which, found := finder.Feed(move); found {
				m.which = which
				return nil
			}
		}
	}
}

// measure waits for the next flick and returns how long it was held.
func (m *holdMeter) measure() (sim.Micros, error) {
	selector := sim.NewSelector(m.spec, sim.SignalLossSpec{StaleAfter: sim.MaxDuration, Then: sim.LossHold})
	down := sim.Never
	for {
		moves, err := m.device.Next()
		if err != nil {
			return 0, err
		}
		for _, move := range moves {
			if move.Control != m.which {
				continue
			}
			edge, changed := selector.Step(move.At, move.Value)
			switch {
			case !changed:
			case edge.Pressed:
				down = edge.At
			case down != sim.Never:
				return edge.At - down, nil
			}
		}
	}
}
