package sim_test

import (
	"fmt"

	"flicktally/sim"
)

// A flick of 200 ms starts a take. A flick of 40 ms is too short to end it.
func Example() {
	chain := sim.NewChain(sim.TapChannel, sim.DefaultRig())
	for at := sim.Micros(0); at <= 10*sim.Second; at += 10 * sim.Millisecond {
		s := sim.Sample{At: at, Channel: 1000, Armed: sim.Absent}
		long := sim.Span{From: 2 * sim.Second, To: 2200 * sim.Millisecond}
		short := sim.Span{From: 8 * sim.Second, To: 8040 * sim.Millisecond}
		if long.Contains(at) || short.Contains(at) {
			s.Channel = 2000
		}
		chain.Feed(s)
	}
	replay := chain.Finish()
	for _, p := range replay.Presses {
		fmt.Println(p.N, p.Hold(), p.Verdict)
	}
	for _, t := range replay.Takes {
		fmt.Println("take from", t.Start.Clock(), "to", t.End.Clock(), "ended by", t.Ended)
	}
	// Output:
	// 1 200ms toggle
	// 2 40ms short
	// take from 0:02.2 to 0:10.0 ended by log-end
}
