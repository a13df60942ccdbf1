package stat

import (
	"math"
	"slices"
)

// A slip is a value that is further from the median than the spread of the
// others explains: more than slipDeviations robust standard deviations of the
// logarithm, and more than slipFactor times longer or shorter.
const (
	slipDeviations = 4
	slipFactor     = 2
)

// madToSD makes a standard deviation of a median absolute deviation, for a
// normal spread: 1/Φ⁻¹(3/4).
const madToSD = 1.482602218505602

// SplitSlips parts holds that were meant to be equal into those that scatter
// about one middle and the slips, both in the given order. All are more than 0.
func SplitSlips[T ~int64 | ~float64](holds []T) (kept, slips []T) {
	logs := make([]float64, len(holds))
	for i, hold := range holds {
		logs[i] = math.Log(float64(hold))
	}
	limit := max(slipDeviations*madToSD*middle(distances(logs)), math.Log(slipFactor))
	center := middle(logs)
	for i, hold := range holds {
		if math.Abs(logs[i]-center) > limit {
			slips = append(slips, hold)
		} else {
			kept = append(kept, hold)
		}
	}
	return kept, slips
}

// middle returns the median of values, the mean of the two middle ones where
// their number is even; 0 without values.
func middle(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	return (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
}
