package odds

import (
	"math"

	"flicktally/sim"
)

// Closed reports whether the chances of the case have a closed form: whether a
// flick reaches the camera as one press or none.
func (c Case) Closed() bool {
	return c.Pilot.Bounce == 0 && !c.outages()
}

// outages reports whether the link can be lost during a flick in a way that
// moves the switch by itself. Rarer than once in 10¹² frames is never.
func (c Case) outages() bool {
	link, loss := c.Rig.Link, c.Rig.SignalLoss
	if link.Frame == 0 || loss.Then == sim.LossHold {
		return false
	}
	const never = 1e-12
	framesLost := float64(loss.StaleAfter / link.Frame) // that many in a row lose the signal
	return math.Pow(link.Loss, framesLost) > never
}

// Chances returns the chances of a flick that is meant to be held so long. The
// case must be [Case.Closed].
func (c Case) Chances(hold sim.Micros) Chances {
	w := c.seenByCamera(hold)
	camera := c.Rig.Camera
	seen, reached := w.atLeast(1, 1), c.reaches(w, camera.MinPress)
	long := 0.0
	if !c.longHarmless() {
		long = c.reaches(w, camera.LongPress)
	}
	chances := Chances{Toggles: reached - long, Missed: 1 - seen, Short: seen - reached, Long: long}
	for o, p := range chances {
		chances[o] = max(0, min(1, p)) // rounding errors
	}
	return chances
}

// reaches returns the chance that a press reaches a threshold, wherever it lies.
func (c Case) reaches(w widths, threshold sim.Interval) float64 {
	return w.atLeast(max(1, float64(threshold.Low)), max(1, float64(threshold.High)))
}

// seenByCamera follows a flick through the rig to how long the camera sees it.
func (c Case) seenByCamera(hold sim.Micros) widths {
	rig := c.Rig
	var w widths
	switch rig.OneShot.Trigger {
	case sim.TriggerBoth:
		w = pulse(rig.OneShot.Width, 1)
	case sim.TriggerRising:
		w = pulse(rig.OneShot.Width, c.settled(hold).atLeast(1, 1))
	default:
		w = c.settled(hold)
	}
	if rig.Line.Update > 0 {
		w = sampled(w, float64(rig.Line.Update))
	}
	return w
}

// settled follows a flick up to the one-shot.
func (c Case) settled(hold sim.Micros) widths {
	meant := float64(hold + c.Pilot.Shift)
	var w widths = normal{mean: meant, sd: c.Pilot.Spread.at(hold), cut: 1}
	if link := c.Rig.Link; link.Frame > 0 {
		w = lossy(sampled(w, float64(link.Frame)), link.Loss)
	}
	return longerThan(w, float64(c.Rig.Switch.Settle))
}

// Flight returns the chance that all of so many flicks toggle. Where the press
// window is uncertain it is the same for all of them, so this is not the power
// of one flick's chance. The case must be [Case.Closed].
func (c Case) Flight(hold sim.Micros, flicks int) float64 {
	w := c.seenByCamera(hold)
	camera := c.Rig.Camera
	tooLong := []level{{0, 1}}
	if !c.longHarmless() {
		tooLong = w.levels(camera.LongPress)
	}
	camera.MinPress.Low = max(1, camera.MinPress.Low)
	camera.MinPress.High = max(1, camera.MinPress.High)
	total := 0.0
	for _, reached := range w.levels(camera.MinPress) {
		for _, long := range tooLong {
			total += reached.share * long.share * math.Pow(max(0, reached.chance-long.chance), float64(flicks))
		}
	}
	return min(1, total)
}
