package odds

import (
	"math/rand/v2"
	"testing"

	"flicktally/sim"
)

func perSecond(b *testing.B) {
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds()/1e6, "Mflicks/s")
}

func benchmarkCase(b *testing.B, c Case) {
	b.ReportAllocs()
	l := newLuck(1, 0)
	b.ResetTimer()
	var t Tally
	for done := 0; done < b.N; done += blockFlicks {
		t.Add(c.tally(200*ms, min(blockFlicks, b.N-done), &l))
	}
	perSecond(b)
}

func BenchmarkFlicks(b *testing.B) {
	for _, name := range []string{"nothing in between", "frames", "lossy frames", "frames and refresh", "one-shot", "uncertain window"} {
		b.Run(name, func(b *testing.B) { benchmarkCase(b, cases[name]) })
	}
}

// BenchmarkRehearsal is the real chain at the same work.
func BenchmarkRehearsal(b *testing.B) {
	c := cases["frames and refresh"]
	b.ReportAllocs()
	r := newRehearsal(c, 200*ms)
	l := newLuck(1, 0)
	for range b.N {
		r.flickOnce(&l, c.Rig.Camera.Window())
	}
	perSecond(b)
}

// BenchmarkLibraryDraws is the same trial, frames and refresh without loss, in
// the plainest way with math/rand/v2.
func BenchmarkLibraryDraws(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	const frame, update = 9 * ms, 20 * ms
	w := sim.DefaultRig().Camera.Window()
	toggled := 0
	for range b.N {
		hold := sim.Micros(200e3 + 40e3*rng.NormFloat64())
		frames := looks(hold, sim.Micros(rng.Int64N(int64(frame))), frame)
		seen := looks(frames*frame, sim.Micros(rng.Int64N(int64(update))), update) * update
		if seen >= w.MinPress && seen < w.LongPress {
			toggled++
		}
	}
	perSecond(b)
}
