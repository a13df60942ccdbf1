package tell

import (
	"fmt"
	"strings"

	"flicktally/sim"
)

// Summary tells in a sentence what a pilot wants to know first: how many of the
// flicks toggled and why the others did not, what was recorded, and how sure
// that is.
func Summary(r *sim.Replay) string {
	parts := []string{FlickSummary(r), RecordedSummary(r)}
	for _, change := range r.States {
		if change.State == sim.StateUnknown {
			parts = append(parts, "what the camera did is not known from "+change.At.Clock()+" on")
			break
		}
	}
	return strings.Join(parts, "; ")
}

// FlickSummary tells how many flicks toggled, what the others came to, and how
// many are doubtful.
func FlickSummary(r *sim.Replay) string {
	n := len(r.Flicks)
	if n == 0 {
		return "no flick"
	}
	toggled := 0
	var others []string
	for _, c := range sim.CountFlicks(r.Flicks) {
		if c.Outcome == sim.FlickToggled {
			toggled = c.Count
		} else {
			others = append(others, fmt.Sprintf("%d %s", c.Count, c.Outcome))
		}
	}
	text := fmt.Sprintf("%d of %s toggled", toggled, Counted(n, "flick", "flicks"))
	switch {
	case n == 1 && toggled == 1:
		text = "the one flick toggled"
	case toggled == n:
		text = fmt.Sprintf("all %d flicks toggled", n)
	}
	if len(others) > 0 {
		text += " (" + strings.Join(others, ", ") + ")"
	}
	if doubtful := doubtfulFlicks(r); doubtful > 0 {
		text += fmt.Sprintf(", %d of them doubtful", doubtful)
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

// RecordedSummary tells what was recorded: of the armed time where the log tells
// it, else of the log.
func RecordedSummary(r *sim.Replay) string {
	recorded, whole := r.Recorded(), r.End.Readable()
	if r.Armed != nil && r.Armed.Armed > 0 {
		recorded, whole = r.Armed.Recorded, r.Armed.Armed.Readable()+" armed"
	}
	if recorded == 0 && len(r.Takes) == 0 {
		return "nothing recorded in " + whole
	}
	return fmt.Sprintf("recorded %s of %s, in %s", recorded.Readable(), whole, Counted(len(r.Takes), "take", "takes"))
}
