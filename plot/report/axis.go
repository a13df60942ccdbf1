package report

import (
	"fmt"
	"strings"

	"flicktally/sim"
)

// labelGap is the least distance between the ticks of the time axis in px,
// enough for "1:23:45.678".
const labelGap = 90

// tickSteps are the distances of ticks that people count in. The script of the
// page has the same, in microseconds.
var tickSteps = []sim.Micros{
	sim.Millisecond, 2 * sim.Millisecond, 5 * sim.Millisecond,
	10 * sim.Millisecond, 20 * sim.Millisecond, 50 * sim.Millisecond,
	100 * sim.Millisecond, 200 * sim.Millisecond, 500 * sim.Millisecond,
	sim.Second, 2 * sim.Second, 5 * sim.Second, 10 * sim.Second, 15 * sim.Second, 30 * sim.Second,
	sim.Minute, 2 * sim.Minute, 5 * sim.Minute, 10 * sim.Minute, 15 * sim.Minute, 30 * sim.Minute,
	sim.Hour, 2 * sim.Hour, 6 * sim.Hour, 12 * sim.Hour, 24 * sim.Hour, 48 * sim.Hour, 120 * sim.Hour,
}

// tick is a labelled moment of the time axis.
type tick struct {
	At   sim.Micros
	Text string
}

// axisTicks returns the ticks of an axis from 0 to end that is width px wide.
func axisTicks(end sim.Micros, width int) []tick {
	step := tickSteps[len(tickSteps)-1]
	for _, s := range tickSteps {
		if int64(s)*int64(width) >= int64(end)*labelGap {
			step = s
			break
		}
	}
	var ticks []tick
	for at := sim.Micros(0); at <= end; at += step {
		ticks = append(ticks, tick{at, tickText(at, step)})
	}
	return ticks
}

// tickText writes a moment with as many decimals as the step needs.
func tickText(at, step sim.Micros) string {
	text := at.FineClock()
	for unit := 10 * sim.Millisecond; unit <= sim.Second && step%unit == 0; unit *= 10 {
		text = text[:len(text)-1]
	}
	return strings.TrimSuffix(text, ".")
}

// spanText writes "1:02.000 to 1:03.500 (1.5s)".
func spanText(s sim.Span) string {
	return fmt.Sprintf("%s to %s (%s)", s.From.FineClock(), s.To.FineClock(), s.Length().Readable())
}
