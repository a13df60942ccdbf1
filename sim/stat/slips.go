package stat

import (
	"math"
	"slices"
)

// A slip is a value further from the median than the spread of the others
// explains: more than slipDeviations robust standard deviations of the
// logarithm away, and more than slipFactor times longer or shorter.
const (
	slipDeviations = 4
	slipFactor     = 2
)

// madToSD converts a median absolute deviation to a standard deviation, for a
// normal spread: 1/Φ⁻¹(3/4).
const madToSD = 1.482602218505602

// SplitSlips divides holds that were meant to be equal into those that scatter
// about one middle and the slips, both in the given order. All must be more
// than 0.
func SplitSlips[T ~int64 | ~float64](holds []T) (kept, slips []T) {
	for i, slip := range Slips(holds, func(int) T { return 0 }) {
		if slip {
			slips = append(slips, holds[i])
		} else {
			kept = append(kept, holds[i])
		}
	}
	return kept, slips
}

// Slips reports which of the holds are slips. Hold i may be wrong by up to off(i):
// it is a slip only if every possible value is one.
func Slips[T ~int64 | ~float64](holds []T, off func(i int) T) []bool {
	logs := make([]float64, len(holds))
	for i, hold := range holds {
		logs[i] = math.Log(float64(hold))
	}
	limit := max(slipDeviations*madToSD*middle(distances(logs)), math.Log(slipFactor))
	center := math.Exp(middle(logs))
	slips := make([]bool, len(holds))
	for i, hold := range holds {
		shortest, longest := float64(hold-off(i)), float64(hold+off(i))
		slips[i] = longest < center*math.Exp(-limit) || shortest > center*math.Exp(limit)
	}
	return slips
}

// middle returns the median of values, the mean of the two middle ones if their
// number is even; 0 without values.
func middle(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	return (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
}
