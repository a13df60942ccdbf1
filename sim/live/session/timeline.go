package session

import (
	"fmt"

	"flicktally/sim"
)

// timeline places segments of the source in the flight. If the sender restarts, so
// does its clock, but the camera and the flight continue. Only a clock that restarts
// after a long silence means another flight.
type timeline struct {
	reader  *decoder
	segment int // of the reader
	now     placement
	last    sim.Micros // time of the latest sample in the flight
	arrived sim.Micros // when that sample arrived
	read    int        // samples of the segment
	at      sim.Micros // of the latest of them, on the reader's clock
}

// placement maps the times of a segment of a reader to those of the tally.
type placement struct {
	segment int        // of the tally, from 1
	shift   sim.Micros // added to each time
}

// longSilence is the silence after which a restarted clock means another
// flight: longer than a sender takes to restart.
const longSilence = sim.Minute

// place returns the placement of a segment of a reader; news describes a jump of
// the clock, "" if there is none.
func (t *timeline) place(now sim.Micros, reader *decoder, segment int, at sim.Micros) (p placement, news string) {
	silence := now - t.arrived
	t.arrived = now
	switch {
	case reader == t.reader && segment == t.segment && t.read == 1 && at-t.at > sim.AheadBy+silence:
		// The single row after the restart was wrong: the old clock continues.
		t.now.shift = t.last + max(silence, 1) - at
		news = fmt.Sprintf("the clock of the source jumped; the flight continues at %s", (t.now.shift + at).FineClock())
	case t.now.segment == 0:
		t.now.segment = 1
	case reader == t.reader && segment == t.segment:
		return t.now, ""
	case silence >= longSilence:
		t.now = placement{segment: t.now.segment + 1}
		news = fmt.Sprintf("the clock of the source restarted after %s of silence: another flight", silence.Rounded())
	default:
		t.now.shift = t.last + max(silence, 1)
		news = fmt.Sprintf("the clock of the source restarted; the flight continues at %s", t.now.shift.FineClock())
	}
	t.reader, t.segment, t.read = reader, segment, 0
	return t.now, news
}
