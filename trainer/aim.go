package trainer

import "flicktally/sim"

// aimOf returns the hold to aim for in a drill. If both edges of the switch
// start a pulse, holds do not matter, and the aim is a deliberate flick of 200
// ms (common practice, no source).
func aimOf(rig sim.Rig) sim.Micros {
	if hold, ok := rig.Aim(); ok {
		return hold
	}
	return 200 * sim.Millisecond
}
