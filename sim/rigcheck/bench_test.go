package rigcheck

import (
	"testing"

	"flicktally/sim"
)

// BenchmarkCheck checks a rig with a fast link and a refreshed line, and some
// risks to find changes for.
func BenchmarkCheck(b *testing.B) {
	rig := sim.DefaultRig()
	rig.Link.Frame, rig.Line.Update = 4*ms, 20*ms
	for b.Loop() {
		Check(rig, DefaultWithin)
	}
}
