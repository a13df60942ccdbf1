package sim

import (
	"slices"
	"testing"
)

// blockSize is the size of the blocks that the readers of logs deliver.
const blockSize = 2048

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

// flown is a flight as the benchmarks feed it, block by block.
type flown struct {
	name           string
	block          func(i int) []Sample
	blocks         int
	presses, edges int
}

func (f flown) samples() int { return f.blocks * blockSize }

// flights returns the same flight twice: from memory, where a sample costs at
// least the time to fetch it, and from one block that is reused, as a reader
// does, so that it is in the cache. There the pattern of one block repeats, later
// in time.
func flights() []flown {
	hour := flownSamples()
	blocks := len(hour) / blockSize
	block := slices.Clone(hour[:blockSize])
	reused := func(i int) []Sample {
		from := Micros(i*blockSize) * Millisecond
		for k := range block {
			block[k].At = from + Micros(k)*Millisecond
		}
		return block
	}
	return []flown{
		{"memory", func(i int) []Sample { return hour[i*blockSize:][:blockSize] }, blocks, 180, 360},
		{"block", reused, blocks, blocks, 2 * blocks},
	}
}

// BenchmarkChain measures the chain alone beside a loop that only compares each
// sample with the threshold; both pay for getting the samples.
func BenchmarkChain(b *testing.B) {
	for _, f := range flights() {
		run := func(name string, fly func(b *testing.B)) {
			b.Run(f.name+"/"+name, func(b *testing.B) {
				b.ReportAllocs()
				for range b.N {
					fly(b)
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*f.samples()), "ns/sample")
			})
		}
		run("get", func(b *testing.B) {
			for i := range f.blocks {
				f.block(i)
			}
		})
		run("threshold", func(b *testing.B) {
			if edges := f.countEdges(); edges != f.edges {
				b.Fatal(edges)
			}
		})
		run("chain", func(b *testing.B) {
			c := NewChain(TapChannel, DefaultRig())
			for i := range f.blocks {
				c.FeedAll(f.block(i))
			}
			if n := len(c.Finish().Presses); n != f.presses {
				b.Fatal(n)
			}
		})
	}
}

func (f flown) countEdges() (edges int) {
	was := false
	for i := range f.blocks {
		for _, s := range f.block(i) {
			if now := s.Channel >= 1250; now != was {
				edges, was = edges+1, now
			}
		}
	}
	return edges
}
