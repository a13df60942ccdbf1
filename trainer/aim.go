package trainer

import "flicktally/sim"

// aimOf returns the hold to aim for in a drill. Where both edges of the switch
// start a pulse no hold counts, and a deliberate flick of 200 ms (common
// practice, no source) is asked for.
func aimOf(rig sim.Rig) sim.Micros {
	if hold, ok := rig.Aim(); ok {
		return hold
	}
	return 200 * sim.Millisecond
}
