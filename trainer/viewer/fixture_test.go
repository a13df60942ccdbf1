package viewer

import (
	"sync"

	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// move puts the switch at a pulse width from a moment on.
type move struct {
	at    sim.Micros
	value sim.PulseWidth
}

// regatta is the flight of these tests: a take at the start line, one at the mark, and
// a press held too long at the finish.
func regatta() flight.Flight {
	log := flown()
	own := *log.Replay
	log.Replay = &own
	return log
}

var flown = sync.OnceValue(func() flight.Flight {
	const up, down = 1000, 2000
	return replayed("regatta.csv", heron(), 3*sim.Minute, []move{
		{0, up},
		{10 * sim.Second, down}, {10*sim.Second + 300*sim.Millisecond, up}, // start line: starts
		{52 * sim.Second, down}, {52*sim.Second + 280*sim.Millisecond, up}, // stops
		{80 * sim.Second, down}, {80*sim.Second + 40*sim.Millisecond, up}, // too short
		{81 * sim.Second, down}, {81*sim.Second + 320*sim.Millisecond, up}, // the mark: starts
		{120 * sim.Second, down}, {120*sim.Second + 310*sim.Millisecond, up}, // stops
		{150 * sim.Second, down}, {152*sim.Second + 300*sim.Millisecond, up}, // finish: held too long
	})
})

func heron() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Log.Armed = "arm"
	return rig
}

// replayed replays moves of the switch, sampled every 10 ms. The craft is armed from
// 5 s after the start to 5 s before the end.
func replayed(name string, rig sim.Rig, end sim.Micros, moves []move) flight.Flight {
	chain := sim.NewChain(sim.TapChannel, rig)
	trace := sim.NewTrace(sim.TapChannel, rig, 1<<16)
	for at := sim.Micros(0); ; at = min(at+10*sim.Millisecond, end) {
		for len(moves) > 1 && moves[1].at <= at {
			moves = moves[1:]
		}
		s := sim.Sample{At: at, Channel: moves[0].value, Armed: 1000}
		if at >= 5*sim.Second && at < end-5*sim.Second {
			s.Armed = 2000
		}
		chain.Feed(s)
		trace.Feed(s)
		if at == end {
			break
		}
	}
	r := chain.Finish()
	return flight.Flight{File: name, Replay: r, Findings: tell.Findings(r, tell.DefaultLimits()), Trace: trace}
}
