package main

import (
	"flicktally/sim/live/session"
	"flicktally/trainer/device"
	"flicktally/trainer/term"
)

// liveInput is the transmitter's switch as the source of a tally.
func (t *transmitter) liveInput() session.Input {
	return session.Transmitter(t.name(), t.control, device.Now, func(h *session.Hand, done <-chan struct{}) {
		t.feed(func(told any) {
			switch told := told.(type) {
			case term.DeviceMoves:
				h.Move(told.Moves)
			case term.DeviceGone:
				h.Gone(told.Reason)
			case term.DeviceBack:
				h.Back()
			}
		}, done)
	})
}
