package plot

import (
	"math/rand/v2"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// heron is the rig of the examples. The quad Heron films a sailing regatta.
func heron() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Log.Channel, rig.Log.Armed = "aux2", "arm"
	rig.Camera.StartDelay, rig.Camera.StopDelay = 400*sim.Millisecond, 1200*sim.Millisecond
	return rig
}

// flicks replays presses of the given holds, each in the middle of a gap, sampled
// every 20 ms. The craft is armed except in the first and the last second.
func flicks(rig sim.Rig, gap sim.Micros, holds ...sim.Micros) (*sim.Replay, *sim.Trace) {
	const frame = 20 * sim.Millisecond
	chain, trace := sim.NewChain(sim.TapChannel, rig), sim.NewTrace(sim.TapChannel, rig, 40_000)
	end := gap * sim.Micros(len(holds))
	for at := sim.Micros(0); at <= end; at += frame {
		s := sim.Sample{At: at, Channel: 1000, Armed: 1000}
		if i := int(at / gap); i < len(holds) {
			down := gap*sim.Micros(i) + gap/2
			if at >= down && at < down+holds[i] {
				s.Channel = 2000
			}
		}
		if at >= sim.Second && at < end-sim.Second {
			s.Armed = 2000
		}
		chain.Feed(s)
		trace.Feed(s)
	}
	return chain.Finish(), trace
}

// manyFlicks returns n flicks with seeded random holds, some of them too short or
// too long.
func manyFlicks(rig sim.Rig, n int) (*sim.Replay, *sim.Trace) {
	rng := rand.New(rand.NewPCG(2027, 1))
	holds := make([]sim.Micros, n)
	for i := range holds {
		holds[i] = sim.Micros(rng.IntN(90)+2) * 20 * sim.Millisecond
	}
	return flicks(rig, 4*sim.Second, holds...)
}

// everyStep is a rig that uses every stage of the chain.
func everyStep() sim.Rig {
	rig := heron()
	rig.Switch.Settle = 30 * sim.Millisecond
	rig.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 300 * sim.Millisecond}
	rig.Line.Update, rig.Line.Delay = 25*sim.Millisecond, 40*sim.Millisecond
	return rig
}

func timing(t interface{ Fatal(...any) }, r *sim.Replay, trace *sim.Trace, view TimingView) *Chart {
	c, err := Timing(r, tell.Findings(r, tell.DefaultLimits()), trace, view)
	if err != nil {
		t.Fatal(err)
	}
	return c
}
