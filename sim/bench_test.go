package sim

import "testing"

// flownSamples returns the samples of an hour at 1 kHz with a flick every 20 s,
// and noise of the kind that a link has.
func flownSamples() []Sample {
	samples := make([]Sample, 3_600_000)
	for i := range samples {
		value := PulseWidth(1000 + i%3)
		if i%20_000 < 300 {
			value = PulseWidth(2000 - i%3)
		}
		samples[i] = Sample{At: Micros(i) * Millisecond, Channel: value, Armed: Absent}
	}
	return samples
}

// BenchmarkChain measures the chain alone, samples in memory, beside a loop
// that only compares each sample with the threshold.
func BenchmarkChain(b *testing.B) {
	samples := flownSamples()
	perSample := func(b *testing.B) {
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(samples)), "ns/sample")
	}
	b.Run("chain", func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			c := NewChain(DefaultRig())
			for _, s := range samples {
				c.Feed(s)
			}
			if n := len(c.Finish().Presses); n != 180 {
				b.Fatal(n)
			}
		}
		perSample(b)
	})
	b.Run("threshold", func(b *testing.B) {
		for range b.N {
			edges, was := 0, false
			for _, s := range samples {
				if now := s.Channel >= 1250; now != was {
					edges, was = edges+1, now
				}
			}
			if edges != 360 {
				b.Fatal(edges)
			}
		}
		perSample(b)
	})
}
