package main

import (
	"flicktally/sim/live/session"
	"flicktally/trainer/device"
)

// switchInput is the transmitter's switch as the source of a tally.
func switchInput(t *device.Transmitter) session.Input {
	return session.Transmitter(t.Called(), t.Control, device.Now, func(h *session.Hand, done <-chan struct{}) {
		t.Feed(func(told any) {
			switch told := told.(type) {
			case device.Moves:
				h.Move(told.Moves)
			case device.Gone:
				h.Gone(told.Reason)
			case device.Back:
				h.Back()
			}
		}, done)
	})
}
