package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// The JSON of replay: schema 1. Keys keep their names and meaning; more may be
// added. All times are whole µs since the first sample.

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
	// Median time between two rows; omitted if the log has none.
	Step sim.Micros `json:"step_us,omitempty"`
	// Lines left out of the whole file.
	Skipped int64 `json:"skipped_lines,omitempty"`
	Torn    int64 `json:"torn_lines,omitempty"`
	// What the user should look at, in the whole file.
	Notes []string `json:"notes,omitempty"`
}

type jsonRig struct {
	Name string `json:"name"`
}

type jsonFlick struct {
	N       int              `json:"n"`
	Down    sim.Micros       `json:"down_us"`
	Up      *sim.Micros      `json:"up_us,omitempty"`
	Outcome sim.FlickOutcome `json:"outcome"`
	Press   int              `json:"press,omitempty"`
}

type jsonPress struct {
	N          int            `json:"n"`
	Down       sim.Micros     `json:"down_us"`
	Up         *sim.Micros    `json:"up_us,omitempty"`
	Hold       *sim.Micros    `json:"hold_us,omitempty"`
	HandBounds *[2]sim.Micros `json:"hand_bounds_us,omitempty"`
	FromStart  bool           `json:"from_start"`
	Verdict    sim.Verdict    `json:"verdict"`
	Doubtful   bool           `json:"doubtful,omitempty"`
	Chance     float64        `json:"chance,omitempty"` // of the verdict, if less than certain
	Acts       *sim.Micros    `json:"acts_us,omitempty"`
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
	}
	j.Flicks = each(r.Flicks, toJSONFlick)
	j.Presses = each(r.Presses, func(p sim.Press) jsonPress {
		press := toJSONPress(p)
		if bounds, ok := r.HandBounds(p); ok {
			press.HandBounds = &[2]sim.Micros{bounds.Low, bounds.High}
		}
		return press
	})
	j.Toggles = each(r.Toggles, func(t sim.Toggle) jsonToggle { return jsonToggle{t.At, t.To} })
	j.States = each(r.States, func(s sim.StateChange) jsonState { return jsonState(s) })
	j.Takes = each(r.Takes, toJSONTake)
	j.Findings = each(f.Findings, toJSONFinding)
	if a := r.Armed; a != nil {
		j.Armed = &jsonArmed{each(a.Windows, toJSONSpan), a.Armed, a.Recorded}
	}
	if r.Belief != nil {
		j.Belief = each(r.Belief, func(b sim.BeliefStretch) jsonBelief { return jsonBelief(b) })
	}
	j.Known, j.Card = toJSONKnown(f), f.Card
	return j
}

func toJSONLog(f *flight.Flight) jsonLog {
	j := jsonLog{
		File: f.File, Samples: f.Replay.Samples.Count, Duration: f.Replay.End, Step: stepOf(f),
		Segment: f.Segment, Segments: f.Segments,
	}
	j.Skipped, j.Torn, j.Notes = f.Reading.SkippedLines, f.Reading.TornLines, f.Reading.Odd
	return j
}

func toJSONTake(t sim.Take) jsonTake { return jsonTake{t.N, t.Start, t.End, t.Ended} }

func toJSONSpan(s sim.Span) jsonSpan { return jsonSpan{s.From, s.To} }

func toJSONFinding(f tell.Finding) jsonFinding { return jsonFinding(f) }

func toJSONPress(p sim.Press) jsonPress {
	j := jsonPress{
		N: p.N, Down: p.Down, FromStart: p.FromStart, Verdict: p.Verdict,
		Doubtful: p.Doubtful, StateAfter: p.StateAfter,
	}
	if !p.Open() {
		hold := p.Hold()
		j.Up, j.Hold = &p.Up, &hold
	}
	if p.Chance < 1 {
		j.Chance = sixDigits(p.Chance)
	}
	if p.Acts != sim.Never {
		j.Acts = &p.Acts
	}
	return j
}

func toJSONFlick(f sim.Flick) jsonFlick {
	j := jsonFlick{N: f.N, Down: f.Down, Outcome: f.Outcome, Press: f.Press}
	if f.Up != sim.Never {
		j.Up = &f.Up
	}
	return j
}

// stepOf returns the median step of a log, 0 if it was recorded on change.
func stepOf(f *flight.Flight) sim.Micros {
	if f.Reading.OnChange {
		return 0
	}
	return f.Replay.Samples.Steps.Median
}
