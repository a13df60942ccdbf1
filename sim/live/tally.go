package live

import (
	"flicktally/sim"
	"flicktally/sim/belief"
)

// Tally follows a stream.
type Tally struct {
	tap sim.Tap
	rig sim.Rig

	flight  Flight     // the current one, without its Replay
	chain   *sim.Chain // of the current flight; nil before the first sample
	last    sim.Micros // stream time of the last sample
	arrived sim.Micros // when it arrived, on the wall clock
	shown   sim.Micros // the latest moment of the flight that was shown
	ended   bool

	before []Flight
}

// Flight is one segment of a stream. A new one starts where the stream's clock
// restarts.
type Flight struct {
	Segment int // from 1
	Replay  *sim.Replay
	// Seen are the glances at the camera's light, in order of time. Late are those
	// after the last sample, which the flight's log does not cover.
	Seen, Late []belief.Glance
}

// New returns a tally of a stream that was recorded at tap. The rig must be valid.
func New(tap sim.Tap, rig sim.Rig) *Tally { return &Tally{tap: tap, rig: rig} }

// Feed adds samples of a segment, in the order of the stream, with the time at
// which they arrived.
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

// End says that the stream has ended, so that no view looks ahead of it.
func (t *Tally) End() { t.ended = true }

// See adds a glance at the camera's light, and returns it with the stream time in
// whole ms. ok is false before the first sample.
func (t *Tally) See(now sim.Micros, light belief.Light) (g belief.Glance, ok bool) {
	if t.chain == nil {
		return belief.Glance{}, false
	}
	at := t.at(now)
	g = belief.Glance{At: at - at%sim.Millisecond, Light: light}
	t.flight.Seen = append(t.flight.Seen, g)
	return g, true
}

// Unsee removes the latest glance and returns it; ok is false if there is none.
func (t *Tally) Unsee() (g belief.Glance, ok bool) {
	n := len(t.flight.Seen)
	if n == 0 {
		return belief.Glance{}, false
	}
	g = t.flight.Seen[n-1]
	t.flight.Seen = t.flight.Seen[:n-1]
	return g, true
}

// Before returns the flights that ended because another segment started.
func (t *Tally) Before() []Flight { return t.before }

// Finish ends the current flight at its last sample and returns all flights. The
// tally must not be used afterwards.
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
	// mostAhead limits how far the current moment may be ahead of the last
	// sample.
	mostAhead = 10 * sim.Minute
	// unevenness is how late pieces of a stream may arrive without the shown time
	// going back.
	unevenness = 200 * sim.Millisecond
)

// at returns the current moment of the flight. It does not go back when pieces
// arrive unevenly, nor to before a glance.
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
