package liveview

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/live"
	"flicktally/sim/tell"
	"flicktally/trainer/term"
)

// stateWord returns the state of the camera, or what the hand must do at once, in a
// word or two.
func stateWord(v *live.View) (string, term.Role) {
	switch v.Phase {
	case live.LetGo:
		return "let go", term.Problem
	case live.MayLong:
		return "let go, late", term.Problem
	case live.IsLong:
		return "too long", term.Problem
	}
	switch {
	case v.Segment == 0:
		return string(v.Input), term.Dim
	case v.State == sim.StateRecording:
		return "recording", term.Recording
	default:
		return string(v.State), term.Strong
	}
}

// inputText describes the state of the stream.
func inputText(v *live.View) string {
	switch v.Input {
	case live.Waiting:
		return "nothing received yet"
	case live.Lost:
		return "SIGNAL LOST for " + sinceText(v.LostFor)
	case live.Ended:
		return "the input ended at " + lanes.ClockTo(v.At, 0)
	default:
		text := "live, " + lanes.ClockTo(v.At, 0)
		if v.Segment > 1 {
			text += fmt.Sprintf(" of segment %d", v.Segment)
		}
		return text
	}
}

// chanceTexts says how certain the state is, in several lengths.
func chanceTexts(v *live.View) []string {
	switch {
	case len(v.Doubts) > 0 && v.State != sim.StateUnknown:
		return []string{"doubtful: the tally does not fit what was seen", "doubtful: it does not fit what was seen"}
	case v.Open:
		chance := tell.Chance(v.Recording)
		return []string{"it records with a chance of " + chance, "records: " + chance}
	case v.State == sim.StateUnknown && v.Segment > 0:
		return []string{"the state of the camera is unknown"}
	case v.Segment > 0:
		return []string{"certain, if the rig is right"}
	default:
		return []string{""}
	}
}

// pressTexts says what a press would do, or what the current one does, in several
// lengths.
func pressTexts(v *live.View) []string {
	switch {
	case v.Segment == 0:
		return []string{""}
	case v.Phase == live.Ignored:
		return []string{fmt.Sprintf("this flick does nothing: the camera is %s", tell.Condition(v.InHand.StateAt)), "this flick does nothing"}
	case v.SafeAt == sim.Never:
		return []string{fmt.Sprintf("no flick counts now: the camera is %s", tell.Condition(v.State)), "no flick counts now"}
	case v.SafeAt > v.At:
		in := (v.SafeAt - v.At).Rounded()
		return []string{fmt.Sprintf("the next flick counts in %s: the camera may be busy until then", in), "next flick counts in " + in}
	default:
		return []string{"the next flick counts"}
	}
}

// lastTexts describes the last flick, in several lengths.
func lastTexts(v *live.View) []string {
	if f := v.LastUnseen(); f.N > 0 {
		ago := sinceText(v.At - f.Down)
		return []string{ago + " ago, " + UnseenText(f), ago + " ago: " + lanes.Unseen.Name()}
	}
	p := v.Last()
	if p.N == 0 {
		return []string{"no flick yet"}
	}
	ago := sinceText(v.At - p.Up)
	return []string{
		fmt.Sprintf("%s ago, %s", ago, PressText(v.Replay, p)),
		fmt.Sprintf("%s ago: %s, %s", ago, tell.Held(p), outcomeText(v.Replay, p)),
		ago + " ago: " + outcomeText(v.Replay, p),
	}
}

// PressText describes a finished press, by its flick if it has one.
func PressText(r *sim.Replay, p sim.Press) string {
	what := fmt.Sprintf("flick %d", p.Flick)
	if p.Flick == 0 {
		what = fmt.Sprintf("press %d without a flick", p.N)
	}
	return fmt.Sprintf("%s: held %s, %s", what, tell.Held(p), outcomeText(r, p))
}

// UnseenText describes a flick that never reached the camera.
func UnseenText(f sim.Flick) string {
	held := ""
	if f.Up != sim.Never {
		held = "held " + f.Hold().Rounded() + ", "
	}
	return fmt.Sprintf("flick %d: %sit never reached the camera", f.N, held)
}

func outcomeText(r *sim.Replay, p sim.Press) string {
	text := lanes.PressLook(r, p).Name()
	if p.Doubtful {
		text += " (doubtful)"
	}
	return text
}

// Failed reports whether a finished press did anything but toggle for good.
func Failed(r *sim.Replay, p sim.Press) bool {
	switch p.Verdict {
	case sim.VerdictShort, sim.VerdictBusy, sim.VerdictOff, sim.VerdictIgnored, sim.VerdictDouble, sim.VerdictWake, sim.VerdictLong:
		return lanes.PressLook(r, p) != lanes.Toggled
	default:
		return false
	}
}

// failures names what a failed flick did, if it did anything.
var failures = map[sim.Verdict]string{sim.VerdictLong: "FLICK TOO LONG", sim.VerdictWake: "FLICK WOKE THE CAMERA"}

// failureTexts describes a last flick that failed, and what the camera does now, in
// several lengths; nil if it toggled or another press runs.
func failureTexts(v *live.View) []string {
	what, why := "FLICK IGNORED", ""
	switch p := v.Last(); {
	case v.InHand.N > 0:
		return nil
	case v.LastUnseen().N > 0:
		why = " (it never reached the camera)"
	case p.N == 0 || !Failed(v.Replay, p):
		return nil
	default:
		why = fmt.Sprintf(" (%s: %s)", tell.Held(p), outcomeText(v.Replay, p))
		if verdict := failures[p.Verdict]; verdict != "" {
			what = verdict
		}
	}
	now := map[sim.State]string{
		sim.StateRecording: "RECORDING", sim.StateStarting: "STARTING", sim.StateUnknown: "STATE UNKNOWN", sim.StateOff: "CAMERA OFF",
	}[v.State]
	if now == "" {
		now = "NOT RECORDING"
	}
	return []string{what + " - " + now + why, what + " - " + now, what}
}

// Line describes a view in one line, without its time.
func Line(v live.View) string {
	if v.Segment == 0 {
		return inputText(&v)
	}
	parts := []string{string(v.State)}
	if v.Take.N > 0 {
		parts[0] += " " + wholeSeconds(v.Take.Length())
	}
	if v.Input != live.Running {
		parts = append(parts, inputText(&v))
	}
	if v.Open {
		parts = append(parts, chanceTexts(&v)[0])
	}
	if word, role := stateWord(&v); role == term.Problem {
		parts = append(parts, word+": held "+sinceText(v.At-v.InHand.Down))
	} else {
		parts = append(parts, pressTexts(&v)[0])
	}
	return strings.Join(append(parts, v.Doubts...), "; ")
}

// takesText counts takes and flicks.
func takesText(v *live.View) string {
	return fmt.Sprintf("%s, %s in all; %s", tell.Counted(v.Takes, "take", "takes"), wholeSeconds(v.Recorded), tell.Counted(v.Flicks, "flick", "flicks"))
}

// wholeSeconds writes a length of time without fractions of a second, which change
// too fast to read.
func wholeSeconds(m sim.Micros) string { return lanes.ClockTo(m, 0) }

// sinceText writes the time since something, to a tenth of a second.
func sinceText(m sim.Micros) string {
	if m >= sim.Minute {
		return wholeSeconds(m)
	}
	return fmt.Sprintf("%d.%d s", m/sim.Second, m%sim.Second/(100*sim.Millisecond))
}
