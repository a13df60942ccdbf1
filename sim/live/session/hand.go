package session

import (
	"context"
	"sync"
	"time"

	"flicktally/sim"
	"flicktally/sim/joystick"
)

// A transmitter reports only moves. Between them the switch is sampled, so that
// its signal does not count as lost. The samples lag a little, since a move may be
// on its way.
const (
	sampleSwitch = 50 * time.Millisecond
	onTheWay     = 20 * sim.Millisecond
)

const flickToBeFound = "flick the switch there and back, and move nothing else, so that it is found"

// Hand turns the moves of a transmitter into samples of its switch.
type Hand struct {
	session *Session
	now     func() sim.Micros // on the clock of the moves

	mu       sync.Mutex
	finder   joystick.Finder
	follower joystick.Follower
	found    bool
	gone     bool
}

// Transmitter returns an input that reads a transmitter's switch; with a nil control
// the switch is found by its moves. now is the clock that stamps the moves. feed
// passes them to the hand until the context is done.
func Transmitter(name string, control *joystick.Control, now func() sim.Micros, feed func(ctx context.Context, h *Hand)) Input {
	return Input{name, func(s *Session) {
		h := &Hand{session: s, now: now}
		if control != nil {
			h.find(*control)
		} else {
			s.notify(flickToBeFound)
		}
		s.work(h.keepUp)
		feed(s.ctx, h)
		s.end(nil)
	}}
}

func (h *Hand) find(control joystick.Control) {
	h.found, h.follower.Control = true, control
	h.session.notify("")
	h.session.begin(sim.TapChannel, withoutArmed(h.session.rig), 0)
}

// withoutArmed returns the rig for a source without an armed channel.
func withoutArmed(rig sim.Rig) sim.Rig {
	rig.Log.Armed = ""
	return rig
}

// Move adds moves of the transmitter's controls.
func (h *Hand) Move(moves []joystick.Move) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, m := range moves {
		h.move(m)
	}
}

// Gone records that the transmitter was unplugged, or why it cannot be read.
func (h *Hand) Gone(reason error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.gone = true
	h.session.setTrouble(reason.Error() + "; waiting for the transmitter")
}

// Back records that the transmitter is back.
func (h *Hand) Back() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.gone = false
	h.session.setTrouble("")
	if !h.found {
		h.session.notify(flickToBeFound)
	}
}

func (h *Hand) move(m joystick.Move) {
	if !h.found {
		control, found := h.finder.Feed(m)
		if !found {
			return
		}
		h.find(control)
	}
	h.bring(h.follower.Move(m))
}

// keepUp samples the switch while the transmitter is connected.
func (h *Hand) keepUp() {
	tick := time.NewTicker(sampleSwitch)
	defer tick.Stop()
	for {
		select {
		case <-h.session.ctx.Done():
			return
		case <-tick.C:
		}
		h.mu.Lock()
		if !h.gone {
			h.bring(h.follower.Hold(h.now() - onTheWay))
		}
		h.mu.Unlock()
	}
}

func (h *Hand) bring(samples []sim.Sample) {
	if len(samples) > 0 {
		h.session.take(h.session.clock(), sim.Block{Segment: 1, Samples: samples}, sim.Reading{})
	}
}
