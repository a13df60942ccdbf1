package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/live"
)

// The JSON lines of a live flight. Times are whole µs of the stream, since the
// first sample.

type jsonLivePress struct {
	Event   string `json:"event"`
	Segment int    `json:"segment"`
	jsonPress
}

type jsonLiveFlick struct {
	Event   string `json:"event"`
	Segment int    `json:"segment"`
	jsonFlick
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

// LivePress writes a finished press as a line.
func LivePress(w io.Writer, segment int, p sim.Press) error {
	return encodeLine(w, jsonLivePress{"press", segment, toJSONPress(p)})
}

// LiveFlick writes a flick that never reached the camera as a line.
func LiveFlick(w io.Writer, segment int, f sim.Flick) error {
	return encodeLine(w, jsonLiveFlick{"flick", segment, toJSONFlick(f)})
}

// LiveTally writes the current moment as a line. notice says what is wrong with
// the input, and about describes the input; both may be "".
func LiveTally(w io.Writer, v live.View, notice, about string) error {
	j := jsonTally{
		Event: "tally", At: v.At, Segment: v.Segment, Input: v.Input, LostFor: v.LostFor, State: v.State, Open: v.Open,
		Takes: v.Takes, Recorded: v.Recorded, SafeAt: orNull(v.SafeAt), Seen: v.Seen,
		Doubts: append([]string{}, v.Doubts...),
		Notice: notice, About: about,
	}
	if v.Open || v.State != sim.StateUnknown {
		j.Recording = &v.Recording
	}
	if v.Take.N > 0 {
		j.Take = &jsonLiveTake{v.Take.N, v.Take.Start, v.Take.Length()}
	}
	if v.InHand.N > 0 {
		j.Press = &jsonHeldPress{v.InHand.N, v.InHand.Down, v.At - v.InHand.Down, v.Phase, orNull(v.LongAt)}
	}
	return encodeLine(w, j)
}
