package tell

import (
	"fmt"
	"strings"

	"flicktally/sim"
)

// LogLines describes the rows of a log: how many there are and how far apart,
// where they are missing, and which flicks are too short to show. A log recorded
// on change has only its length.
func LogLines(r *sim.Replay, onChange bool) []string {
	s := r.Samples
	if onChange {
		return []string{r.End.Clock()}
	}
	first := []string{r.End.Clock(), Counted(s.Count, "sample", "samples")}
	if s.Steps.Median > 0 {
		first = append(first, "one every "+s.Steps.Median.Rounded())
	}
	invalid := s.Count - s.Valid
	if invalid > 0 {
		first = append(first, fmt.Sprintf("%d without a valid channel value", invalid))
	}
	lines := []string{strings.Join(first, ", ")}
	if shortest := max(s.Steps.Median, r.Rig.Link.Frame); shortest > 0 && r.Tap == sim.TapChannel {
		flick := "a shorter flick"
		if shortest > s.Steps.Median || invalid > 0 {
			flick = "a flick shorter than " + shortest.Rounded()
		}
		lines[0] += "; " + flick + " may not show"
	}
	if s.Steps.Gaps > 0 {
		lines = append(lines, fmt.Sprintf("%s longer than ten steps, the longest %s from %s on",
			Counted(s.Steps.Gaps, "gap", "gaps"), s.Steps.Longest.Length().Readable(), s.Steps.Longest.From.Clock()))
	}
	if len(r.Lost) > 0 {
		lines = append(lines, lostLine(r.Lost))
	}
	return lines
}

func lostLine(lost []sim.Span) string {
	var all sim.Micros
	longest := lost[0]
	for _, span := range lost {
		all += span.Length()
		if span.Length() > longest.Length() {
			longest = span
		}
	}
	if len(lost) == 1 {
		return fmt.Sprintf("no signal for %s from %s on", all.Readable(), longest.From.Clock())
	}
	return fmt.Sprintf("no signal for %s in %d stretches, the longest %s from %s on",
		all.Readable(), len(lost), longest.Length().Readable(), longest.From.Clock())
}
