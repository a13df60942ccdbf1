package livelines

import (
	"fmt"
	"io"

	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
)

// jsonTeller reports in lines of JSON.
type jsonTeller struct {
	out   io.Writer
	about *session.Session
	every sim.Micros // at most this long between two tallies, in stream time
	at    sim.Micros // of the latest tally
	last  string     // what changing returned for it
}

func (t *jsonTeller) press(segment int, p sim.Press, _ *sim.Replay) error {
	return export.LivePress(t.out, segment, p)
}

func (t *jsonTeller) unseen(segment int, f sim.Flick) error {
	return export.LiveFlick(t.out, segment, f)
}

// Takes and the camera's state are in the tally.
func (t *jsonTeller) begins(sim.Take) error { return nil }
func (t *jsonTeller) ends(sim.Take) error   { return nil }
func (t *jsonTeller) off(sim.Micros) error  { return nil }

func (t *jsonTeller) tally(v live.View, last bool) error {
	notice, about := t.about.Notice(), t.about.About()
	now := changing(v) + notice
	if now == t.last && v.At < t.at+t.every && !last {
		return nil
	}
	t.last, t.at = now, v.At
	return export.LiveTally(t.out, v, notice, about)
}

// changing returns the parts of a view whose changes are reported at once.
func changing(v live.View) string {
	return fmt.Sprint(v.Input, v.Segment, v.State, v.Take.N, v.Phase, v.Seen, v.Doubts, v.SafeAt == sim.Never, v.SafeAt > v.At)
}
