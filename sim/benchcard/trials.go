package benchcard

import (
	"fmt"
	"math"

	"flicktally/sim"
)

// lowTimes and highTimes are the holds to try around a threshold, as multiples
// of the rig file's value. Most are near; a few are far away, in case the
// threshold is elsewhere. There are few long presses, as each may switch the
// camera off.
var (
	lowTimes  = []float64{0.5, 2, 0.8, 1.2, 0.9, 1.1, 1, 0.7, 1.4}
	highTimes = []float64{0.5, 1.5, 0.8, 1.2, 1}
)

func (s setup) holdTrials() Part {
	camera := s.rig.Camera
	var trials []Trial
	for _, t := range []struct {
		of    string
		known sim.Interval
		times []float64
	}{{"min_press", camera.MinPress, lowTimes}, {"long_press", camera.LongPress, highTimes}} {
		for _, hold := range holdsAbout(t.known, t.times) {
			trials = append(trials, Trial{len(trials) + 1, t.of, hold})
		}
	}
	after := map[sim.Action]string{
		sim.ActionPowerOff: "After a long press the camera may be off: switch it on by hand, and wait until it is ready.",
		sim.ActionNone:     "A long press seems to do nothing, like a short one: only its length tells them apart.",
		sim.ActionUnknown:  "What a long press does is not known: write it down.",
	}[camera.LongAction]
	return Part{
		Title: "Hold trials",
		Steps: []Step{
			{Text: "Each press has a known length: a pulse that the controller makes, or a flick by hand whose length is read from the log."},
			{Text: fmt.Sprintf("Before each press the camera is in standby and has been left alone for %s or longer.", atLeast(camera.StartDelay+camera.StopDelay+sim.Second))},
			{Text: after},
			{Text: "Each press is written down below: its length if it differs, and what the camera did."},
			{Text: `The table is copied into a file, one trial per line, under the header hold,outcome: "80ms,toggled". Outcomes are nothing, toggled and long. flicktally calibrate reads it and names the next hold to try.`, Note: "file"},
		},
		Trials: trials,
	}
}

// holdsAbout returns holds around what is known of a threshold: multiples of
// its lower end below it, multiples of its upper end above it, and some in
// between if the ends differ.
func holdsAbout(known sim.Interval, times []float64) []sim.Micros {
	var holds []sim.Micros
	for _, times := range times {
		base := known.Low
		switch {
		case times > 1:
			base = known.High
		case times == 1:
			base = known.Middle()
		}
		if base > 0 {
			holds = append(holds, handy(float64(base)*times))
		}
	}
	if !known.Exact() {
		holds = append(holds, known.Low, known.High)
	}
	return holds
}

// handy rounds a hold to two significant digits, or to milliseconds if that is
// coarser.
func handy(micros float64) sim.Micros {
	unit := max(1000, math.Pow(10, math.Floor(math.Log10(micros))-1))
	return sim.Micros(math.Round(micros/unit) * unit)
}
