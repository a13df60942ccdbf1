package flight

import (
	"cmp"
	"slices"

	"flicktally/sim/belief"
	"flicktally/sim/tell"
)

// Judge works out what is known of the flights with what somebody saw of them,
// and what their pilot should know. Their replays become those of the likeliest
// course. What was seen counts for each of the flights alike. Errors are those
// of [belief.Resolve].
func Judge(flights []Flight, limits tell.Limits, seen belief.Observations) error {
	for i := range flights {
		f := &flights[i]
		known, err := belief.Resolve(f.Replay, seen)
		if err != nil {
			return err
		}
		f.Known, f.Replay, f.Clips = known, known.Replay, seen.Clips
		f.Findings = append(tell.Findings(f.Replay, limits), known.Findings...)
		slices.SortStableFunc(f.Findings, func(a, b tell.Finding) int { return cmp.Compare(a.At, b.At) })
	}
	return nil
}
