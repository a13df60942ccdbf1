package rigcheck

import (
	"slices"

	"flicktally/sim"
)

// started reports whether one toggle started a recording that goes on.
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

// effect says what the presses of a probe did.
func effect(record sim.Record, spec sim.CameraSpec) string {
	switch {
	case len(record.Presses) == 0:
		return "the camera sees no press"
	case has(record, sim.VerdictWake):
		return "it wakes the camera, into " + string(spec.WakeInto)
	case has(record, sim.VerdictLong):
		return map[sim.LongAction]string{
			sim.LongPowerOff: "it is a long press, and the camera switches off",
			sim.LongNone:     "it is a long press, and nothing is toggled",
			sim.LongUnknown:  "it is a long press, and what the camera does then is not known",
		}[spec.LongAction]
	case len(record.Toggles) > 0:
		return "it toggles recording"
	case has(record, sim.VerdictOpen):
		return "the button stays down, and no other press can be made"
	default:
		return "it is too short for the camera"
	}
}
