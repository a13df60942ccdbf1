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

// Comparisons replays every segment of the logs with every rig.
func (r *Reader) Comparisons(paths []string, rigs []flight.ComparedRig, how How) ([]flight.Comparison, error) {
	var all []flight.Comparison
	for _, path := range paths {
		flights, err := r.replayRigs(path, rigs, how)
		if err != nil {
			return nil, err
		}
		segments := make([]flight.Comparison, len(flights[0]))
		for i, of := range flights {
			if len(of) != len(segments) {
				return nil, fmt.Errorf("cannot compare: found %s in %s with rig %s and %d with rig A, want [log] sections that agree",
					tell.Counted(len(of), "segment", "segments"), excerpt.Printable(path), rigs[i].Letter, len(segments))
			}
			for s, one := range of {
				segments[s].Rigs = rigs
				segments[s].Flights = append(segments[s].Flights, one)
				segments[s].Outcomes = append(segments[s].Outcomes, tell.OutcomeOf(one.Replay, one.Findings))
			}
		}
		all = append(all, segments...)
	}
	return all, nil
}

// replayRigs returns the flights of each rig. A log is read once for all rigs
// whose [log] sections agree.
func (r *Reader) replayRigs(path string, rigs []flight.ComparedRig, how How) ([][]flight.Flight, error) {
	flights := make([][]flight.Flight, len(rigs))
	for first := range rigs {
		if flights[first] != nil {
			continue
		}
		if path == "-" && first > 0 {
			return nil, problem.WrongUsage(fmt.Errorf("found - for standard input and rigs whose [log] sections differ (%s from A), want a file, to read it for each",
				rigs[first].Letter))
		}
		var which []int
		var alike []sim.Rig
		for i, e := range rigs {
			if reflect.DeepEqual(e.Rig.Log, rigs[first].Rig.Log) {
				which, alike = append(which, i), append(alike, e.Rig)
			}
		}
		all, err := r.readWith(path, alike, how, flight.Options{})
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
