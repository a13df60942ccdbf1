package main

import (
	"sync"
	"time"

	"flicktally/sim"
	"flicktally/sim/joystick"
	"flicktally/sim/source"
	"flicktally/trainer/device"
	"flicktally/trainer/term"
)

// A transmitter tells only of moves: its switch is sampled in between, so that
// it is known not to be lost. What is sampled lies a little back, since a move
// may be on its way.
const (
	sampleSwitch = 50 * time.Millisecond
	onTheWay     = 20 * sim.Millisecond
)

const flickToBeFound = "flick the switch there and back, and nothing else, so that it is found"

// readLive brings the samples of the transmitter's switch to a session.
func (t *transmitter) readLive(s *liveSession) {
	hand := &liveHand{session: s}
	if t.control != nil {
		hand.find(*t.control)
	} else {
		s.notify(flickToBeFound)
	}
	s.work(hand.keepUp)
	t.feed(hand.take, s.done)
	s.end(nil)
}

// liveHand makes of what a transmitter tells the samples of its switch.
type liveHand struct {
	session *liveSession

	mu       sync.Mutex
	finder   joystick.Finder
	follower joystick.Follower
	found    bool
	gone     bool
}

func (h *liveHand) find(control joystick.Control) {
	h.found, h.follower.Control = true, control
	h.session.notify("")
	h.session.begin(sim.TapChannel, withoutArmed(h.session.rig))
}

// withoutArmed returns the rig for a source that does not tell of arming.
func withoutArmed(rig sim.Rig) sim.Rig {
	rig.Log.Armed = ""
	return rig
}

// take takes what the transmitter's source posts.
func (h *liveHand) take(told any) {
	h.mu.Lock()
	defer h.mu.Unlock()
	switch told := told.(type) {
	case term.DeviceMoves:
		for _, m := range told.Moves {
			h.move(m)
		}
	case term.DeviceGone:
		h.gone = true
		h.session.notify(told.Reason.Error())
	case term.DeviceBack:
		h.gone = false
		h.session.notify("")
		if !h.found {
			h.session.notify(flickToBeFound)
		}
	}
}

func (h *liveHand) move(m joystick.Move) {
	if !h.found {
		control, found := h.finder.Feed(m)
		if !found {
			return
		}
		h.find(control)
	}
	h.bring(h.follower.Move(m))
}

// keepUp samples the switch while the transmitter is there.
func (h *liveHand) keepUp() {
	tick := time.NewTicker(sampleSwitch)
	defer tick.Stop()
	for {
		select {
		case <-h.session.done:
			return
		case <-tick.C:
		}
		h.mu.Lock()
		if !h.gone {
			h.bring(h.follower.Hold(device.Now() - onTheWay))
		}
		h.mu.Unlock()
	}
}

func (h *liveHand) bring(samples []sim.Sample) {
	if len(samples) > 0 {
		h.session.take(source.Block{Segment: 1, Samples: samples}, source.Summary{})
	}
}
