package report

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

func TestAxisAdaptsToTheSpan(t *testing.T) {
	tests := []struct {
		name string
		end  sim.Micros
		want []string
	}{
		{"nothing", 0, []string{"0:00.000"}},
		{"milliseconds", 25 * sim.Millisecond, []string{"0:00.000", "0:00.005", "0:00.010", "0:00.015", "0:00.020", "0:00.025"}},
		{"hundredths", 120 * sim.Millisecond, []string{"0:00.00", "0:00.02", "0:00.04", "0:00.06", "0:00.08", "0:00.10", "0:00.12"}},
		{"tenths", 1100 * sim.Millisecond, []string{"0:00.0", "0:00.2", "0:00.4", "0:00.6", "0:00.8", "0:01.0"}},
		{"seconds", 9 * sim.Second, []string{"0:00", "0:01", "0:02", "0:03", "0:04", "0:05", "0:06", "0:07", "0:08", "0:09"}},
		{"half minutes", 180 * sim.Second, []string{"0:00", "0:30", "1:00", "1:30", "2:00", "2:30", "3:00"}},
		{"past the hour", 100 * sim.Minute, []string{"0:00", "10:00", "20:00", "30:00", "40:00", "50:00", "1:00:00", "1:10:00", "1:20:00", "1:30:00", "1:40:00"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var texts []string
			for _, tick := range axisTicks(test.end, plotWidth) {
				texts = append(texts, tick.Text)
			}
			require.Equal(t, test.want, texts)
		})
	}
}

func TestTicksNeverCrowd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		end := sim.Micros(rapid.Int64Range(1, int64(sim.MaxDuration)).Draw(t, "end"))
		ticks := axisTicks(end, plotWidth)
		require.LessOrEqual(t, len(ticks), plotWidth/labelGap+1)
		for _, tick := range ticks {
			at, err := sim.ParseClock(tick.Text)
			require.NoError(t, err)
			require.Equal(t, tick.At, at, "a tick stands at the time that it names")
		}
	})
}

// A browser draws with single precision, whose 24 bits of mantissa hold whole
// numbers exactly up to 2^24 (IEEE 754 binary32).
func TestTicksFitSinglePrecision(t *testing.T) {
	for _, end := range []sim.Micros{0, 1, sim.Second, 3 * sim.Minute, 5 * sim.Hour, sim.MaxDuration} {
		d := drawing{Unit: tickUnit(end)}
		last := d.ticks(end)
		require.Less(t, last, int64(1<<24))
		require.Equal(t, last, int64(float32(last)))
		require.True(t, d.Unit == 1 || last >= 1_000_000, "as fine as it can be")
	}
}
