package odds

import "flicktally/sim"

// path takes a flick through the rig in a few operations. It reproduces what
// the [sim.Chain] does with a switch that is pressed once and released once
// while the signal is not lost; the tests compare it with the chain, flick by
// flick.
type path struct {
	c        Case
	mean, sd float64 // of the hold
	endless  bool    // no hold is too long
}

func newPath(c Case, hold sim.Micros) *path {
	return &path{c, float64(hold + c.Pilot.Shift), c.Pilot.Spread.at(hold), c.Rig.Camera.Zones().Endless()}
}

// flick draws a flick and returns its outcome.
func (p *path) flick(l *luck, w sim.Window) Outcome {
	return p.judge(p.seen(l.hold(&p.c.Pilot, p.mean, p.sd), l), w)
}

// seen returns how long the camera sees a hold of the switch; 0 or less = not
// at all.
func (p *path) seen(width sim.Micros, l *luck) sim.Micros {
	rig := &p.c.Rig
	if frame := rig.Link.Frame; frame > 0 {
		width = sampledAt(width, frame, below(frame, l.frames))
		width -= run(rig.Link.Loss, l.losses) * frame // the start is late
		late := run(rig.Link.Loss, l.losses) * frame
		if width > 0 {
			width += late
		}
	}
	if width <= rig.Switch.Settle {
		width = 0
	}
	switch {
	case rig.OneShot.Trigger == sim.TriggerBoth, rig.OneShot.Trigger == sim.TriggerRising && width > 0:
		width = rig.OneShot.Width
	}
	if update := rig.Line.Update; update > 0 {
		width = sampledAt(width, update, below(update, l.refreshes))
	}
	return width
}

// sampledAt returns how long a press appears, in whole periods, when it is
// sampled every period. It starts since + 1 µs after a sample, at most a
// period.
func sampledAt(width, period, since sim.Micros) sim.Micros {
	return (max(0, width) + since) / period * period
}

// judge returns the outcome of a press (M7).
func (p *path) judge(width sim.Micros, w sim.Window) Outcome {
	switch {
	case width <= 0:
		return Missed
	case width < w.MinPress:
		return Short
	case width < w.LongPress || p.endless:
		return Toggles
	default:
		return Long
	}
}
