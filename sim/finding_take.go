package sim

import "fmt"

// Findings about takes and armed time.

var stoppedInFlight = Rule{
	Code:    "stopped-in-flight",
	Meaning: "A press ended a take while the craft was armed. It may have been meant; it may have been a knock.",
	Remedy:  "if it was not meant, move the switch out of the fingers' way, and keep off it in flight",
	find: func(r *Replay, _ Limits) []Finding {
		if r.Armed == nil {
			return nil
		}
		var found []Finding
		for _, t := range r.Takes {
			if t.Ended != EndPress {
				continue
			}
			press := r.Presses[t.EndedBy-1]
			for _, armed := range r.Armed.Windows {
				if missed := r.unrecordedUntilNextTake(t, armed); armed.Contains(press.Down) && missed > 0 {
					found = append(found, Finding{
						At: press.Down, Press: press.N,
						Text: fmt.Sprintf("press %d at %s ended take %d in flight; %s of armed time after it are not recorded",
							press.N, press.Down.Clock(), t.N, missed.Readable()),
					})
				}
			}
		}
		return found
	},
}

// unrecordedUntilNextTake returns the armed time from the end of a take to the
// next take, or to the end of the armed window.
func (r *Replay) unrecordedUntilNextTake(t Take, armed Span) Micros {
	until := armed.To
	if t.N < len(r.Takes) {
		until = min(until, r.Takes[t.N].Start)
	}
	return until - max(t.End, armed.From)
}

var shortTake = Rule{
	Code:    "short-take",
	Meaning: "A take is so short that it was hardly meant: often a start and a stop by mistake.",
	Remedy:  "look whether the tally was the wrong way round from here on",
	find: func(r *Replay, limits Limits) []Finding {
		var found []Finding
		for _, t := range r.Takes {
			if t.Length() < limits.ShortTake && t.Ended != EndLog {
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
	Remedy:  "stop the take before you switch anything off: a file that is not closed may not be readable",
	find: func(r *Replay, _ Limits) []Finding {
		if n := len(r.Takes); n > 0 && r.Takes[n-1].Ended == EndLog {
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
	Meaning: "The craft was armed for a time in which nothing at all was recorded.",
	Remedy:  "flick before take-off, and look at the camera's light",
	find: func(r *Replay, _ Limits) []Finding {
		if r.Armed == nil {
			return nil
		}
		var found []Finding
		for _, w := range r.Armed.Windows {
			if RecordedWithin(w, r.Takes) == 0 {
				found = append(found, Finding{
					At:   w.From,
					Text: fmt.Sprintf("armed from %s to %s (%s), and nothing recorded", w.From.Clock(), w.To.Clock(), w.Length().Readable()),
					Lost: true,
				})
			}
		}
		return found
	},
}
