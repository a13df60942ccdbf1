package belief

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// longFlight is a flight of presses that are sampled every 10 ms, a third of
// them on the edge of one or the other threshold, of a camera whose thresholds
// and start are not known. Changes to the rig are made last.
func longFlight(presses int, change ...func(*sim.Rig)) *sim.Replay {
	rig := sim.DefaultRig()
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	rig.Camera.LongPress = sim.Interval{Low: 1200 * ms, High: 1600 * ms}
	rig.Camera.LongAction = sim.ActionNone
	rig.Camera.StartDelay, rig.Camera.StopDelay = 400*ms, 800*ms
	rig.Camera.Start = sim.StartUnknown
	for _, c := range change {
		c(&rig)
	}
	chain := sim.NewChain(sim.TapChannel, rig)
	at := sim.Micros(0)
	feed := func(value sim.PulseWidth, lasts sim.Micros) {
		for end := at + lasts; at < end; at += 10 * ms {
			chain.Feed(sim.Sample{At: at, Channel: value, Armed: sim.Absent})
		}
	}
	for i := range sim.Micros(presses) {
		feed(1000, 5*s+i%7*s/10)
		feed(2000, []sim.Micros{300, 300, 300, 300, 70 + i%3*10, 1400 + i%9*10}[i%6]*ms)
	}
	feed(1000, 5*s)
	return chain.Finish()
}

// glancesOf looks at the light now and then, in one history that is possible.
func glancesOf(r *sim.Replay, every sim.Micros) []Glance {
	c := r.Rig.Camera
	c.Start = sim.StartStandby
	truth := sim.RunCamera(c, sim.Window{MinPress: 93 * ms, LongPress: 1431 * ms}, r.Lanes.Wire, r.End, nil)
	var seen []Glance
	for at := every; at < r.End; at += every {
		if light, known := lightOf(truth.StateAt(at)); known {
			seen = append(seen, Glance{at, light})
		}
	}
	return seen
}

// cardOf lists the takes of that history, as many as are asked for.
func cardOf(r *sim.Replay, clips int) []Clip {
	c := r.Rig.Camera
	c.Start = sim.StartStandby
	truth := sim.RunCamera(c, sim.Window{MinPress: 93 * ms, LongPress: 1431 * ms}, r.Lanes.Wire, r.End, nil)
	list := []Clip{}
	for _, t := range truth.Takes[:min(clips, len(truth.Takes))] {
		list = append(list, Clip{Length: t.Length() + 100*ms, Start: 1000*s + t.Start, HasStart: true})
	}
	return list
}

// BenchmarkLongFlights resolves flights as long as they may be, of rigs of many
// kinds.
func BenchmarkLongFlights(b *testing.B) {
	for _, tt := range []struct {
		name    string
		presses int
		glances sim.Micros // how far apart; 0 for none
		clips   int
		change  func(*sim.Rig)
	}{
		{"1000 presses, nothing seen", 1000, 0, 0, func(*sim.Rig) {}},
		{"1000 presses, glances", 1000, 600 * s, 0, func(*sim.Rig) {}},
		{"1000 presses, glances, toggles on the press", 1000, 600 * s, 0, func(r *sim.Rig) { r.Camera.ToggleOn = sim.ToggleOnPress }},
		{"1000 presses, glances, inverting", 1000, 600 * s, 0, func(r *sim.Rig) { r.Line.Through, r.Camera.PressedLevel = sim.ThroughInverting, sim.ActiveLow }},
		{"1000 presses, glances, auto_off", 1000, 600 * s, 0, func(r *sim.Rig) {
			r.Camera.AutoOff, r.Camera.WakePress, r.Camera.Boot = 8*s, 200*ms, s
		}},
		{"1000 presses, glances, pairs", 1000, 600 * s, 0, func(r *sim.Rig) { r.Camera.DoubleWithin, r.Camera.StartDelay, r.Camera.StopDelay = 5500*ms, 0, 0 }},
		{"1000 presses, glances, off by a long press", 1000, 600 * s, 0, func(r *sim.Rig) {
			r.Camera.LongAction, r.Camera.WakePress, r.Camera.Boot = sim.ActionPowerOff, 200*ms, s
		}},
		{"5000 presses, glances", 5000, 1200 * s, 0, func(*sim.Rig) {}},
		{"5000 presses, glances, toggles on the press", 5000, 1200 * s, 0, func(r *sim.Rig) { r.Camera.ToggleOn = sim.ToggleOnPress }},
		{"1000 presses, 500 clips", 1000, 0, 500, func(*sim.Rig) {}},
		{"1000 presses, 500 clips, toggles on the press", 1000, 0, 500, func(r *sim.Rig) { r.Camera.ToggleOn = sim.ToggleOnPress }},
	} {
		b.Run(tt.name, func(b *testing.B) {
			replay := longFlight(tt.presses, tt.change)
			var seen Observations
			if tt.glances > 0 {
				seen.Seen = glancesOf(replay, tt.glances)
			}
			if tt.clips > 0 {
				seen.Clips, seen.ClipError = cardOf(replay, tt.clips), s
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Resolve(replay, seen); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestTooManyPressesAreRefused: what would take long is refused at once, and says
// what would be accepted. Where the thresholds are known, any number is.
func TestTooManyPressesAreRefused(t *testing.T) {
	replay := flightOf(maxPresses+1, func(int) sim.Micros { return 300 * ms })
	replay.Rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	replay.Rig.Doubt = sim.DefaultRig().Doubt
	replay.Presses = make([]sim.Press, maxPresses+1)
	_, err := Resolve(replay, Observations{})
	require.EqualError(t, err, "found 5001 presses with min_press 60ms to 110ms and long_press 1.5s, want at most 5000 where a threshold is a range: give the thresholds, or a part of the log")
	_, err = Resolve(replay, Observations{Clips: make([]Clip, 1000)})
	require.Error(t, err)

	replay = longFlight(1000)
	_, err = Resolve(replay, Observations{Clips: make([]Clip, 501), ClipError: s})
	require.EqualError(t, err, "found 1000 presses and 501 clips, too many to match with takes: want at most 500 clips with so many presses, those of this flight only")
}
