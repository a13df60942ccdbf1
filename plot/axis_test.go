package plot

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func labelsOf(scale Scale, low, high float64, count int) []string {
	var labels []string
	for _, tick := range (ticker{scale, count}).Ticks(low, high) {
		labels = append(labels, tick.Label)
	}
	return labels
}

func TestTicksAreRoundAndInTheFormatOfTheirScale(t *testing.T) {
	for name, test := range map[string]struct {
		scale     Scale
		low, high float64
		count     int
		want      []string
	}{
		"whole seconds":         {ClockScale, 0, 30e6, 6, []string{"0:00", "0:05", "0:10", "0:15", "0:20", "0:25", "0:30"}},
		"a part of a log":       {ClockScale, 59.5e6, 61e6, 3, []string{"0:59.5", "1:00.0", "1:00.5", "1:01.0"}},
		"milliseconds":          {ClockScale, 1_000_000, 1_004_000, 4, []string{"0:01.000", "0:01.001", "0:01.002", "0:01.003", "0:01.004"}},
		"microseconds":          {ClockScale, 7, 9, 5, []string{"0:00.000007", "0:00.000008", "0:00.000009"}},
		"hours":                 {ClockScale, 0, 2 * 3600e6, 4, []string{"0:00", "30:00", "1:00:00", "1:30:00", "2:00:00"}},
		"a quarter of a minute": {ClockScale, 0, 60e6, 4, []string{"0:00", "0:15", "0:30", "0:45", "1:00"}},
		"shares":                {PercentScale, 0, 1, 5, []string{"0 %", "20 %", "40 %", "60 %", "80 %", "100 %"}},
		"holds":                 {HoldScale, 0, 2e6, 4, []string{"0", "500", "1000", "1500", "2000"}},
		"counts are whole":      {CountScale, 0, 2, 10, []string{"0", "1", "2"}},
		"numbers":               {numberScale, -1, 1, 4, []string{"-1.0", "-0.5", "0.0", "0.5", "1.0"}},
		"days":                  {DateScale, 1_800_000_000, 1_800_000_000 + 3*86400, 3, []string{"2027-01-16", "2027-01-17", "2027-01-18"}},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, test.want, labelsOf(test.scale, test.low, test.high, test.count))
		})
	}
}

func TestTicksAreNoMoreThanAskedFor(t *testing.T) {
	for scale := numberScale; scale <= CountScale; scale++ {
		for span := 1.0; span < 1e13; span *= 3.7 {
			ticks := ticker{scale, 8}.Ticks(span/3, span/3+span)
			require.LessOrEqual(t, len(ticks), 9, "scale %d, span %g", scale, span)
		}
	}
}

// Ticks at given places are nowhere else, and are left out where they would crowd.
func TestTicksAtGivenPlaces(t *testing.T) {
	const day = 86400.0
	axis := Axis{Scale: DateScale, Min: 1_800_057_600, Max: 1_800_057_600 + 100*day}
	axis.At = []float64{axis.Min, axis.Min + day, axis.Min + 50*day, axis.Min + 99*day}
	var labels []string
	for _, tick := range axis.ticker(4).Ticks(axis.Min, axis.Max) {
		labels = append(labels, tick.Label)
	}
	assert.Equal(t, []string{"2027-01-16", "2027-03-07", "2027-04-25"}, labels)
}

func TestAnAxisWithoutLengthHasNoTicks(t *testing.T) {
	assert.Empty(t, ticker{numberScale, 8}.Ticks(3, 3))
}
