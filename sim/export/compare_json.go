package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/rigfile"
	"flicktally/sim/tell"
)

// The JSON of compare: an object for each log or segment. Times are whole µs
// since the first sample.

type jsonComparison struct {
	Schema int         `json:"schema"`
	Log    jsonLog     `json:"log"`
	Rigs   []jsonEntry `json:"rigs"`
}

type jsonEntry struct {
	Letter   string            `json:"letter"`
	Rig      string            `json:"rig"`
	Differs  []jsonDiffers     `json:"differs"`
	Presses  int               `json:"presses"`
	Toggles  int               `json:"toggles"`
	Takes    []jsonTake        `json:"takes"`
	Recorded sim.Micros        `json:"recorded_us"`
	Missed   *sim.Micros       `json:"armed_missed_us,omitempty"`
	Flicks   jsonFlickCounts   `json:"flicks"`
	Counts   map[tell.Code]int `json:"finding_counts"`
	Findings []jsonFinding     `json:"findings"`
	Gained   []jsonSpan        `json:"gained"` // recorded with this rig and not with the first
	Lost     []jsonSpan        `json:"lost"`   // recorded with the first rig and not with this one
}

type jsonDiffers struct {
	Key    string `json:"key"`
	First  string `json:"first"`
	Second string `json:"here"`
}

// Comparisons writes the results of rigs for the same logs as JSON: an object, or
// an array for several logs or segments.
func Comparisons(w io.Writer, comparisons []flight.Comparison) error {
	return encodeAll(w, each(comparisons, toJSONComparison))
}

func toJSONComparison(c flight.Comparison) jsonComparison {
	j := jsonComparison{Schema: schema, Log: toJSONLog(&c.Flights[0])}
	for i := range c.Rigs {
		j.Rigs = append(j.Rigs, toJSONEntry(c, i))
	}
	return j
}

func toJSONEntry(c flight.Comparison, i int) jsonEntry {
	e, f, o := c.Rigs[i], c.Flights[i], c.Outcomes[i]
	gained, lost := c.Gains(i)
	j := jsonEntry{
		Letter: e.Letter, Rig: e.Name(),
		Differs: each(e.Differs, func(d rigfile.Difference) jsonDiffers { return jsonDiffers(d) }),
		Presses: o.Presses, Toggles: o.Toggles, Recorded: o.Recorded, Flicks: toJSONFlickCounts(o.Flicks),
		Takes:    each(f.Replay.Takes, toJSONTake),
		Counts:   map[tell.Code]int{},
		Findings: each(f.Findings, toJSONFinding),
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

// jsonFlickCounts is the number of flicks, in all and by outcome.
type jsonFlickCounts struct {
	Count   int                      `json:"count"`
	Toggled int                      `json:"toggled"`
	Why     map[sim.FlickOutcome]int `json:"why"`
}

func toJSONFlickCounts(counts sim.FlickCounts) jsonFlickCounts {
	j := jsonFlickCounts{Why: map[sim.FlickOutcome]int{}}
	j.Toggled, j.Count = counts.Toggled()
	for _, c := range counts {
		if c.Outcome != sim.FlickToggled {
			j.Why[c.Outcome] = c.Count
		}
	}
	return j
}
