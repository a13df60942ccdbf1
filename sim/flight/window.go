package flight

import (
	"math"

	"flicktally/sim"
)

// widening is the factor by which the camera's threshold may differ from a single
// value in the rig.
const widening = 4

// OpenWindow returns the rig with thresholds to be found from flights. A range
// stays; a single value becomes the range from a quarter of it to four times
// it. If the two ranges would overlap, they meet at the geometric mean of the
// values.
func OpenWindow(rig sim.Rig) sim.Rig {
	c := &rig.Camera
	least, long := c.MinPress, c.LongPress
	halfway := sim.Micros(math.Sqrt(float64(max(1, least.High)) * float64(long.Low)))
	if least.Exact() {
		c.MinPress = sim.Interval{Low: least.Low / widening, High: min(least.Low*widening, halfway, long.Low-1)}
	}
	if long.Exact() {
		c.LongPress = sim.Interval{Low: max(long.Low/widening, halfway, c.MinPress.High+1), High: long.Low * widening}
	}
	return rig
}

// Found is what flights reveal about a threshold.
type Found struct {
	Name  string       // of the rig file
	Asked sim.Interval // the range that was searched
	Range sim.Interval // the part that is still possible
}

// Narrowed reports whether flights narrowed the range.
func (f Found) Narrowed() bool { return f.Range != f.Asked }

// FoundWindow returns what judged flights reveal about min_press and
// long_press, which they share. There must be at least one flight.
func FoundWindow(flights []Flight) []Found {
	known, camera := flights[0].Known, flights[0].Replay.Rig.Camera
	return []Found{{"min_press", camera.MinPress, known.MinPress}, {"long_press", camera.LongPress, known.LongPress}}
}
