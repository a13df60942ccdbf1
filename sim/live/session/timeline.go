package session

import (
	"fmt"

	"flicktally/sim"
)

// timeline places segments of the source in the flight. The clock of a source
// may restart with its sender; the camera continues meanwhile, and so does the
// flight. Only a clock that restarts after a long silence means another flight.
type timeline struct {
	reader  *decoder
	segment int // of the reader
	now     placement
	last    sim.Micros // time of the latest sample in the flight
	arrived sim.Micros // when it came
	// read is the number of samples in the segment at the reader's latest time.
	read int
	at   sim.Micros
}

// placement is where a segment of a reader is in the tally.
type placement struct {
	segment int        // flight, from 1
	shift   sim.Micros // of its times
}

// longSilence is the silence after which a restarted clock means another
// flight: longer than a sender takes to restart.
const longSilence = sim.Minute

// place returns where a segment of a reader goes, and what to say if that is
// news.
func (t *timeline) place(now sim.Micros, reader *decoder, segment int, at sim.Micros) (p placement, news string) {
	silence := now - t.arrived
	t.arrived = now
	switch {
	case reader == t.reader && segment == t.segment && t.read == 1 && at-t.at > sim.AheadBy+silence:
		// The one row after the restart was wrong: the old clock goes on.
		t.now.shift = t.last + max(silence, 1) - at
		news = fmt.Sprintf("the clock of the source jumped; the flight goes on at %s", (t.now.shift + at).FineClock())
	case t.now.segment == 0:
		t.now.segment = 1
	case reader == t.reader && segment == t.segment:
		return t.now, ""
	case silence >= longSilence:
		t.now = placement{segment: t.now.segment + 1}
		news = fmt.Sprintf("the clock of the source restarted after %s of silence: another flight", silence.Rounded())
	default:
		t.now.shift = t.last + max(silence, 1)
		news = fmt.Sprintf("the clock of the source restarted; the flight goes on at %s", t.now.shift.FineClock())
	}
	t.reader, t.segment, t.read = reader, segment, 0
	return t.now, news
}
