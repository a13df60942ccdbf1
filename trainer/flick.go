package trainer

import (
	"fmt"

	"flicktally/sim"
)

// Move is a move of the switch: its value is Value from At on.
type Move struct {
	At    sim.Micros
	Value sim.PulseWidth
}

// The verdicts on a flick besides those on a press.
const (
	verdictUnseen  sim.Verdict = "unseen"  // the camera saw no press
	verdictSeveral sim.Verdict = "several" // the camera saw more than one press
)

// Flick is one press and release of the switch by the hand, with the camera's
// reaction. Times count from the start of the drill.
type Flick struct {
	N    int // from 1, in order of time
	Run  int // number of the run of the rig, from 1; see [Drill.Runs]
	Cold bool
	// Down and Up are the hand's moves into and out of the press range. They are
	// the same if both edges start a pulse, as each edge is then a flick.
	Down, Up sim.Micros
	// Moves are all moves since the previous flick, up to the release.
	Moves   []Move
	Presses []sim.Press // as the camera saw them
	Verdict sim.Verdict
	// Effect is what a hold of Seen does, by the camera's zones; "" if the camera
	// accepted no press, and in old journals.
	Effect sim.Effect
	Seen   sim.Micros // the hold that the camera saw, if it saw one press
	// Margin is how far Seen lies inside the holds that toggle for good, negative
	// outside. It is set if Effect is.
	Margin sim.Micros
	// TooClose says that Margin is below the resolution of the input, which may
	// have decided the verdict. The flick does not count.
	TooClose bool
	Unsure   bool       // Seen lies within a threshold's range in the rig file
	Wait     sim.Micros // how long a busy camera was still busy at the press
	Took     sim.Micros // length of the take that the flick ended, 0 if none
}

// Hold returns the time for which the hand held the switch.
func (f Flick) Hold() sim.Micros { return f.Up - f.Down }

// Toggled reports whether recording toggled, once and for good.
func (f Flick) Toggled() bool {
	if f.Effect != "" {
		return f.Effect == sim.EffectToggles
	}
	return f.Verdict == sim.VerdictToggle
}

// acts returns when the flick's press acted; [sim.Never] if it did nothing.
func (f Flick) acts() sim.Micros {
	if len(f.Presses) != 1 {
		return sim.Never
	}
	return f.Presses[0].Acts
}

// Words describes the result of the flick, with the margin.
func (f Flick) Words() string {
	hold := f.Seen.Rounded()
	if f.TooClose {
		return hold + ": at the edge of the press window, too close to call with this input"
	}
	switch f.Verdict {
	case sim.VerdictShort:
		return fmt.Sprintf("%s: too short by %s%s", hold, (-f.Margin).Rounded(), f.doubt())
	case sim.VerdictToggle, sim.VerdictLong:
		if f.Toggled() {
			return fmt.Sprintf("%s: toggles, %s to spare%s", hold, f.Margin.Rounded(), f.doubt())
		}
		return fmt.Sprintf("%s: too long by %s%s", hold, (-f.Margin).Rounded(), f.doubt())
	case sim.VerdictBusy:
		if f.Wait > 0 {
			return fmt.Sprintf("%s: too soon by %s, the camera was busy", hold, f.Wait.Rounded())
		}
		return hold + ": the camera was busy"
	case sim.VerdictOff, sim.VerdictWake:
		return hold + ": the camera was off"
	case verdictSeveral:
		return fmt.Sprintf("%s: the camera saw %d presses", f.Hold().Rounded(), len(f.Presses))
	case verdictUnseen:
		return f.Hold().Rounded() + ": the camera never saw it"
	default:
		return hold + ": what the camera did is unknown"
	}
}

func (f Flick) doubt() string {
	if f.Unsure {
		return ", if the press window is as assumed"
	}
	return ""
}

// judge sets the verdict and what follows from it, from the flick's presses.
func (f *Flick) judge(camera sim.CameraSpec, resolution sim.Micros) {
	switch len(f.Presses) {
	case 0:
		f.Verdict = verdictUnseen
		return
	case 1:
	default:
		f.Verdict = verdictSeveral
		return
	}
	p := f.Presses[0]
	f.Verdict, f.Seen = p.Verdict, p.Hold()
	if f.Verdict != sim.VerdictToggle && f.Verdict != sim.VerdictShort && f.Verdict != sim.VerdictLong {
		return
	}
	zones := camera.Zones()
	good := zones.ForGood()
	f.Effect = zones.Of(f.Seen).Effect
	f.Margin = f.Seen - good.From
	if good.To != sim.Never {
		f.Margin = min(f.Margin, good.To-f.Seen)
	}
	f.TooClose = max(f.Margin, -f.Margin) < resolution
	f.Unsure = inOpen(camera.MinPress, f.Seen) || inOpen(camera.LongPress, f.Seen)
}

// inOpen reports whether a hold lies within a threshold's range.
func inOpen(threshold sim.Interval, hold sim.Micros) bool {
	return hold >= threshold.Low && hold < threshold.High
}

// everyMoveCounts reports whether each move of the switch is a flick, because both
// edges start a pulse.
func everyMoveCounts(rig sim.Rig) bool { return rig.OneShot.Trigger == sim.TriggerBoth }
