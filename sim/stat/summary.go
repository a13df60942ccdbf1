package stat

import (
	"slices"

	gstat "gonum.org/v1/gonum/stat"
)

// Summary describes a list of measurements, in their unit.
type Summary struct {
	N    int
	Mean float64 // 0 without measurements
	// SD is the standard deviation of the population from which they were
	// drawn, with n − 1 in the denominator; 0 for fewer than two.
	SD float64
}

// Summarize returns the summary of values. None may be NaN.
func Summarize[T ~int64 | ~float64](values []T) Summary {
	x := floats(values)
	switch len(x) {
	case 0:
		return Summary{}
	case 1:
		return Summary{N: 1, Mean: x[0]}
	}
	mean, sd := gstat.MeanStdDev(x, nil)
	return Summary{len(x), mean, sd}
}

// Median returns the middle one of values, the higher of the two middle ones if
// their number is even. There must be at least one.
func Median[T ~int64 | ~float64](values []T) T {
	sorted := slices.Sorted(slices.Values(values))
	return sorted[len(sorted)/2]
}

func floats[T ~int64 | ~float64](values []T) []float64 {
	x := make([]float64, len(values))
	for i, v := range values {
		x[i] = float64(v)
	}
	return x
}
