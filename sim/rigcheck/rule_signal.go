package rigcheck

import "flicktally/sim"

// Findings about a lost signal.

var flickeringSignal = Rule{
	Code:    "flickering-signal",
	Meaning: "The signal counts as lost between two frames of a link that works.",
	Why:     "the position then behaves all the time as if the signal were lost",
	Remedy:  "make the signal count as lost only after several frames are missing",
	blocks:  true,
	find: func(p probe) *Finding {
		r := p.play(phase{}, p.press)
		if len(r.Lost) == 0 {
			return nil
		}
		return fault("frames come every %s, and after %s without one the signal counts as lost: %d times in %s",
			p.rig.Link.Frame.Rounded(), p.rig.SignalLoss.StaleAfter.Rounded(), len(r.Lost), r.End.Rounded())
	},
	vary: func(s search) []Change { return s.lengthen(staleAfter, sim.MaxDuration) },
}

var lossPresses = Rule{
	Code:    "loss-presses",
	Meaning: "A lost signal presses the button of a switch that is at rest.",
	Why:     "the signal also counts as lost before the first frame, at every power-on, and in flight a short loss is enough",
	Remedy:  "make a lost signal release the button, here and in the failsafe of the controller and the receiver",
	find: func(p probe) *Finding {
		lasts := p.rig.SignalLoss.StaleAfter + p.settled()
		r := p.losing(lasts, p.rest)
		if len(r.Lanes.Position.Edges) == 0 {
			return nil
		}
		return fault("%s after the last sample the switch counts as pressed; in a loss of %s: %s",
			p.rig.SignalLoss.StaleAfter.Rounded(), lasts.Rounded(), effect(r.Record, p.rig.Camera))
	},
	vary: search.releaseOnLoss,
}

var lossHoldsPress = Rule{
	Code:    "loss-holds-press",
	Meaning: "If the signal is lost during a flick, the press continues until it is a long one.",
	Why:     "the release does not arrive, and the flick has the effect of a long press",
	Remedy:  "make a lost signal release the button, well before the long press",
	find: func(p probe) *Finding {
		most := p.rig.SignalLoss.StaleAfter + p.settled()
		lasts, ok := smallest(1, most, func(lasts sim.Micros) bool {
			return has(p.losing(lasts, p.rest, p.press).Record, sim.VerdictLong)
		})
		if !ok || p.rig.SignalLoss.Then == sim.LossPress {
			return nil
		}
		r := p.losing(lasts, p.rest, p.press)
		return risk("a flick during which the signal is lost for %s or longer makes a press of %s: %s",
			lasts.Rounded(), r.Presses[0].Hold().Rounded(), effect(r.Record, p.rig.Camera))
	},
	vary: func(s search) []Change {
		if s.rig.SignalLoss.Then == sim.LossRelease {
			return s.shorten(staleAfter, 1)
		}
		return append(s.releaseOnLoss(), s.oneShot()...)
	},
}

// losing feeds the chain values a microsecond apart, then nothing for a time,
// then a switch at rest.
func (p probe) losing(lasts sim.Micros, values ...sim.PulseWidth) *sim.Replay {
	chain := sim.NewChainAt(p.rig, p.window)
	at := sim.Micros(0)
	for i, v := range values {
		at = sim.Micros(i)
		chain.Feed(sim.Sample{At: at, Channel: v, Armed: sim.Absent})
	}
	back := at + lasts
	chain.Feed(sim.Sample{At: back, Channel: p.rest, Armed: sim.Absent})
	return chain.FinishAt(back + p.settled())
}

func (s search) releaseOnLoss() []Change {
	return s.try(func(r *sim.Rig) { r.SignalLoss.Then = sim.LossRelease })
}
