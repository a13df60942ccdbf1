package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/benchcard"
)

// jsonBench is the JSON of a bench card. Durations are whole µs.
type jsonBench struct {
	Schema   int             `json:"schema"`
	Rig      jsonRig         `json:"rig"`
	Aim      optional        `json:"aim_us,omitzero"`
	Cautions []jsonStep      `json:"cautions"`
	Parts    []jsonBenchPart `json:"parts"`
}

type jsonBenchPart struct {
	Title  string      `json:"title"`
	Steps  []jsonStep  `json:"steps"`
	Trials []jsonTrial `json:"trials,omitempty"`
}

type jsonStep struct {
	Text string `json:"text"`
	Note string `json:"note,omitempty"` // what to write down
}

type jsonTrial struct {
	N    int        `json:"n"`
	For  string     `json:"for"`
	Hold sim.Micros `json:"hold_us"`
}

// Bench writes the card of a rig as JSON.
func Bench(w io.Writer, rig sim.Rig, card benchcard.Card) error {
	step := func(s benchcard.Step) jsonStep { return jsonStep(s) }
	j := jsonBench{Schema: schema, Rig: jsonRig{rig.Name}, Aim: aimOf(rig), Cautions: each(card.Cautions, step)}
	for _, p := range card.Parts {
		part := jsonBenchPart{Title: p.Title, Steps: each(p.Steps, step)}
		for _, trial := range p.Trials {
			part.Trials = append(part.Trials, jsonTrial(trial))
		}
		j.Parts = append(j.Parts, part)
	}
	return newJSON(w).Encode(j)
}
