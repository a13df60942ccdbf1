package report_test

import (
	"fmt"

	"flicktally/plot/report"
	"flicktally/sim"
	"flicktally/sim/flight"
	"flicktally/sim/tell"
)

// flick is a press of the switch in a made-up flight.
type flick struct{ at, hold sim.Micros }

// regatta is a flight of the quad Heron over a regatta: start line, mark rounding,
// finish, with one flick too long and one too short.
var regatta = []flick{
	{12 * sim.Second, 280 * sim.Millisecond},
	{54 * sim.Second, 310 * sim.Millisecond},
	{66 * sim.Second, 40 * sim.Millisecond},
	{91 * sim.Second, 260 * sim.Millisecond},
	{125 * sim.Second, 300 * sim.Millisecond},
	{150 * sim.Second, 2310 * sim.Millisecond},
}

// heron is a rig with every step in use.
func heron() sim.Rig {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	rig.Log.Armed = "arm"
	rig.Camera.StartDelay = 400 * sim.Millisecond
	rig.Camera.StopDelay = 900 * sim.Millisecond
	return rig
}

// part replays the flicks, sampled every 20 ms. The craft is armed from 8 s to 5 s
// before the end.
func part(rig sim.Rig, flicks []flick, end sim.Micros) flight.Flight {
	chain, trace := sim.NewChain(sim.TapChannel, rig), sim.NewTrace(sim.TapChannel, rig, report.TraceBins)
	next := 0
	for at := sim.Micros(0); at <= end; at += 20 * sim.Millisecond {
		for next < len(flicks) && at >= flicks[next].at+flicks[next].hold {
			next++
		}
		s := sim.Sample{At: at, Channel: 1000, Armed: 1000}
		if next < len(flicks) && at >= flicks[next].at {
			s.Channel = 2000
		}
		if at >= 8*sim.Second && at < end-5*sim.Second {
			s.Armed = 2000
		}
		chain.Feed(s)
		trace.Feed(s)
	}
	replay := chain.Finish()
	return flight.Flight{Replay: replay, Findings: tell.Findings(replay, tell.DefaultLimits()), Trace: trace}
}

func regattaPage() report.Page {
	return report.Page{
		Source: "regatta.csv", RigFrom: "heron.toml", Given: map[string]bool{"camera.min_press": true},
		Notes: []string{"9001 rows of data, comma-separated", "1 torn line at the end dropped"},
		Parts: []flight.Flight{part(heron(), regatta, 180*sim.Second)},
	}
}

// many returns n flicks, one every 6 s, some of them too short or too long.
func many(n int) (flicks []flick, end sim.Micros) {
	for i := range n {
		hold := sim.Micros(200+i*37%300) * sim.Millisecond
		switch i % 11 {
		case 4:
			hold = 40 * sim.Millisecond
		case 9:
			hold = 1900 * sim.Millisecond
		}
		flicks = append(flicks, flick{sim.Micros(10+6*i) * sim.Second, hold})
	}
	return flicks, sim.Micros(20+6*n) * sim.Second
}

func manyPage(n int) report.Page {
	rig := heron()
	rig.Camera.LongAction = sim.ActionNone
	flicks, end := many(n)
	return report.Page{Source: fmt.Sprintf("season-%d.csv", n), Parts: []flight.Flight{part(rig, flicks, end)}}
}
