package flight

import (
	"math"

	"flicktally/sim"
)

// widely is how far from a threshold that the rig gives as one value flights look
// for the camera's own, as a factor.
const widely = 4

// OpenWindow returns the rig with thresholds that are to be found out from flights:
// a range stays, one value becomes the range from a quarter of it to four times it.
// Where both would meet, they end halfway between the values, by ratio.
func OpenWindow(rig sim.Rig) sim.Rig {
	c := &rig.Camera
	least, long := c.MinPress, c.LongPress
	halfway := sim.Micros(math.Sqrt(float64(max(1, least.High)) * float64(long.Low)))
	if least.Exact() {
		c.MinPress = sim.Interval{Low: least.Low / widely, High: min(least.Low*widely, halfway, long.Low-1)}
	}
	if long.Exact() {
		c.LongPress = sim.Interval{Low: max(long.Low/widely, halfway, c.MinPress.High+1), High: long.Low * widely}
	}
	return rig
}

// Found is what flights tell about a threshold.
type Found struct {
	Name  string       // of the rig file
	Asked sim.Interval // what was looked for
	Range sim.Interval // what of it is still possible
}

// Tells reports whether they tell anything about it.
func (f Found) Tells() bool { return f.Range != f.Asked }

// FoundWindow returns what judged flights tell about min_press and long_press, which
// they share. There must be a flight.
func FoundWindow(flights []Flight) []Found {
	known, camera := flights[0].Known, flights[0].Replay.Rig.Camera
	return []Found{{"min_press", camera.MinPress, known.MinPress}, {"long_press", camera.LongPress, known.LongPress}}
}
