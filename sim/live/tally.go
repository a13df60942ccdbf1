package live

import (
	"flicktally/sim"
	"flicktally/sim/belief"
)

// Tally follows a stream.
type Tally struct {
	tap sim.Tap
	rig sim.Rig

	flight  Flight     // in hand; its Replay is not set yet
	chain   *sim.Chain // of the flight in hand; nil before the first sample
	last    sim.Micros // time of the last sample, by the stream
	arrived sim.Micros // when it came, by the clock on the wall
	shown   sim.Micros // latest moment of the flight that was looked at
	ended   bool

	before []Flight
}

// Flight is one segment of a stream: its clock began anew where another began.
type Flight struct {
	Segment int // from 1
	Replay  *sim.Replay
	// Seen are the looks at the camera's light, in order of time. Late are those
	// after the last sample, of which the log of the flight knows nothing.
	Seen, Late []belief.Glance
}

// New returns a tally of a stream that was recorded at tap. The rig must be
// valid.
func New(tap sim.Tap, rig sim.Rig) *Tally { return &Tally{tap: tap, rig: rig} }

// Feed takes samples of a segment, in the order of the stream, and when they
// arrived.
func (t *Tally) Feed(arrived sim.Micros, segment int, samples []sim.Sample) {
	if t.chain == nil || segment > t.flight.Segment {
		t.finishFlight()
		t.chain = sim.NewChain(t.tap, t.rig)
		t.flight = Flight{Segment: segment}
		t.shown = 0
	}
	t.chain.FeedAll(samples)
	if n := len(samples); n > 0 {
		t.last = samples[n-1].At
	}
	t.arrived = arrived
}

// End says that the stream has ended: nothing is looked ahead any more.
func (t *Tally) End() { t.ended = true }

// See takes a look at the camera's light, and returns when it was by the
// stream, in whole ms. It is not ok before the first sample.
func (t *Tally) See(now sim.Micros, light belief.Light) (g belief.Glance, ok bool) {
	if t.chain == nil {
		return belief.Glance{}, false
	}
	at := t.at(now)
	g = belief.Glance{At: at - at%sim.Millisecond, Light: light}
	t.flight.Seen = append(t.flight.Seen, g)
	return g, true
}

// Unsee takes the latest look at the light back; not ok if there is none.
func (t *Tally) Unsee() (g belief.Glance, ok bool) {
	n := len(t.flight.Seen)
	if n == 0 {
		return belief.Glance{}, false
	}
	g = t.flight.Seen[n-1]
	t.flight.Seen = t.flight.Seen[:n-1]
	return g, true
}

// Before returns the flights that are over because another segment began.
func (t *Tally) Before() []Flight { return t.before }

// Finish ends all flights at their last samples. The tally must not be used
// after it.
func (t *Tally) Finish() []Flight {
	t.finishFlight()
	return t.before
}

func (t *Tally) finishFlight() {
	if t.chain == nil {
		return
	}
	f := t.flight
	f.Replay = t.chain.Finish()
	for i, g := range f.Seen {
		if g.At > f.Replay.End {
			f.Seen, f.Late = f.Seen[:i], f.Seen[i:]
			break
		}
	}
	t.before = append(t.before, f)
}

const (
	// mostAhead bounds how far the present may be ahead of the last sample.
	mostAhead = 10 * sim.Minute
	// unevenness is by how much pieces of a stream may come late without the
	// shown time stepping back.
	unevenness = 200 * sim.Millisecond
)

// at returns the present moment of the flight. It does not step back for pieces
// that come unevenly, nor behind what somebody saw.
func (t *Tally) at(now sim.Micros) sim.Micros {
	at := t.last
	if !t.ended {
		at += min(max(0, now-t.arrived), mostAhead)
		if ahead := t.shown - at; ahead > 0 && ahead < unevenness {
			at = t.shown
		}
	}
	if n := len(t.flight.Seen); n > 0 {
		at = max(at, t.flight.Seen[n-1].At)
	}
	t.shown = at
	return at
}
