package device

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/joystick"
)

// HoldMeter measures flicks of a transmitter's switch.
type HoldMeter struct {
	device *Device
	spec   sim.SwitchSpec
	which  joystick.Control
	moves  chan joystick.Move
	done   chan struct{} // closed by Close: read stops, even where moves is full
	failed error         // why moves was closed
}

// manyMoves is more than come between two flicks, so that every move is read, and its
// time taken, at once.
const manyMoves = 1 << 14

// NewHoldMeter returns a meter of flicks, for the switch that Find or Use sets. The
// meter closes the device.
func NewHoldMeter(d *Device, spec sim.SwitchSpec) *HoldMeter {
	m := &HoldMeter{device: d, spec: spec, moves: make(chan joystick.Move, manyMoves), done: make(chan struct{})}
	go m.read()
	return m
}

// Control returns the switch.
func (m *HoldMeter) Control() joystick.Control { return m.which }

// Close closes the transmitter.
func (m *HoldMeter) Close() error {
	close(m.done)
	return m.device.Close()
}

func (m *HoldMeter) read() {
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

// Use sets the switch.
func (m *HoldMeter) Use(named joystick.Control) { m.which = named }

// Find waits for a flick, and sets the switch to the control that made it.
func (m *HoldMeter) Find() error {
	var finder joystick.Finder
	for move := range m.moves {
		if which, found := finder.Feed(move); found {
			m.which = which
			return nil
		}
	}
	return m.lost()
}

// Measure waits for the next flick and returns its hold. A flick that began before
// the call does not count.
func (m *HoldMeter) Measure() (sim.Micros, error) {
	from := Now()
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

func (m *HoldMeter) lost() error { return fmt.Errorf("lost the transmitter: %w", m.failed) }
