package export

import (
	"io"

	"flicktally/sim"
	"flicktally/sim/odds"
)

// The JSON of odds. Times are whole µs, chances 0 to 1. A simulated chance has a
// standard error.

type jsonOdds struct {
	Schema  int         `json:"schema"`
	Rig     jsonRig     `json:"rig"`
	Pilot   jsonPilot   `json:"pilot"`
	Method  string      `json:"method"` // "formula" or "simulation"
	Seed    uint64      `json:"seed"`
	Wanted  float64     `json:"wanted"`
	Flicks  int         `json:"flight_flicks"`
	Slips   *jsonSlips  `json:"slips,omitempty"` // if flicks were observed; included in every chance
	Aim     *jsonHold   `json:"aim,omitempty"`   // the hold to aim for, if holds matter
	Best    *jsonBest   `json:"best,omitempty"`  // another hold, if it saves enough to be mentioned
	Now     *jsonHold   `json:"now,omitempty"`   // the hold that the pilot aims for
	Band    *jsonBand   `json:"band,omitempty"`
	Curve   []jsonAt    `json:"curve"`
	Check   []jsonAt    `json:"check,omitempty"` // simulated beside the formula
	Changes []jsonSaves `json:"changes"`
}

type jsonPilot struct {
	Fixed    sim.Micros `json:"spread_us"`
	Relative float64    `json:"spread_of_hold"`
	Source   string     `json:"source"`
	Travel   sim.Micros `json:"travel_us"`
	Bounce   sim.Micros `json:"bounce_us"`
}

type jsonSlips struct {
	Count int     `json:"count"`
	Of    int     `json:"of"`
	Rate  float64 `json:"rate"`
	Low   float64 `json:"low"` // 95 % (Wilson)
	High  float64 `json:"high"`
}

type jsonBest struct {
	jsonHold
	Saves float64 `json:"saves"` // of all flicks, against the aim
}

type jsonAt struct {
	Hold    sim.Micros `json:"hold_us"`
	Toggles float64    `json:"toggles"`
	Missed  float64    `json:"missed"`
	Short   float64    `json:"short"`
	Long    float64    `json:"long"`
	Twice   float64    `json:"twice"`
	Error   float64    `json:"standard_error,omitempty"` // of toggles
	Flicks  int        `json:"simulated,omitempty"`
}

type jsonHold struct {
	jsonAt
	Flight  float64 `json:"flight"`
	Flights int     `json:"flights_simulated,omitempty"`
}

type jsonBand struct {
	Low      sim.Micros `json:"low_us"`
	High     sim.Micros `json:"high_us"`
	LowOpen  bool       `json:"low_open"` // the band extends below what was asked
	HighOpen bool       `json:"high_open"`
}

type jsonSaves struct {
	What  string  `json:"what"`
	From  string  `json:"from"`
	To    string  `json:"to"`
	Saves float64 `json:"saves"` // of all flicks
	Sure  bool    `json:"sure"`
	Then  float64 `json:"toggles_then"`
	Error float64 `json:"standard_error,omitempty"`
}

// Odds writes the odds of a flick as JSON.
func Odds(w io.Writer, o *odds.Report) error {
	return newJSON(w).Encode(toJSONOdds(o))
}

func toJSONOdds(o *odds.Report) jsonOdds {
	p := o.Case.Pilot
	j := jsonOdds{
		Schema: schema,
		Rig:    jsonRig{o.Case.Rig.Name},
		Pilot:  jsonPilot{p.Spread.Fixed, sixDigits(p.Spread.Relative), o.Source, p.Travel, p.Bounce},
		Method: "formula",
		Seed:   o.Sampling.Seed,
		Wanted: o.Wanted,
		Flicks: o.Flicks,
		Curve:  each(o.Study.Curve, toJSONAt),
		Check:  each(o.Check, toJSONAt),
		Changes: each(o.Changes, func(c odds.Change) jsonSaves {
			return jsonSaves{
				c.What, c.From, c.To, sixDigits(c.Saves), c.Sure,
				sixDigits(c.Answer.Chances[odds.Toggles]), sixDigits(c.Answer.StandardError(odds.Toggles)),
			}
		}),
	}
	if !o.Case.Closed() {
		j.Method = "simulation"
	}
	if n := o.Slips; n.Trials > 0 {
		within := n.Wilson(odds.Confidence)
		j.Slips = &jsonSlips{n.Hits, n.Trials, sixDigits(n.Value()), sixDigits(within.Low), sixDigits(within.High)}
	}
	if o.Case.HoldMatters() {
		j.Aim = new(toJSONHold(o, o.Study.Aim))
	}
	if o.Saves > 0 {
		j.Best = &jsonBest{toJSONHold(o, o.Study.Best), sixDigits(o.Saves)}
	}
	if o.Hold > 0 {
		j.Now = new(toJSONHold(o, o.Now))
	}
	if b := o.Study.Band; b != nil {
		low, high := o.Study.OpenEnded()
		j.Band = &jsonBand{b.Low, b.High, low, high}
	}
	return j
}

func toJSONHold(o *odds.Report, at odds.At) jsonHold {
	f := o.Flights[o.Index(at.Hold)]
	return jsonHold{toJSONAt(at), sixDigits(f.Chance), f.Simulated}
}

func toJSONAt(at odds.At) jsonAt {
	chance := func(o odds.Outcome) float64 { return sixDigits(at.Chances[o]) }
	return jsonAt{
		at.Hold, chance(odds.Toggles), chance(odds.Missed), chance(odds.Short), chance(odds.Long), chance(odds.Twice),
		sixDigits(at.StandardError(odds.Toggles)), at.Simulated,
	}
}
