package main

import "flicktally/trainer/device"

// openHoldMeter opens the transmitter named by the flags and finds its switch;
// nil for none.
func (a *app) openHoldMeter(f *calibrateFlags) (*device.HoldMeter, error) {
	transmitter, err := f.openTransmitter()
	if transmitter == nil || err != nil {
		return nil, err
	}
	rig, err := a.loadRig(f.rig)
	if err != nil {
		transmitter.Close()
		return nil, err
	}
	m := device.NewHoldMeter(transmitter.Device, rig.Rig.Switch)
	if transmitter.Control != nil {
		m.Use(*transmitter.Control)
	} else {
		a.talk.note("Flick the switch there and back, and nothing else.")
		if err := m.Find(); err != nil {
			m.Close()
			return nil, err
		}
	}
	a.talk.note("The switch is %s. The hold is measured at the switch, before settle, one-shot and link.", m.Control())
	return m, nil
}
