package tell

import (
	"fmt"
	"strings"

	"flicktally/sim"
)

// Summary says in one sentence what a pilot wants to know first: how many
// flicks toggled and why the others did not, what was recorded, and how certain
// that is.
func Summary(r *sim.Replay) string {
	total := TotalOf(r)
	parts := []string{total.FlickSummary(), total.RecordedSummary()}
	for _, change := range r.States {
		if change.State != sim.StateUnknown {
			continue
		}
		if change.At == 0 {
			parts = append(parts, StartUnknown)
		} else {
			parts = append(parts, "what the camera did after "+change.At.Clock()+" is not known")
		}
		break
	}
	return strings.Join(parts, "; ")
}

// StartUnknown says that the camera's state at the start of a log is not known.
const StartUnknown = "nothing shows the camera's state at the start"

// Total is the sum of one or more replays.
type Total struct {
	Flicks               sim.FlickCounts
	Doubtful             int // flicks
	Takes                int
	Length, Recorded     sim.Micros // of the logs; the part covered by takes
	Armed, RecordedArmed sim.Micros // of the logs that have it; the part covered by takes
	Logs, ArmedLogs      int        // ArmedLogs say when the craft was armed
	Unknown              sim.Micros // with the camera in an unknown state
}

// TotalOf sums up replays.
func TotalOf(replays ...*sim.Replay) Total {
	t := Total{Logs: len(replays)}
	var flicks []sim.Flick
	for _, r := range replays {
		flicks = append(flicks, r.Flicks...)
		t.Doubtful += doubtfulFlicks(r)
		t.Takes += len(r.Takes)
		t.Length += r.End
		t.Recorded += r.Recorded()
		t.Unknown += unknown(r)
		if r.Armed != nil {
			t.ArmedLogs++
			t.Armed += r.Armed.Armed
			t.RecordedArmed += r.Armed.Recorded
		}
	}
	t.Flicks = sim.CountFlicks(flicks)
	return t
}

// ToggledOf writes how many flicks toggled: "5 of 9".
func ToggledOf(flicks sim.FlickCounts) string {
	toggled, n := flicks.Toggled()
	return fmt.Sprintf("%d of %d", toggled, n)
}

// NotToggled writes how many of the flicks did not toggle, as far as known.
func (t Total) NotToggled() string {
	toggled, n := t.Flicks.Toggled()
	if n > 0 && t.allUnknown(n) {
		return "not known"
	}
	return fmt.Sprintf("%d of %d", n-toggled, n)
}

// allUnknown reports whether it is not known what any of the n flicks did.
func (t Total) allUnknown(n int) bool {
	return t.Flicks[0] == sim.FlickCount{Outcome: sim.FlickUnknown, Count: n}
}

// FlickSummary says how many flicks toggled, the outcomes of the others, and how
// many are doubtful.
func (t Total) FlickSummary() string {
	toggled, n := t.Flicks.Toggled()
	var others []string
	for _, c := range t.Flicks {
		if c.Outcome != sim.FlickToggled {
			others = append(others, fmt.Sprintf("%d %s", c.Count, c.Outcome))
		}
	}
	if n == 0 {
		return "no flicks"
	}
	text := fmt.Sprintf("%d of %s toggled", toggled, Counted(n, "flick", "flicks"))
	switch {
	case t.allUnknown(n):
		return "what " + Counted(n, "flick", "flicks") + " did is not known"
	case n == 1 && toggled == 1:
		text = "the one flick toggled"
	case n == 2 && toggled == 2:
		text = "both flicks toggled"
	case toggled == n:
		text = fmt.Sprintf("all %d flicks toggled", n)
	}
	if len(others) > 0 {
		text += " (" + strings.Join(others, ", ") + ")"
	}
	switch {
	case t.Doubtful > 0 && n == 1 && toggled == 1:
		text += " (doubtful)"
	case t.Doubtful > 0:
		text += fmt.Sprintf(", %d of them doubtful", t.Doubtful)
	}
	return text
}

func doubtfulFlicks(r *sim.Replay) int {
	count := 0
	for _, f := range r.Flicks {
		if f.Press > 0 && r.Presses[f.Press-1].Doubtful {
			count++
		}
	}
	return count
}

// RecordedTime writes how much was recorded, as far as known, and of what: of the
// armed time if every log has it, else of the logs.
func (t Total) RecordedTime() (recorded, whole string) {
	recorded, whole = t.Recorded.Readable(), t.Length.Readable()
	if t.ArmedLogs == t.Logs && t.Armed > 0 {
		recorded, whole = t.RecordedArmed.Readable(), t.Armed.Readable()+" armed"
	}
	switch {
	case t.Unknown > 0 && t.Takes == 0:
		recorded = "not known"
	case t.Unknown > 0:
		recorded = "at least " + recorded
	}
	return recorded, whole
}

// RecordedOf writes how much was recorded, of how much.
func (t Total) RecordedOf() string {
	recorded, whole := t.RecordedTime()
	if t.Unknown > 0 && t.Takes == 0 {
		return recorded
	}
	return recorded + " of " + whole
}

// RecordedSummary says what was recorded, in how many takes.
func (t Total) RecordedSummary() string {
	recorded, whole := t.RecordedTime()
	switch {
	case t.Takes > 0:
		return fmt.Sprintf("recorded %s of %s, in %s", recorded, whole, Counted(t.Takes, "take", "takes"))
	case t.Unknown > 0:
		return "what was recorded in " + whole + " is not known"
	default:
		return "nothing recorded in " + whole
	}
}

// MissedTime writes how much of the armed time was not recorded, as far as
// known.
func (t Total) MissedTime() string {
	if t.Unknown > 0 {
		return "not known"
	}
	return (t.Armed - t.RecordedArmed).Readable()
}

// ArmedSummary says what was recorded of the armed time; "" if no log has it.
func (t Total) ArmedSummary() string {
	if t.ArmedLogs == 0 {
		return ""
	}
	return fmt.Sprintf("armed %s, recorded %s of it, missed %s", t.Armed.Readable(), t.RecordedArmed.Readable(), t.MissedTime())
}

// unknown returns how long the camera's state is unknown.
func unknown(r *sim.Replay) (length sim.Micros) {
	for state, span := range r.StateSpans(r.End) {
		if state == sim.StateUnknown {
			length += span.Length()
		}
	}
	return length
}
