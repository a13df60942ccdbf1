package main

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/export"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
)

// jsonTeller tells in lines of JSON.
type jsonTeller struct {
	out   io.Writer
	about *session.Session
	every sim.Micros // by the stream
	at    sim.Micros // of the last tally
	told  string
}

func (t *jsonTeller) press(segment int, p sim.Press) error {
	return export.LivePress(t.out, segment, p)
}

func (t *jsonTeller) tally(v live.View, last bool) error {
	notice, about := t.about.Notice(), t.about.About()
	now := changing(v) + notice
	if now == t.told && v.At < t.at+t.every && !last {
		return nil
	}
	t.told, t.at = now, v.At
	return export.LiveTally(t.out, v, notice, about)
}
