package flight

import (
	"cmp"
	"slices"

	"flicktally/sim/belief"
	"flicktally/sim/tell"
)

// Judge determines what is known of the flights, given the observations, and
// their findings. Their replays become those of the likeliest history. The flights
// share their thresholds and the observed clips; each has its own glances.
// Errors are those of [belief.ResolveOuting].
func Judge(flights []Flight, limits tell.Limits, seen belief.Observations) error {
	results, err := resolve(flights, seen)
	if err != nil {
		return err
	}
	for i, known := range results {
		f := &flights[i]
		f.Known, f.Replay, f.Clips = known, known.Replay, seen.Clips
		f.Findings = append(tell.Findings(f.Replay, limits), known.Findings...)
		slices.SortStableFunc(f.Findings, func(a, b tell.Finding) int { return cmp.Compare(a.At, b.At) })
	}
	return nil
}

// resolve determines what is known of flights, together if anything was observed.
func resolve(flights []Flight, seen belief.Observations) ([]*belief.Result, error) {
	outing := belief.Outing{Clips: seen.Clips, ClipError: seen.ClipError}
	observed := seen.Clips != nil
	for _, f := range flights {
		glances := slices.Concat(f.Seen, seen.Seen)
		outing.Flights = append(outing.Flights, belief.Flight{Replay: f.Replay, Seen: glances})
		observed = observed || len(glances) > 0
	}
	if observed && len(flights) > 1 {
		return belief.ResolveOuting(outing)
	}
	var results []*belief.Result
	for _, f := range outing.Flights {
		known, err := belief.Resolve(f.Replay, belief.Observations{Seen: f.Seen, Clips: seen.Clips, ClipError: seen.ClipError})
		if err != nil {
			return nil, err
		}
		results = append(results, known)
	}
	return results, nil
}
