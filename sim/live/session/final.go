package session

import (
	"slices"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/tell"
)

// Judge returns the flights with their findings and doubts, as replay does. Clips of
// a card, if not nil, are matched with all flights together. name is the name of the
// input or of the record. An error is about the clips.
func (r *Result) Judge(name string, card *logs.Clips, clipError sim.Micros) ([]flight.Flight, error) {
	flights := make([]flight.Flight, len(r.Flights))
	for i, l := range r.Flights {
		flights[i] = flight.Flight{File: name, Segment: l.Segment, Segments: len(flights), Replay: l.Replay, Reading: r.Reading, Seen: l.Seen}
	}
	together := 1
	if card != nil {
		together = max(1, len(flights))
	}
	for some := range slices.Chunk(flights, together) {
		if err := logs.JudgeWith(some, tell.DefaultLimits(), card, clipError); err != nil {
			return nil, err
		}
	}
	return flights, nil
}

// Final returns judged flights as a replay of the record gives them, or of the input
// if there is no whole record. A record has no lines that cannot be read, so the
// notes on reading are dropped.
func (r *Result) Final(flights []flight.Flight) []flight.Flight {
	if !r.Recorded {
		return flights
	}
	kept := slices.Clone(flights)
	for i := range kept {
		kept[i].Reading = sim.Reading{}
	}
	return kept
}
