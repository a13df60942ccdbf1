package plot

import (
	"io"
	"testing"

	"flicktally/sim"
)

// hour yields an hour of samples at 4 kHz with a flick every 20 s.
func hour(yield func(sim.Sample)) {
	for at := sim.Micros(0); at < sim.Hour; at += 250 {
		s := sim.Sample{At: at, Channel: 1000 + sim.PulseWidth(at/250%3), Armed: sim.Absent}
		if at%(20*sim.Second) < 300*ms {
			s.Channel += 900
		}
		yield(s)
	}
}

// BenchmarkHour compares the chart of an hour at 4 kHz with its replay. The chart
// should take about as long.
func BenchmarkHour(b *testing.B) {
	b.Run("replay", func(b *testing.B) {
		for b.Loop() {
			chain := sim.NewChain(sim.TapChannel, heron())
			hour(chain.Feed)
			chain.Finish()
		}
	})
	for _, format := range []Format{SVG, pngFile, pdf} {
		b.Run("replay and chart as "+string(format), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				chain, trace := sim.NewChain(sim.TapChannel, heron()), sim.NewTrace(sim.TapChannel, heron(), 40_000)
				hour(func(s sim.Sample) {
					chain.Feed(s)
					trace.Feed(s)
				})
				r := chain.Finish()
				if err := Write(io.Discard, timing(b, r, trace, TimingView{}), format); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
