package rigcheck

import (
	"fmt"

	"flicktally/sim"
)

// Findings about a flick on the way to the camera.

var betweenFrames = Rule{
	Code:    "flick-between-frames",
	Meaning: "A quick flick can fall between two frames of the radio link.",
	Why:     "the receiver never sees it",
	Remedy:  "use a faster link, or hold for longer than a frame",
	find: func(p probe) *Finding {
		return p.vanishing(func(r *sim.Replay) bool { return pressed(r.Lanes.Position) }, func() string {
			return fmt.Sprintf("a flick of %s can fall between two frames %s apart", quickFlick.Rounded(), p.rig.Link.Frame.Rounded())
		})
	},
	vary: func(s search) []Change { return s.shorten(framePeriod, 0) },
}

var settledAway = Rule{
	Code:    "settle-eats-flick",
	Meaning: "A flick is over before the position has settled.",
	Why:     "the press is taken for bounce and filtered out",
	Remedy:  "set settle only as long as the switch bounces, a few ms",
	find: func(p probe) *Finding {
		return p.vanishing(func(r *sim.Replay) bool { return !pressed(r.Lanes.Position) || pressed(r.Lanes.Settled) }, func() string {
			return fmt.Sprintf("a position counts only after %s; a quick flick lasts %s, a slow one %s",
				p.rig.Switch.Settle.Rounded(), quickFlick.Rounded(), slowFlick.Rounded())
		})
	},
	vary: func(s search) []Change { return s.shorten(settleTime, 0) },
}

var betweenRefreshes = Rule{
	Code:    "flick-between-refreshes",
	Meaning: "A press can fall between two refreshes of the line.",
	Why:     "the camera never sees it",
	Remedy:  "refresh the line more often, or make the pulse longer than the time between two refreshes",
	find: func(p probe) *Finding {
		return p.vanishing(func(r *sim.Replay) bool { return !pressed(r.Lanes.Pulse) || pressed(r.Lanes.Line) }, func() string {
			what := "a flick of " + quickFlick.Rounded()
			if p.rig.OneShot.Trigger != sim.TriggerOff {
				what = "the pulse of " + p.rig.OneShot.Width.Rounded()
			}
			return fmt.Sprintf("%s can fall between two refreshes of the line %s apart", what, p.rig.Line.Update.Rounded())
		})
	},
	vary: func(s search) []Change { return append(s.shorten(refreshPeriod, 0), s.oneShot()...) },
}

// pressed reports whether a lane that rests released is pressed at some time.
func pressed(l sim.Lane) bool { return len(l.Edges) > 0 }

// vanishing finds a quick flick that does not pass a step at every phase. It is
// a fault if a slow flick does not pass either.
func (p probe) vanishing(passes func(*sim.Replay) bool, text func() string) *Finding {
	if p.everyPhase(quickFlick, passes) {
		return nil
	}
	return oneFinding(!p.everyPhase(slowFlick, passes), text())
}

var pulseTooShort = Rule{
	Code:    "pulse-too-short",
	Meaning: "The one-shot's pulse is shorter than the camera needs.",
	Why:     "no flick, however good, is certain to toggle",
	Remedy:  "make the pulse longer",
	find: func(p probe) *Finding {
		return p.pulses(sim.VerdictShort, func(seen sim.Interval) string {
			return fmt.Sprintf("a pulse of %s reaches the camera as %s, and the camera needs up to %s",
				p.rig.OneShot.Width.Rounded(), seen.Rounded(), p.window.MinPress.Rounded())
		})
	},
	vary: search.oneShot,
}

var pulseTooLong = Rule{
	Code:    "pulse-too-long",
	Meaning: "The one-shot's pulse is so long that the camera takes it for a long press.",
	Why:     "every flick has the effect of a long press",
	Remedy:  "make the pulse shorter",
	find: func(p probe) *Finding {
		return p.pulses(sim.VerdictLong, func(seen sim.Interval) string {
			return fmt.Sprintf("a pulse of %s reaches the camera as %s, and from %s on it may be a long press",
				p.rig.OneShot.Width.Rounded(), seen.Rounded(), p.window.LongPress.Rounded())
		})
	},
	vary: search.oneShot,
}

// pulses finds a pulse with a bad verdict at some phase.
func (p probe) pulses(bad sim.Verdict, text func(seen sim.Interval) string) *Finding {
	if p.rig.OneShot.Trigger == sim.TriggerOff {
		return nil
	}
	seen := sim.Interval{Low: sim.Never}
	found := false
	for _, at := range p.phases() {
		r := p.toggling(slowFlick, at)
		found = found || has(r.Record, bad) && !started(r)
		for _, press := range r.Presses {
			seen.Low, seen.High = min(seen.Low, press.Hold()), max(seen.High, press.Hold())
		}
	}
	if !found {
		return nil
	}
	return oneFinding(true, text(seen))
}

var narrowWindow = Rule{
	Code:    "narrow-window",
	Meaning: "The press window is hardly wider than the steps in which the link and the line sample a hold.",
	Why:     "what the camera sees of a hold depends on chance, so few holds are certain to toggle",
	Remedy:  "use faster frames or refreshes, or let a one-shot give every press the same width",
	find: func(p probe) *Finding {
		period := max(p.rig.Link.Frame, p.rig.Line.Update)
		if period == 0 || p.rig.OneShot.Trigger != sim.TriggerOff {
			return nil
		}
		holds := p.holds()
		if holds.Low > holds.High {
			return fault("presses from %s to below %s toggle, and no hold is certain to make one when sampled every %s",
				p.window.MinPress.Rounded(), p.window.LongPress.Rounded(), period.Rounded())
		}
		if holds.High == sim.Never || holds.High-holds.Low >= fewPeriods*period {
			return nil
		}
		return risk("only %s are certain to toggle, and the switch is sampled only every %s", HoldsText(holds), period.Rounded())
	},
	vary: func(s search) []Change {
		d := framePeriod
		if s.rig.Line.Update > s.rig.Link.Frame {
			d = refreshPeriod
		}
		return append(s.shorten(d, 0), s.oneShot()...)
	},
}

// fewPeriods is the least width, in frames or refreshes, that the certain holds
// should have.
const fewPeriods = 3

var windowOffFlick = Rule{
	Code:    "window-off-flick",
	Meaning: "The holds that are certain to toggle are not those of an ordinary flick.",
	Why:     "an ordinary flick is too short for this camera, or a long press",
	Remedy:  "let a one-shot make the press, or practise a flick of that length",
	find: func(p probe) *Finding {
		if !p.everyPhase(slowFlick, func(r *sim.Replay) bool { return len(r.Presses) > 0 }) || p.rig.OneShot.Trigger != sim.TriggerOff {
			return nil
		}
		holds := p.holds()
		if holds.Low > holds.High || holds.Low <= slowFlick && holds.High >= quickFlick {
			return nil
		}
		return risk("%s are certain to toggle; an ordinary flick lasts %s",
			HoldsText(holds), sim.Interval{Low: quickFlick, High: slowFlick}.Rounded())
	},
	vary: search.oneShot,
}
