package trainer

import (
	"flicktally/sim"
	"flicktally/sim/stat"
)

// Known is what is known of a pilot on a rig with a device before a drill
// begins. The zero Known is that of a beginner on a day without practice.
type Known struct {
	Past Past
	// Practised says that there was a flick today already: the next is not cold.
	Practised bool
	// FirstFlicks counts the first flicks of days, cold, that toggled.
	FirstFlicks stat.Rate
	// Last has the score of the latest drill of each kind that was done.
	Last map[Kind]Score
	Days Days
	// Resolution is the resolution of the device when it was last used, on any
	// rig; 0 if it never was.
	Resolution sim.Micros
}
