package sim

import "fmt"

// Findings about single presses: what they did instead of toggling.

// eachPress makes a rule's search from what it says of one press.
func eachPress(tell func(*Replay, Press) (Finding, bool)) func(*Replay, Limits) []Finding {
	return func(r *Replay, _ Limits) []Finding {
		var found []Finding
		for _, p := range r.Presses {
			if f, ok := tell(r, p); ok {
				f.At, f.Press = p.Down, p.N
				found = append(found, f)
			}
		}
		return found
	}
}

// heldFor says that a press was held for a time, or that it still is.
func heldFor(p Press, length string) string {
	if p.Open() {
		return fmt.Sprintf("was still down after %s, when the log ended", length)
	}
	return "was held " + length
}

var longPress = Rule{
	Code:    "long-press",
	Meaning: "A press was held to the long-press threshold or past it, so it did not toggle recording.",
	Remedy:  "release sooner; practise the flick, or let a one-shot give every press the same width",
	find: eachPress(func(r *Replay, p Press) (Finding, bool) {
		if p.Verdict != VerdictLong {
			return Finding{}, false
		}
		effect := map[LongAction]string{
			LongPowerOff: "the camera switched off",
			LongNone:     "nothing happened",
			LongUnknown:  "what the camera does from here on is not known",
		}[r.Rig.Camera.LongAction]
		starting := p.StateAt == StateStandby && r.Rig.Camera.ToggleOn == ToggleOnRelease
		instead := "instead of ending the take with a toggle"
		switch {
		case starting:
			instead = "instead of starting a take"
		case r.Rig.Camera.ToggleOn == ToggleOnPress:
			instead = "after the toggle had acted"
		}
		held, limit := toldApart(p.Span(r.End).Length(), r.Window.LongPress)
		return Finding{
			Text: fmt.Sprintf("press %d at %s %s, with the long-press threshold at %s: %s, %s",
				p.N, p.Down.Clock(), heldFor(p, held), limit, effect, instead),
			Lost: starting,
		}, true
	}),
}

var shortPress = Rule{
	Code:    "short-press",
	Meaning: "A press was too brief for the camera to take notice.",
	Remedy:  "hold a little longer; practise the flick, or let a one-shot give every press the same width",
	find: eachPress(func(r *Replay, p Press) (Finding, bool) {
		if p.Verdict != VerdictShort {
			return Finding{}, false
		}
		missed := "the take goes on"
		if p.StateAt == StateStandby {
			missed = "no take began"
		}
		held, limit := toldApart(p.Span(r.End).Length(), r.Window.MinPress)
		return Finding{
			Text: fmt.Sprintf("press %d at %s %s, less than the %s that the camera needs: %s",
				p.N, p.Down.Clock(), heldFor(p, held), limit, missed),
			Lost: p.StateAt == StateStandby,
		}, true
	}),
}

var busyPress = Rule{
	Code:    "busy-press",
	Meaning: "A press went down while the camera was booting, starting or stopping, so it did nothing.",
	Remedy:  "leave the camera time between two flicks; flick again once it is ready",
	find: eachPress(func(r *Replay, p Press) (Finding, bool) {
		if p.Verdict != VerdictBusy {
			return Finding{}, false
		}
		missed := "no take began"
		if p.StateAt == StateStarting {
			missed = "the take goes on"
		}
		return Finding{
			Text: fmt.Sprintf("press %d at %s came while the camera was %s, and did nothing: %s",
				p.N, p.Down.Clock(), p.StateAt, missed),
			Lost: p.StateAt != StateStarting,
		}, true
	}),
}

var offPress = Rule{
	Code:    "off-press",
	Meaning: "A press came while the camera was off, and did not wake it.",
	Remedy:  "find out what switched the camera off before it; land and switch it on by hand",
	find: eachPress(func(r *Replay, p Press) (Finding, bool) {
		if p.Verdict != VerdictOff {
			return Finding{}, false
		}
		wake := "no press wakes it"
		if r.Rig.Camera.WakePress != Never {
			wake = "it takes " + r.Rig.Camera.WakePress.Rounded() + " to wake it"
		}
		return Finding{
			Text: fmt.Sprintf("press %d at %s came while the camera was off, and %s: no take began", p.N, p.Down.Clock(), wake),
			Lost: true,
		}, true
	}),
}

var wakePress = Rule{
	Code:    "wake-press",
	Meaning: "A press woke the camera; that press does nothing more.",
	Remedy:  "wait until the camera has booted before the flick that is to record",
	find: eachPress(func(r *Replay, p Press) (Finding, bool) {
		if p.Verdict != VerdictWake {
			return Finding{}, false
		}
		return Finding{Text: fmt.Sprintf("press %d at %s woke the camera: it takes %s to boot, and is then in %s",
			p.N, p.Down.Clock(), r.Rig.Camera.Boot.Rounded(), r.Rig.Camera.WakeInto)}, true
	}),
}

var unknownPress = Rule{
	Code:    "unknown-state",
	Meaning: "Presses were made while the camera's state was not known, so the tally cannot follow them.",
	Remedy:  "say what the camera's light showed (--seen 0:12=recording), or start from a known state",
	find: func(r *Replay, _ Limits) []Finding {
		count, first := 0, Press{}
		for _, p := range r.Presses {
			if p.Verdict == VerdictUnknown {
				if count == 0 {
					first = p
				}
				count++
			}
		}
		if count == 0 {
			return nil
		}
		return []Finding{{
			At: first.Down, Press: first.N,
			Text: fmt.Sprintf("from press %d at %s on, the camera's state is not known: %s no verdict",
				first.N, first.Down.Clock(), Counted(count, "press has", "presses have")),
		}}
	},
}

var doubtfulPress = Rule{
	Code:    "doubtful-press",
	Meaning: "What a press did depends on a threshold or a state that is not known exactly.",
	Remedy:  "measure the press window at the bench (flicktally calibrate), or tell what the camera showed (--seen, --clips)",
	find: eachPress(func(_ *Replay, p Press) (Finding, bool) {
		if !p.Doubtful {
			return Finding{}, false
		}
		return Finding{Text: fmt.Sprintf("press %d at %s is doubtful: most likely %s, but what is not known of the camera allows another verdict",
			p.N, p.Down.Clock(), p.Verdict)}, true
	}),
}

var unsureHold = Rule{
	Code:    "unsure-hold",
	Meaning: "The samples are too sparse to time a press: within what they allow, its verdict could be another one.",
	Remedy:  "log the channel more often",
	find: eachPress(func(r *Replay, p Press) (Finding, bool) {
		if p.Open() || !p.StateAt.Accepts() {
			return Finding{}, false
		}
		bounds := p.HoldBounds()
		if r.Window.judge(bounds.Low) == r.Window.judge(bounds.High) {
			return Finding{}, false
		}
		least, most := toldApart(bounds.Low, bounds.High)
		return Finding{Text: fmt.Sprintf("press %d at %s: the samples allow any hold from %s to %s, so it may have been %s or %s",
			p.N, p.Down.Clock(), least, most,
			r.Window.judge(bounds.Low), r.Window.judge(bounds.High))}, true
	}),
}
