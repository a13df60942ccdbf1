package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// The JSON of replay. All times are whole µs since the first sample.

type replay struct {
	Schema   int           `json:"schema"`
	Log      jsonLog       `json:"log"`
	Rig      jsonRig       `json:"rig"`
	Flicks   []jsonFlick   `json:"flicks"`
	Presses  []jsonPress   `json:"presses"`
	Toggles  []jsonToggle  `json:"toggles"`
	States   []jsonState   `json:"states"`
	Takes    []jsonTake    `json:"takes"`
	Armed    *jsonArmed    `json:"armed,omitempty"`
	Belief   []jsonBelief  `json:"belief,omitempty"`
	Known    *jsonKnown    `json:"known,omitempty"`
	Card     []string      `json:"card,omitempty"` // how the camera's card was read
	Findings []jsonFinding `json:"findings"`
}

type jsonLog struct {
	File     string     `json:"file"`
	Samples  int        `json:"samples"`
	Duration sim.Micros `json:"duration_us"`
	Segment  int        `json:"segment"`
	Segments int        `json:"segments"`
	Step     sim.Micros `json:"step_us,omitempty"` // median, between two rows
	// Of the whole file: lines left out, and what the user should look at.
	Skipped int64    `json:"skipped_lines,omitempty"`
	Torn    int64    `json:"torn_lines,omitempty"`
	Notes   []string `json:"notes,omitempty"`
}

type jsonRig struct {
	Name string `json:"name"`
}

type jsonFlick struct {
	N       int              `json:"n"`
	Down    sim.Micros       `json:"down_us"`
	Up      optional         `json:"up_us,omitzero"`
	Outcome sim.FlickOutcome `json:"outcome"`
	Press   int              `json:"press,omitempty"`
}

type jsonPress struct {
	N          int            `json:"n"`
	Down       sim.Micros     `json:"down_us"`
	Up         optional       `json:"up_us,omitzero"`
	Hold       optional       `json:"hold_us,omitzero"`
	HandBounds *[2]sim.Micros `json:"hand_bounds_us,omitempty"`
	FromStart  bool           `json:"from_start"`
	Verdict    sim.Verdict    `json:"verdict"`
	Doubtful   bool           `json:"doubtful,omitempty"`
	Chance     float64        `json:"chance,omitempty"` // of the verdict, if less than certain
	Acts       optional       `json:"acts_us,omitzero"`
	StateAfter sim.State      `json:"state_after"`
}

type jsonToggle struct {
	At sim.Micros `json:"at_us"`
	To sim.State  `json:"to"`
}

type jsonState struct {
	At    sim.Micros `json:"at_us"`
	State sim.State  `json:"state"`
}

type jsonTake struct {
	N     int         `json:"n"`
	Start sim.Micros  `json:"start_us"`
	End   sim.Micros  `json:"end_us"`
	Ended sim.TakeEnd `json:"end"`
}

type jsonSpan struct {
	Start sim.Micros `json:"start_us"`
	End   sim.Micros `json:"end_us"`
}

type jsonArmed struct {
	Windows  []jsonSpan `json:"windows"`
	Armed    sim.Micros `json:"armed_us"`
	Recorded sim.Micros `json:"recorded_us"`
}

type jsonBelief struct {
	From        sim.Micros `json:"from_us"`
	To          sim.Micros `json:"to_us"`
	Recording   float64    `json:"recording"`
	RecordingTo float64    `json:"recording_to"`
}

type jsonFinding struct {
	Code   tell.Code  `json:"code"`
	At     sim.Micros `json:"at_us"`
	To     sim.Micros `json:"to_us"`
	Count  int        `json:"count"`
	Press  int        `json:"press"`
	Text   string     `json:"text"`
	Remedy string     `json:"remedy"`
	Costs  bool       `json:"costs"`
}

// Replays writes flights as JSON: an object, or an array if there are several.
func Replays(w io.Writer, flights []flight.Flight) error {
	return encodeAll(w, each(flights, func(f flight.Flight) replay { return newReplay(&f) }))
}

func newReplay(f *flight.Flight) replay {
	r := f.Replay
	j := replay{
		Schema: schema,
		Log:    toJSONLog(f),
		Rig:    jsonRig{r.Rig.Name},
		Flicks: each(r.Flicks, toJSONFlick),
		Presses: each(r.Presses, func(p sim.Press) jsonPress {
			press := toJSONPress(p)
			if bounds, ok := r.HandBounds(p); ok {
				press.HandBounds = &[2]sim.Micros{bounds.Low, bounds.High}
			}
			return press
		}),
		Toggles:  each(r.Toggles, func(t sim.Toggle) jsonToggle { return jsonToggle{t.At, t.To} }),
		States:   each(r.States, func(s sim.StateChange) jsonState { return jsonState(s) }),
		Takes:    each(r.Takes, toJSONTake),
		Belief:   each(r.Belief, func(b sim.BeliefStretch) jsonBelief { return jsonBelief(b) }),
		Known:    toJSONKnown(f),
		Card:     f.Card,
		Findings: each(f.Findings, toJSONFinding),
	}
	if a := r.Armed; a != nil {
		j.Armed = &jsonArmed{each(a.Windows, toJSONSpan), a.Armed, a.Recorded}
	}
	return j
}

func toJSONLog(f *flight.Flight) jsonLog {
	j := jsonLog{
		File: f.File, Samples: f.Replay.Samples.Count, Duration: f.Replay.End, Segment: f.Segment, Segments: f.Segments,
		Skipped: f.Reading.SkippedLines, Torn: f.Reading.TornLines, Notes: f.Reading.Odd,
	}
	if !f.Reading.OnChange {
		j.Step = f.Replay.Samples.Steps.Median
	}
	return j
}

func toJSONTake(t sim.Take) jsonTake { return jsonTake{t.N, t.Start, t.End, t.Ended} }

func toJSONSpan(s sim.Span) jsonSpan { return jsonSpan{s.From, s.To} }

func toJSONFinding(f tell.Finding) jsonFinding { return jsonFinding(f) }

func toJSONPress(p sim.Press) jsonPress {
	j := jsonPress{
		N: p.N, Down: p.Down, Up: optional(p.Up), Hold: optional(p.Hold()), FromStart: p.FromStart,
		Verdict: p.Verdict, Doubtful: p.Doubtful, Acts: optional(p.Acts), StateAfter: p.StateAfter,
	}
	if p.Chance < 1 {
		j.Chance = sixDigits(p.Chance)
	}
	return j
}

func toJSONFlick(f sim.Flick) jsonFlick {
	return jsonFlick{f.N, f.Down, optional(f.Up), f.Outcome, f.Press}
}
