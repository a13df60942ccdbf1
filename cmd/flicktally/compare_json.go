package main

import (
	"flicktally/sim"
	"flicktally/sim/rigfile"
)

// The JSON of compare: an object for each log or segment. Times are whole µs
// since the first sample.

type jsonContest struct {
	Schema int         `json:"schema"`
	Log    jsonLog     `json:"log"`
	Rigs   []jsonEntry `json:"rigs"`
}

type jsonEntry struct {
	Letter    string           `json:"letter"`
	Rig       string           `json:"rig"`
	Differs   []jsonDiffers    `json:"differs"`
	Presses   int              `json:"presses"`
	Toggles   int              `json:"toggles"`
	Takes     []jsonTake       `json:"takes"`
	Recorded  sim.Micros       `json:"recorded_us"`
	Missed    *sim.Micros      `json:"armed_missed_us,omitempty"`
	LostShots int              `json:"lost_shots"`
	Counts    map[sim.Code]int `json:"finding_counts"`
	Findings  []jsonFinding    `json:"findings"`
	Gained    []jsonSpan       `json:"gained"` // recorded here and not by the first rig
	Lost      []jsonSpan       `json:"lost"`   // recorded by the first rig and not here
}

type jsonDiffers struct {
	Key   string `json:"key"`
	First string `json:"first"`
	Here  string `json:"here"`
}

func (t *talk) printContestsJSON(contests []contest) error {
	objects := each(contests, toJSONContest)
	encoder := newJSON(t.out)
	if len(objects) == 1 {
		return encoder.Encode(objects[0])
	}
	return encoder.Encode(objects)
}

func toJSONContest(c contest) jsonContest {
	first := c.Flights[0]
	j := jsonContest{
		Schema: jsonSchema,
		Log:    toJSONLog(first),
	}
	for i := range c.Entrants {
		j.Rigs = append(j.Rigs, toJSONEntry(c, i))
	}
	return j
}

func toJSONEntry(c contest, i int) jsonEntry {
	e, f, o := c.Entrants[i], c.Flights[i], c.Outcomes[i]
	gained, lost := c.gains(i)
	j := jsonEntry{
		Letter: e.Letter, Rig: e.name(),
		Differs: each(e.Differs, func(d rigfile.Difference) jsonDiffers { return jsonDiffers{d.Key, d.First, d.Second} }),
		Presses: o.Presses, Toggles: o.Toggles, Recorded: o.Recorded, LostShots: o.LostShots,
		Takes:    each(f.Replay.Takes, func(t sim.Take) jsonTake { return jsonTake{t.N, t.Start, t.End, t.Ended} }),
		Counts:   map[sim.Code]int{},
		Findings: each(f.Findings, func(f sim.Finding) jsonFinding { return jsonFinding(f) }),
		Gained:   each(gained, toJSONSpan),
		Lost:     each(lost, toJSONSpan),
	}
	for _, count := range o.Findings {
		j.Counts[count.Code] = count.Count
	}
	if f.Replay.Armed != nil {
		j.Missed = &o.Missed
	}
	return j
}

func toJSONSpan(s sim.Span) jsonSpan { return jsonSpan{s.From, s.To} }
