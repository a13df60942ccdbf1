package lanes

import (
	"fmt"
	"math"

	"flicktally/sim"
)

// Tick is a labelled moment of a time axis.
type Tick struct {
	At   sim.Micros
	Text string
}

// Steps lists the usual distances between ticks, ascending.
var Steps = steps()

func steps() []sim.Micros {
	var all []sim.Micros
	for decade := sim.Microsecond; decade < sim.Second; decade *= 10 {
		all = append(all, decade, 2*decade, 5*decade)
	}
	for _, unit := range []sim.Micros{sim.Second, sim.Minute} {
		all = append(all, unit, 2*unit, 5*unit, 10*unit, 15*unit, 30*unit)
	}
	const h = sim.Hour
	return append(all, h, 2*h, 6*h, 12*h, 24*h, 48*h, 120*h)
}

// Ticks returns at most most ticks within a span, both ends included, at the
// smallest step that allows it.
func Ticks(span sim.Span, most int) []Tick {
	step := stepFor(span, most)
	var ticks []Tick
	for at := (span.From + step - 1) / step * step; at <= span.To; at += step {
		ticks = append(ticks, Tick{at, tickText(at, step)})
	}
	return ticks
}

// stepFor returns the smallest step that fits into a span at most most times.
func stepFor(span sim.Span, most int) sim.Micros {
	for _, s := range Steps {
		if float64(s)*float64(max(1, most)) >= float64(span.Length()) {
			return s
		}
	}
	return Steps[len(Steps)-1]
}

// tickText writes a moment with as many decimals as the step needs.
func tickText(at, step sim.Micros) string {
	decimals := 0
	for unit := sim.Second; step%unit != 0; unit /= 10 {
		decimals++
	}
	return ClockTo(at, decimals)
}

// ClockTo writes a time of a log with the given number of decimals, 0 to 6,
// truncated: "1:30", "0:00.001999".
func ClockTo(at sim.Micros, decimals int) string {
	text := fmt.Sprintf("%d:%02d", at/sim.Minute, at%sim.Minute/sim.Second)
	if at >= sim.Hour {
		text = fmt.Sprintf("%d:%02d:%02d", at/sim.Hour, at%sim.Hour/sim.Minute, at%sim.Minute/sim.Second)
	}
	if decimals == 0 {
		return text
	}
	return text + "." + fmt.Sprintf("%06d", at%sim.Second)[:decimals]
}

// DecimalStep returns the smallest step that is at least least and 1, 2 or 5
// times a power of ten, for all axes that are not times of a log.
func DecimalStep(least float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(least)))
	for _, factor := range []float64{1, 2, 5} {
		if factor*power >= least*(1-1e-9) {
			return factor * power
		}
	}
	return 10 * power
}
