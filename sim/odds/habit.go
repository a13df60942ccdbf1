package odds

import (
	"errors"
	"math"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Habit is what a pilot's holds so far say.
type Habit struct {
	Flicks int        // that count
	Slips  int        // that were left out: no spread of the hand explains them
	Hold   sim.Micros // the mean, to a millisecond
	Spread Spread
	// Doubt is the relative standard error of the spread: 0.2 means that it is
	// known to about 20 %. For normal holds it is 1/√(2(n−1)).
	Doubt float64
}

// slipFactor is how many times longer or shorter than the median a hold must be
// to count as a slip.
const slipFactor = 3

// HabitOf reads a pilot's habit from holds that were meant to be equal. It
// fails where fewer than two are left without the slips.
func HabitOf(holds []sim.Micros) (Habit, error) {
	var kept []sim.Micros
	if len(holds) > 0 {
		median := stat.Median(holds)
		for _, hold := range holds {
			if hold*slipFactor >= median && hold <= median*slipFactor {
				kept = append(kept, hold)
			}
		}
	}
	if len(kept) < 2 {
		return Habit{}, errors.New("found fewer than two holds of about the same length, want at least two to tell their spread")
	}
	s := stat.Summarize(kept)
	return Habit{
		Flicks: s.N,
		Slips:  len(holds) - s.N,
		Hold:   sim.Micros(math.Round(s.Mean/1e3)) * sim.Millisecond,
		Spread: Spread{Relative: s.SD / s.Mean},
		Doubt:  1 / math.Sqrt(2*float64(s.N-1)),
	}, nil
}
