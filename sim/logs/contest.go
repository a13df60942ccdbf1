package logs

import (
	"fmt"
	"reflect"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/flight"
	"flicktally/sim/problem"
	"flicktally/sim/tell"
)

// Contests replays every segment of the logs with every rig.
func (r *Reader) Contests(paths []string, entrants []flight.Entrant, how How) ([]flight.Contest, error) {
	var all []flight.Contest
	for _, path := range paths {
		flights, err := r.replayEntrants(path, entrants, how)
		if err != nil {
			return nil, err
		}
		segments := make([]flight.Contest, len(flights[0]))
		for i, of := range flights {
			if len(of) != len(segments) {
				return nil, fmt.Errorf("cannot compare: found %s in %s with rig %s and %d with rig A, want [log] sections that agree",
					tell.Counted(len(of), "segment", "segments"), excerpt.Printable(path), entrants[i].Letter, len(segments))
			}
			for s, one := range of {
				segments[s].Entrants = entrants
				segments[s].Flights = append(segments[s].Flights, one)
				segments[s].Outcomes = append(segments[s].Outcomes, tell.OutcomeOf(one.Replay, one.Findings))
			}
		}
		all = append(all, segments...)
	}
	return all, nil
}

// replayEntrants returns the flights of each entrant. A log is read once for
// all rigs whose [log] sections agree.
func (r *Reader) replayEntrants(path string, entrants []flight.Entrant, how How) ([][]flight.Flight, error) {
	flights := make([][]flight.Flight, len(entrants))
	for first := range entrants {
		if flights[first] != nil {
			continue
		}
		if path == "-" && first > 0 {
			return nil, problem.WrongUsage(fmt.Errorf("found - for standard input and rigs whose [log] sections differ (%s from A), want a file, to read it for each",
				entrants[first].Letter))
		}
		var which []int
		var rigs []sim.Rig
		for i, e := range entrants {
			if reflect.DeepEqual(e.Rig.Log, entrants[first].Rig.Log) {
				which, rigs = append(which, i), append(rigs, e.Rig)
			}
		}
		all, err := r.readWith(path, rigs, how, flight.Options{})
		if err != nil {
			return nil, err
		}
		for k, i := range which {
			flights[i] = all[k]
			if err := r.Judge(all[k], Options{Limits: tell.DefaultLimits()}); err != nil {
				return nil, err
			}
		}
	}
	return flights, nil
}
