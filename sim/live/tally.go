package live

import (
	"flicktally/sim"
	"flicktally/sim/belief"
)

// Tally follows a stream.
type Tally struct {
	tap sim.Tap
	rig sim.Rig

	flight  Flight     // current; its Replay is not set yet
	chain   *sim.Chain // of the current flight; nil before the first sample
	last    sim.Micros // stream time of the last sample
	arrived sim.Micros // when it arrived, on the wall clock
	shown   sim.Micros // latest moment of the flight that was shown
	ended   bool

	before []Flight
}

// Flight is one segment of a stream: the stream's clock restarts where another
// begins.
type Flight struct {
	Segment int // from 1
	Replay  *sim.Replay
	// Seen are the looks at the camera's light, in order of time. Late are
	// those after the last sample, which lie beyond the flight's log.
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

// End says that the stream has ended: no more looking ahead.
func (t *Tally) End() { t.ended = true }

// See takes a look at the camera's light, and returns it with the stream time
// in whole ms. ok is false before the first sample.
func (t *Tally) See(now sim.Micros, light belief.Light) (g belief.Glance, ok bool) {
	if t.chain == nil {
		return belief.Glance{}, false
	}
	at := t.at(now)
	g = belief.Glance{At: at - at%sim.Millisecond, Light: light}
	t.flight.Seen = append(t.flight.Seen, g)
	return g, true
}

// Unsee takes back the latest look at the light; ok is false if there is none.
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
	// mostAhead limits how far the current moment may be ahead of the last
	// sample.
	mostAhead = 10 * sim.Minute
	// unevenness is how late pieces of a stream may come without the shown time
	// stepping back.
	unevenness = 200 * sim.Millisecond
)

// at returns the current moment of the flight. It does not step back for pieces
// that come unevenly, nor to before a look at the light.
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
