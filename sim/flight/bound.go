package flight

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/excerpt"
	"flicktally/sim/problem"
)

// A pass keeps the results of a log in memory, not the log. These bounds are far
// beyond what a hand does in a season and keep every command within 512 MiB.
const (
	mostSegments = 1000
	mostPresses  = 50_000
	mostEdges    = 2_000_000 // at the switch and at the camera's wire
)

// traceBinsOf divides the bins of a trace among segments whose number is not yet
// known: the nth gets an nth of them, but not fewer than a picture needs.
func traceBinsOf(segment, bins int) int {
	const enough = 1 << 12
	return max(bins/segment, min(bins, enough))
}

// amount is how much the replays of a log hold.
type amount struct{ segments, presses, edges int }

// with adds the replay of a segment.
func (e amount) with(r *sim.Replay) amount {
	return amount{
		segments: e.segments + 1,
		presses:  e.presses + len(r.Presses),
		edges:    e.edges + len(r.Lanes.Position.Edges) + len(r.Lanes.Wire.Edges),
	}
}

// check refuses an amount beyond the bounds.
func (e amount) check(name string) error {
	for _, bound := range []struct {
		found, most int
		of, hint    string
	}{
		{e.segments, mostSegments, "segments (a segment begins where time runs backwards)", "--time says which column holds the time"},
		{e.presses, mostPresses, "presses", "--channel says which column holds the switch"},
		{e.edges, mostEdges, "moves of the switch", "--channel says which column holds the switch"},
	} {
		if bound.found > bound.most {
			return problem.Hinted(fmt.Errorf("%s: found more than %d %s, want a log of a switch that a hand moves",
				excerpt.Printable(name), bound.most, bound.of), bound.hint)
		}
	}
	return nil
}
