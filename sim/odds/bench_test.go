package odds

import (
	"maps"
	"slices"
	"testing"

	"flicktally/sim"
)

// BenchmarkFlicks measures how many flicks of each case a processor simulates.
func BenchmarkFlicks(b *testing.B) {
	for _, name := range slices.Sorted(maps.Keys(cases)) {
		b.Run(name, func(b *testing.B) {
			cases[name].Simulate(200*sim.Millisecond, Sampling{Flicks: b.N, Seed: 1})
		})
	}
}

// BenchmarkRehearsal is the real chain at the same work.
func BenchmarkRehearsal(b *testing.B) {
	c := cases["frames and refresh"]
	b.ReportAllocs()
	r, l := newRehearsal(c, 200*ms), newLuck(1, 0)
	for range b.N {
		r.flick(l, c.Rig.Camera.Window())
	}
}
