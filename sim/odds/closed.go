package odds

import (
	"math"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Closed reports whether the chances of the case have a closed form: whether a
// flick reaches the camera as one press or none.
func (c Case) Closed() bool {
	return c.Pilot.Bounce == 0 && !c.outages()
}

// outages reports whether losing the link during a flick can move the switch by
// itself. Less than once in 10¹² frames counts as never.
func (c Case) outages() bool {
	link, loss := c.Rig.Link, c.Rig.SignalLoss
	if link.Frame == 0 || loss.Then == sim.LossHold {
		return false
	}
	const never = 1e-12
	framesLost := float64(loss.StaleAfter / link.Frame) // this many in a row lose the signal
	return math.Pow(link.Loss, framesLost) > never
}

// formula computes the chances of a case that is [Case.Closed].
type formula struct {
	c     Case
	slips widths // as the camera sees them, whatever the intended hold; nil without slips
}

func (c Case) formula() *formula {
	f := &formula{c: c}
	if slips := c.Pilot.Slips; slips.Rate > 0 {
		f.slips = c.seen(slips.widths())
	}
	return f
}

// Chances returns the chances of a flick with an intended hold. The case must
// be [Case.Closed].
func (c Case) Chances(hold sim.Micros) Chances { return c.formula().chances(hold) }

// Flight returns the chance that all of a number of flicks toggle. An uncertain
// press window is the same for all of them, so this is not a power of one
// flick's chance. The case must be [Case.Closed].
func (c Case) Flight(hold sim.Micros, flicks int) float64 { return c.formula().flight(hold, flicks) }

func (f *formula) chances(hold sim.Micros) Chances {
	w, camera := f.widths(hold), f.c.Rig.Camera
	seen, reached := w.atLeast(1, 1), w.atLeast(reachable(camera.MinPress))
	long := 0.0
	if !f.c.Rig.Camera.Zones().Endless() {
		long = w.atLeast(reachable(camera.LongPress))
	}
	chances := Chances{Toggles: reached - long, Missed: 1 - seen, Short: seen - reached, Long: long}
	for o, p := range chances {
		chances[o] = max(0, min(1, p)) // rounding errors
	}
	return chances
}

// widths returns how long the camera sees a flick with an intended hold, slips
// included.
func (f *formula) widths(hold sim.Micros) widths {
	meant := stat.Normal{Mean: float64(hold + f.c.Pilot.Shift), SD: f.c.Pilot.Spread.at(hold)}
	w := f.c.seen(normals{[]normal{{meant, 1}}, 1})
	if f.slips != nil {
		w = mixed(w, f.slips, f.c.Pilot.Slips.Rate)
	}
	return w
}

// seen follows a flick through the rig and returns how long the camera sees it.
func (c Case) seen(w widths) widths {
	rig := c.Rig
	if link := rig.Link; link.Frame > 0 {
		w = lossy(sampled(w, float64(link.Frame)), link.Loss)
	}
	w = longerThan(w, float64(rig.Switch.Settle))
	switch rig.OneShot.Trigger {
	case sim.TriggerBoth:
		w = pulse(rig.OneShot.Width, 1)
	case sim.TriggerRising:
		w = pulse(rig.OneShot.Width, w.atLeast(1, 1))
	}
	if rig.Line.Update > 0 {
		w = sampled(w, float64(rig.Line.Update))
	}
	return w
}

func (f *formula) flight(hold sim.Micros, flicks int) float64 {
	w, camera := f.widths(hold), f.c.Rig.Camera
	tooLong := []level{{0, 1}}
	if !f.c.Rig.Camera.Zones().Endless() {
		tooLong = levels(w, camera.LongPress)
	}
	total := 0.0
	for _, reached := range levels(w, camera.MinPress) {
		for _, long := range tooLong {
			total += reached.share * long.share * math.Pow(max(0, reached.chance-long.chance), float64(flicks))
		}
	}
	return min(1, total)
}
