package tell

import (
	"fmt"

	"flicktally/sim"
)

// Findings about takes and armed time.

var shortTake = Rule{
	Code:    "short-take",
	Meaning: "A take is so short that it was probably not intended: often it was started and stopped by mistake.",
	Remedy:  "check whether the tally was inverted from here on",
	find: func(r *sim.Replay, limits Limits) []Finding {
		var found []Finding
		for _, t := range r.Takes {
			if t.Length() < limits.ShortTake && t.Ended != sim.EndLog {
				found = append(found, Finding{
					At: t.Start, Press: t.EndedBy,
					Text: fmt.Sprintf("take %d at %s is %s long", t.N, t.Start.Clock(), t.Length().Readable()),
				})
			}
		}
		return found
	},
}

var recordingAtEnd = Rule{
	Code:    "recording-at-end",
	Meaning: "A take was still running when the log ended.",
	Remedy:  "stop the take before you switch anything off: a file that is not closed may be unreadable",
	find: func(r *sim.Replay, _ Limits) []Finding {
		if n := len(r.Takes); n > 0 && r.Takes[n-1].Ended == sim.EndLog {
			return []Finding{{
				At:   r.End,
				Text: fmt.Sprintf("take %d was still running when the log ended at %s", n, r.End.Clock()),
			}}
		}
		return nil
	},
}

var neverRecorded = Rule{
	Code:    "never-recorded",
	Meaning: "The craft was armed, and nothing was recorded until it was disarmed.",
	Remedy:  "flick before take-off, and look at the camera's light",
	find: func(r *sim.Replay, _ Limits) []Finding {
		if r.Armed == nil || unknown(r) > 0 {
			return nil // nobody knows
		}
		var found []Finding
		for _, w := range r.Armed.Windows {
			if sim.RecordedWithin(w, r.Takes) == 0 {
				found = append(found, Finding{
					At: w.From, To: w.To,
					Text:  fmt.Sprintf("armed from %s to %s (%s), nothing recorded", w.From.Clock(), w.To.Clock(), w.Length().Readable()),
					Costs: true,
				})
			}
		}
		return found
	},
}
