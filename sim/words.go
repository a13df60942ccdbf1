package sim

import (
	"fmt"
	"math"
	"strings"
)

// The words in which reports, on paper and on a screen, tell of a press, a take,
// a chance and the like. A dash stands where there is nothing to tell.

// HeldText tells how long a press was held.
func (p Press) HeldText() string {
	switch {
	case p.Open():
		return "still down"
	case p.FromStart:
		return p.Hold().Rounded() + " from the start"
	default:
		return p.Hold().Rounded()
	}
}

// ByHandText tells which holds of the hand behind a press the samples allow.
func (r *Replay) ByHandText(p Press) string {
	bounds, ok := r.HandBounds(p)
	switch {
	case !ok:
		return "-"
	case bounds.Exact():
		return "exact"
	}
	least, most := toldApart(bounds.Low, bounds.High)
	return least + " to " + most
}

// toldApart writes two lengths of time rounded, or in full where rounding would
// make different ones look the same.
func toldApart(a, b Micros) (string, string) {
	if a != b && a.Rounded() == b.Rounded() {
		return a.String(), b.String()
	}
	return a.Rounded(), b.Rounded()
}

// MarginText tells how far an accepted press was from the nearest threshold.
func (w Window) MarginText(p Press) string {
	if p.Open() {
		return "-"
	}
	switch hold := p.Hold(); p.Verdict {
	case VerdictShort:
		return (w.MinPress - hold).Rounded() + " too short"
	case VerdictLong:
		return (hold - w.LongPress).Rounded() + " too long"
	case VerdictToggle:
		return min(hold-w.MinPress, w.LongPress-hold).Rounded() + " to spare"
	default:
		return "-"
	}
}

// ToggleText tells which holds are taken to toggle. Where the rig leaves a
// threshold open they are those of the likeliest course of events, which nothing
// tells to the microsecond.
func (r *Replay) ToggleText() string {
	if c := r.Rig.Camera; c.MinPress.Exact() && c.LongPress.Exact() {
		return fmt.Sprintf("a hold from %s to less than %s toggles", r.Window.MinPress, r.Window.LongPress)
	}
	return fmt.Sprintf("most likely a hold from %s to less than %s toggles", r.Window.MinPress.Rounded(), r.Window.LongPress.Rounded())
}

// EndedText tells what ended a take.
func (t Take) EndedText() string {
	switch t.Ended {
	case EndPowerOff:
		return fmt.Sprintf("press %d: switched off", t.EndedBy)
	case EndUnknown:
		return fmt.Sprintf("press %d: not known", t.EndedBy)
	case EndLog:
		return "the log's end"
	default:
		return fmt.Sprintf("press %d", t.EndedBy)
	}
}

// ChanceText writes a chance, 0 to 1, in percent. Only what is certain is 0 % or
// 100 %.
func ChanceText(chance float64) string {
	switch rounded := math.Round(100 * chance); {
	case rounded == 0 && chance > 0:
		return "less than 1 %"
	case rounded == 100 && chance < 1:
		return "more than 99 %"
	default:
		return fmt.Sprintf("%.0f %%", rounded)
	}
}

// ChanceText tells the chance over the stretch.
func (b BeliefStretch) ChanceText() string {
	from, to := ChanceText(b.Recording), ChanceText(b.RecordingTo)
	if from == to {
		return from
	}
	return from + " to " + to
}

// Counted writes a number of things: "1 press", "3 presses".
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// RangesText tells ranges of pulse width: "1000 to below 1300 and 1700 to below 2250 µs".
func RangesText(ranges []PulseRange) string {
	var texts []string
	for _, r := range ranges {
		texts = append(texts, fmt.Sprintf("%v to below %v", r.Low, r.High))
	}
	return strings.Join(texts, " and ") + " µs"
}
