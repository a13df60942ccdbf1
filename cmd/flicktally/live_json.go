package main

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/live"
	"flicktally/sim/live/session"
)

// The lines of JSON that live prints. Keys keep their names and meaning; more
// may be added. Times are whole µs by the stream, since the first sample.

// jsonTeller tells in lines of JSON.
type jsonTeller struct {
	out   io.Writer
	about *session.Session
	every sim.Micros // by the stream
	at    sim.Micros // of the last tally
	told  string
}

type jsonLivePress struct {
	Event   string `json:"event"`
	Segment int    `json:"segment"`
	jsonPress
}

func (t *jsonTeller) press(segment int, p sim.Press) error {
	return t.line(jsonLivePress{"press", segment, toJSONPress(p)})
}

type jsonTally struct {
	Event     string         `json:"event"`
	At        sim.Micros     `json:"at_us"`
	Segment   int            `json:"segment"`
	Input     live.Input     `json:"input"`
	LostFor   sim.Micros     `json:"lost_for_us"`
	State     sim.State      `json:"state"`
	Recording *float64       `json:"recording"`
	Open      bool           `json:"open"`
	Take      *jsonLiveTake  `json:"take"`
	Takes     int            `json:"takes"`
	Recorded  sim.Micros     `json:"recorded_us"`
	Press     *jsonHeldPress `json:"press"`
	SafeAt    *sim.Micros    `json:"safe_at_us"`
	Seen      int            `json:"seen"`
	Doubts    []string       `json:"doubts"`
	Notice    string         `json:"notice,omitempty"`
	About     string         `json:"about,omitempty"`
}

type jsonLiveTake struct {
	N      int        `json:"n"`
	Start  sim.Micros `json:"start_us"`
	Length sim.Micros `json:"length_us"`
}

type jsonHeldPress struct {
	N      int         `json:"n"`
	Down   sim.Micros  `json:"down_us"`
	Held   sim.Micros  `json:"held_us"`
	Phase  live.Phase  `json:"phase"`
	LongAt *sim.Micros `json:"long_at_us"`
}

func (t *jsonTeller) tally(v live.View, last bool) error {
	notice, about := t.about.Notice(), t.about.About()
	now := changing(v) + notice
	if now == t.told && v.At < t.at+t.every && !last {
		return nil
	}
	t.told, t.at = now, v.At
	j := jsonTally{
		Event: "tally", At: v.At, Segment: v.Segment, Input: v.Input, LostFor: v.LostFor, State: v.State, Open: v.Open,
		Takes: v.Takes, Recorded: v.Recorded, SafeAt: unlessNever(v.SafeAt), Seen: v.Seen,
		Doubts: each(v.Doubts, func(text string) string { return text }),
		Notice: notice, About: about,
	}
	if v.Open || v.State != sim.StateUnknown {
		j.Recording = &v.Recording
	}
	if v.Take.N > 0 {
		j.Take = &jsonLiveTake{v.Take.N, v.Take.Start, v.Take.Length()}
	}
	if v.InHand.N > 0 {
		j.Press = &jsonHeldPress{v.InHand.N, v.InHand.Down, v.At - v.InHand.Down, v.Phase, unlessNever(v.LongAt)}
	}
	return t.line(j)
}

func (t *jsonTeller) line(v any) error {
	encoder := newJSON(t.out)
	encoder.SetIndent("", "")
	return encoder.Encode(v)
}
