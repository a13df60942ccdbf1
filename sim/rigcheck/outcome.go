package rigcheck

import (
	"slices"

	"flicktally/sim"
)

// started reports whether one toggle started a take that is still running.
func started(r *sim.Replay) bool { return ends(r, 1, sim.StateRecording) }

// ends reports whether there were that many toggles and the camera ended in
// that state.
func ends(r *sim.Replay, toggles int, state sim.State) bool {
	return len(r.Toggles) == toggles && r.StateAt(r.End) == state
}

func has(record sim.Record, v sim.Verdict) bool {
	return slices.ContainsFunc(record.Presses, func(p sim.Press) bool { return p.Verdict == v })
}

// acted reports whether a press did something.
func acted(record sim.Record) bool {
	return slices.ContainsFunc(record.Presses, func(p sim.Press) bool { return p.Acts != sim.Never })
}

// effect says what the presses of a probe do, or may do if that depends on the
// value of a threshold that is a range.
func effect(record sim.Record, spec sim.CameraSpec) string {
	is, toggles, and := "is", "toggles", "and"
	if unsure(record, spec) {
		is, toggles, and = "may be", "may toggle", "and then"
	}
	switch {
	case len(record.Presses) == 0:
		return "the camera sees no press"
	case has(record, sim.VerdictWake):
		return "it wakes the camera, into " + string(spec.WakeInto)
	case has(record, sim.VerdictLong):
		return "it " + is + " a long press, " + and + " " + actionText(spec.LongAction, "recording does not change")
	case len(record.Toggles) > 0:
		return "it " + toggles + " recording"
	case has(record, sim.VerdictOpen):
		return "the button stays down, and no other press can be made"
	default:
		return "it " + is + " too short for the camera"
	}
}

// actionText says what an action does to the camera.
func actionText(a sim.Action, none string) string {
	return map[sim.Action]string{
		sim.ActionPowerOff: "the camera switches off",
		sim.ActionNone:     none,
		sim.ActionUnknown:  "what the camera does is not known",
	}[a]
}

// unsure reports whether a press was as long as a threshold may be.
func unsure(record sim.Record, spec sim.CameraSpec) bool {
	return slices.ContainsFunc(record.Presses, func(p sim.Press) bool {
		within := func(threshold sim.Interval) bool { return p.Hold() >= threshold.Low && p.Hold() < threshold.High }
		return !p.Open() && p.StateAt.Accepts() && (within(spec.MinPress) || within(spec.LongPress))
	})
}
