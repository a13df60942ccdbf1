package tell

import (
	"cmp"
	"fmt"
	"slices"

	"flicktally/sim"
)

// Findings about presses and flicks: what they did instead of toggling.

// eachPress makes a rule's search from a function for one press. Presses with
// this finding between two changes of the camera's state are one finding.
func eachPress(about func(*sim.Replay, sim.Press) (Finding, bool)) func(*sim.Replay, Limits) []Finding {
	return func(r *sim.Replay, _ Limits) []Finding {
		var found []Finding
		last := sim.Micros(0) // when the press of the last finding went down
		for _, p := range r.Presses {
			f, ok := about(r, p)
			if !ok {
				continue
			}
			f.At, f.Press = started(r, p), p.N
			found = addTo(found, f, changedWithin(r, last, p.Down))
			last = p.Down
		}
		return withRepeats(found)
	}
}

// eachCosting is eachPress for presses with a verdict that always costs
// footage.
func eachCosting(verdict sim.Verdict, text func(*sim.Replay, sim.Press) string) func(*sim.Replay, Limits) []Finding {
	return eachPress(func(r *sim.Replay, p sim.Press) (Finding, bool) {
		if p.Verdict != verdict {
			return Finding{}, false
		}
		return Finding{Text: text(r, p), Costs: true}, true
	})
}

// addTo adds a finding to those of its kind or, if nothing has changed since the
// last one, to the count of that.
func addTo(found []Finding, f Finding, changed bool) []Finding {
	f.To, f.Count = f.At, 1
	if n := len(found); n > 0 && found[n-1].Costs == f.Costs && !changed {
		found[n-1].To = f.At
		found[n-1].Count++
		return found
	}
	return append(found, f)
}

// changedWithin reports whether the camera's state changed in [from, to).
func changedWithin(r *sim.Replay, from, to sim.Micros) bool {
	next, _ := slices.BinarySearchFunc(r.States, from+1, func(c sim.StateChange, at sim.Micros) int { return cmp.Compare(c.At, at) })
	return next < len(r.States) && r.States[next].At <= to
}

// withRepeats adds the number of repeats to the text of findings.
func withRepeats(found []Finding) []Finding {
	for i := range found {
		if f := &found[i]; f.Count > 1 {
			f.Text += fmt.Sprintf("; the same for %d more, the last at %s", f.Count-1, f.To.Clock())
		}
	}
	return found
}

// started returns when a press started: when the hand moved the switch, if a
// flick made it; the line follows later.
func started(r *sim.Replay, p sim.Press) sim.Micros {
	if p.Flick > 0 {
		return r.Flicks[p.Flick-1].Down
	}
	return p.Down
}

// subject names a press by its flick, or by its own number if no flick made it,
// with its time.
func subject(r *sim.Replay, p sim.Press) string {
	if p.Flick > 0 {
		return fmt.Sprintf("flick %d at %s", p.Flick, started(r, p).Clock())
	}
	return fmt.Sprintf("press %d at %s", p.N, p.Down.Clock())
}

// heldFor says that a press was or still is held for a time.
func heldFor(p sim.Press, length string) string {
	if p.Open() {
		return fmt.Sprintf("was still down after %s, when the log ended", length)
	}
	return "was held " + length
}

// heldIn is heldFor for a press whose samples may be overruled (M11).
func heldIn(r *sim.Replay, p sim.Press, length string) string {
	if r.Window.Overruled(p) {
		return "was held " + length + " by the samples but, judging by what was seen"
	}
	return heldFor(p, length)
}

// missed says what a press that did nothing failed to do.
func missed(p sim.Press) string {
	if p.StateAt == sim.StateRecording || p.StateAt == sim.StateStarting {
		return "the take continued"
	}
	return "no take began"
}

// result says what the camera did instead of toggling.
func result(a sim.Action) string {
	return map[sim.Action]string{
		sim.ActionPowerOff: "the camera switched off",
		sim.ActionNone:     "nothing happened",
		sim.ActionUnknown:  "what the camera does after that is not known",
	}[a]
}

var longPress = Rule{
	Code:    "long-press",
	Meaning: "A press was held for long_press or longer, so it did not toggle recording, or the long action followed.",
	Remedy:  "release sooner: practise, or let a one-shot time every press",
	find: eachPress(func(r *sim.Replay, p sim.Press) (Finding, bool) {
		if p.Verdict != sim.VerdictLong || toggledForGood(r, p) {
			return Finding{}, false
		}
		camera := r.Rig.Camera
		starting := p.StateAt == sim.StateStandby && camera.ToggleOn == sim.ToggleOnRelease
		instead := ", instead of ending the take"
		switch {
		case camera.LongAction == sim.ActionUnknown:
			instead = ""
		case starting:
			instead = ", instead of starting a take"
		case camera.ToggleOn == sim.ToggleOnPress:
			instead = ", after the toggle had acted"
		}
		held, limit := distinct(p.Span(r.End).Length(), r.Window.LongPress)
		with := "with long_press at"
		if r.Window.Overruled(p) {
			with = "at least long_press,"
		}
		return Finding{
			Text: fmt.Sprintf("%s %s, %s %s: %s%s", subject(r, p), heldIn(r, p, held),
				with, atThreshold(camera.LongPress, limit), result(camera.LongAction), instead),
			Costs: starting || camera.LongAction != sim.ActionNone,
		}, true
	}),
}

// toggledForGood reports whether the flick of a press toggled, whatever the
// press's verdict is called.
func toggledForGood(r *sim.Replay, p sim.Press) bool {
	held := p.Span(r.End).Length()
	if !p.Open() {
		held = r.Window.HoldAs(p)
	}
	return r.Rig.Camera.ZonesAt(r.Window).Of(held).Effect == sim.EffectToggles
}

// atThreshold writes a threshold, as a range if the rig gives one.
func atThreshold(threshold sim.Interval, likeliest string) string {
	if threshold.Exact() {
		return likeliest
	}
	return fmt.Sprintf("%s, most likely %s", threshold.Rounded(), likeliest)
}

var shortPress = Rule{
	Code:    "short-press",
	Meaning: "A press was too short for the camera to respond.",
	Remedy:  "hold longer: practise, or let a one-shot time every press",
	find: eachCosting(sim.VerdictShort, func(r *sim.Replay, p sim.Press) string {
		held, limit := distinct(p.Span(r.End).Length(), r.Window.MinPress)
		needs := fmt.Sprintf(" of the %s needed", limit)
		if r.Window.Overruled(p) {
			needs = fmt.Sprintf(", less than the %s needed", limit)
		}
		if least := r.Rig.Camera.MinPress; !least.Exact() {
			held = p.Span(r.End).Length().Rounded()
			needs = fmt.Sprintf(", most likely less than the camera needs (%s)", least.Rounded())
		}
		return fmt.Sprintf("%s %s%s: %s", subject(r, p), heldIn(r, p, held), needs, missed(p))
	}),
}

var doublePress = Rule{
	Code:    "double-press",
	Meaning: "Two presses followed each other so quickly that the camera took them as a pair, which does not toggle.",
	Remedy:  "leave more time between two flicks than double_within in [camera]",
	find: eachPress(func(r *sim.Replay, p sim.Press) (Finding, bool) {
		if p.Verdict != sim.VerdictDouble || p.Acts == sim.Never {
			return Finding{}, false // reported with the second of the two
		}
		first := r.Presses[p.N-2]
		return Finding{
			Text: fmt.Sprintf("%s came %s after the previous release, and the camera takes two presses within %s as a pair: %s, and neither toggled",
				subject(r, p), (p.Down - first.Up).Rounded(), r.Rig.Camera.DoubleWithin.Rounded(), result(r.Rig.Camera.DoubleAction)),
			Costs: true,
		}, true
	}),
}

var busyPress = Rule{
	Code:    "busy-press",
	Meaning: "A press came while the camera was booting, starting or stopping, so it did nothing.",
	Remedy:  "wait until the camera is ready, then flick again",
	find: eachCosting(sim.VerdictBusy, func(r *sim.Replay, p sim.Press) string {
		return fmt.Sprintf("%s came while the camera was %s: %s", subject(r, p), Condition(p.StateAt), missed(p))
	}),
}

var offPress = Rule{
	Code:    "off-press",
	Meaning: "A press came while the camera was off, and did not wake it.",
	Remedy:  "fix what switched the camera off; land, and switch it on by hand",
	find: eachCosting(sim.VerdictOff, func(r *sim.Replay, p sim.Press) string {
		wake := ""
		if r.Rig.Camera.WakePress != sim.Never {
			wake = "; a hold of " + r.Rig.Camera.WakePress.Rounded() + " wakes it"
		}
		return fmt.Sprintf("%s found the camera off, %s%s", subject(r, p), offSince(r, p.Down), wake)
	}),
}

// offSince says how long the camera has been off, and what switched it off.
func offSince(r *sim.Replay, at sim.Micros) string {
	var off sim.StateChange
	for _, change := range r.States {
		if change.At <= at && change.State == sim.StateOff {
			off = change
		}
	}
	for _, p := range r.Presses {
		if p.Acts == off.At && p.Verdict == sim.VerdictDouble {
			return fmt.Sprintf("since the pair of presses at %s", started(r, p).Clock())
		}
		if p.Verdict == sim.VerdictLong && p.Acts == off.At {
			name := fmt.Sprintf("press %d", p.N)
			if p.Flick > 0 {
				name = fmt.Sprintf("flick %d", p.Flick)
			}
			return fmt.Sprintf("since %s (held %s)", name, p.Span(r.End).Length().Rounded())
		}
	}
	switch {
	case off.At == 0:
		return "from the start"
	case r.Rig.Camera.AutoOff != sim.Never:
		return fmt.Sprintf("since %s, after %s in standby without a press", off.At.Clock(), r.Rig.Camera.AutoOff.Readable())
	default:
		return "since " + off.At.Clock()
	}
}

var wakePress = Rule{
	Code:    "wake-press",
	Meaning: "A press woke the camera; that press does nothing more.",
	Remedy:  "wait until the camera has booted before you flick to record",
	find: eachPress(func(r *sim.Replay, p sim.Press) (Finding, bool) {
		if p.Verdict != sim.VerdictWake {
			return Finding{}, false
		}
		return Finding{Text: fmt.Sprintf("%s woke the camera: it takes %s to boot, and is then in %s",
			subject(r, p), r.Rig.Camera.Boot.Readable(), r.Rig.Camera.WakeInto)}, true
	}),
}

var unknownPress = Rule{
	Code:    "unknown-state",
	Meaning: "A press came while the camera's state was not known, so the tally cannot follow it.",
	Remedy:  "say what the camera's light showed (--seen 0:12=recording), or start from a known state",
	find: eachCosting(sim.VerdictUnknown, func(r *sim.Replay, p sim.Press) string {
		return subject(r, p) + " came while the camera's state was not known: it has no verdict"
	}),
}

var doubtfulPress = Rule{
	Code:    "doubtful-press",
	Meaning: "What a press did depends on something that is not known exactly: a threshold, a state, or a moment between two samples.",
	Remedy:  "measure the press window at the bench (flicktally calibrate), log the channel more often, or give what the camera showed (--seen, --clips)",
	find: eachPress(func(r *sim.Replay, p sim.Press) (Finding, bool) {
		if !p.Doubtful {
			return Finding{}, false
		}
		likely := string(p.Verdict)
		switch {
		case p.Verdict == sim.VerdictLong && toggledForGood(r, p):
			likely = "it toggled, long or not" // the chance is that of the verdict alone
		case p.Chance > 0:
			likely = fmt.Sprintf("%s with a chance of %s", p.Verdict, Chance(p.Chance))
		}
		return Finding{Text: fmt.Sprintf("%s is doubtful: %s, but another verdict is possible, as the camera and the hold are not known exactly",
			subject(r, p), likely)}, true
	}),
}

var ignoredPress = Rule{
	Code:    "ignored-press",
	Meaning: "Judging by what was seen, the camera ignored a press that it should have accepted.",
	Remedy:  "check the wire and its plugs; if it happens more often, raise ignored under [doubt]",
	find: eachCosting(sim.VerdictIgnored, func(r *sim.Replay, p sim.Press) string {
		return fmt.Sprintf("%s was ignored, judging by what was seen: %s", subject(r, p), missed(p))
	}),
}

var unsureHold = Rule{
	Code:    "unsure-hold",
	Meaning: "The samples are too far apart to time a press exactly, so its verdict could be another one.",
	Remedy:  "log the channel more often",
	find: eachPress(func(r *sim.Replay, p sim.Press) (Finding, bool) {
		if p.Open() || !p.StateAt.Accepts() || p.Chance > 0 {
			return Finding{}, false // where there is a chance, it says so
		}
		zones, bounds := r.Rig.Camera.ZonesAt(r.Window), p.HoldBounds()
		shortest, longest := zones.Of(bounds.Low), zones.Of(bounds.High)
		if shortest == longest {
			return Finding{}, false
		}
		return Finding{Text: fmt.Sprintf("%s: the samples allow any hold of %s: %s, or %s",
			subject(r, p), holdsOf(bounds), effect(shortest.Effect), effect(longest.Effect))}, true
	}),
}

// effect says what a hold does to the camera.
func effect(e sim.Effect) string {
	return map[sim.Effect]string{
		sim.EffectNothing:         "it does nothing",
		sim.EffectToggles:         "it toggles",
		sim.EffectLong:            "it is a long press",
		sim.EffectTogglesThenLong: "it toggles, and the long action follows",
	}[e]
}

var unseenFlick = Rule{
	Code:    "unseen-flick",
	Meaning: "A flick never became a press of its own: settle filtered it out, it fell between two refreshes of the line or within a pulse of the one-shot, or it merged with the press before it.",
	Remedy:  "hold longer than settle and the time between two refreshes, and leave more time between two flicks",
	find: func(r *sim.Replay, _ Limits) []Finding {
		var found []Finding
		last := sim.Micros(0)
		for _, f := range r.Flicks {
			if f.Outcome != sim.FlickUnseen {
				continue
			}
			why, remedy := unseenBy(r, f)
			found = addTo(found, Finding{
				At: f.Down, Costs: true, Remedy: remedy,
				Text: fmt.Sprintf("flick %d at %s%s never reached the camera as a press: %s", f.N, f.Down.Clock(), heldBy(f), why),
			}, changedWithin(r, last, f.Down))
			last = f.Down
		}
		return withRepeats(found)
	},
}

func heldBy(f sim.Flick) string {
	if f.Up == sim.Never {
		return ""
	}
	return ", held " + f.Hold().Rounded() + ","
}

// unseenBy says which stage of the chain removed a flick, and what to do.
func unseenBy(r *sim.Replay, f sim.Flick) (why, remedy string) {
	rig := r.Rig
	switch {
	case f.Hold() <= rig.Switch.Settle:
		return "it was not longer than settle, " + rig.Switch.Settle.Rounded(), "hold longer than settle"
	case rig.OneShot.Trigger != sim.TriggerOff && r.Lanes.Pulse.At(f.Down):
		return "a pulse of the one-shot was running", "leave more time between two flicks than a pulse lasts"
	case f.Hold() < rig.Line.Update:
		return "it fell between two refreshes of the line, " + rig.Line.Update.Rounded() + " apart", "hold longer than the time between two refreshes"
	case rig.OneShot.Trigger != sim.TriggerOff:
		return "the one-shot was at rest after a pulse", "leave more time between two flicks than a pulse and the rest after it"
	default:
		return "it merged with the press before it", "leave more time between two flicks"
	}
}
