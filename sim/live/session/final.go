package session

import (
	"slices"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/logs"
	"flicktally/sim/tell"
)

// Judge returns the flights as replay has them, with what there is to say of each; of
// all together where the card has their clips, which nil stands for the lack of. The
// name is the input's, or the record's. An error is about the clips.
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

// Final returns judged flights as a replay of what is kept of them: of the record,
// where that is whole, which has no line that could not be read; else of the input.
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
