package sim

import (
	"fmt"
	"strings"
)

// Summary tells in a sentence what a pilot wants to know first: what was
// recorded, what was lost and by what, and how sure that is. The findings are
// those of the replay.
func (r *Replay) Summary(findings []Finding) string {
	parts := []string{r.recordedSummary()}
	switch lost := r.lostShots(findings); len(lost) {
	case 0:
		parts = append(parts, "no loss found")
	case 1:
		parts = append(parts, "at least 1 shot lost: "+lost[0].Text)
	default:
		parts = append(parts, fmt.Sprintf("at least %d shots lost, the first: %s", len(lost), lost[0].Text))
	}
	if doubt := r.doubtSummary(); doubt != "" {
		parts = append(parts, doubt)
	}
	return strings.Join(parts, "; ")
}

// recordedSummary says what was recorded, and how much of the armed time it
// covers.
func (r *Replay) recordedSummary() string {
	text := "nothing recorded in " + r.End.Readable()
	switch n := len(r.Takes); {
	case n == 1:
		text = "1 take recorded, " + r.Recorded().Readable()
	case n > 1:
		text = fmt.Sprintf("%d takes recorded, %s in all", n, r.Recorded().Readable())
	}
	if r.Armed != nil && r.Armed.Armed > 0 {
		text += fmt.Sprintf(" (%s of %s armed)", r.Armed.Recorded.Readable(), r.Armed.Armed.Readable())
	}
	return text
}

// lostShots returns the first finding of lost footage in each stretch without
// a take. Tries that follow each other without a take between them count as
// one shot: nobody knows how many were meant, so it is the least number.
func (r *Replay) lostShots(findings []Finding) []Finding {
	var lost []Finding
	told := -1 // takes that had begun at the last lost shot
	begun := 0
	for _, f := range findings {
		for begun < len(r.Takes) && r.Takes[begun].Start <= f.At {
			begun++
		}
		if f.Lost && begun != told {
			lost, told = append(lost, f), begun
		}
	}
	return lost
}

// doubtSummary says what keeps the tally from being certain within the model,
// or nothing.
func (r *Replay) doubtSummary() string {
	for _, change := range r.States {
		if change.State == StateUnknown {
			return "what the camera did is not known from " + change.At.Clock() + " on"
		}
	}
	doubtful := 0
	for _, p := range r.Presses {
		if p.Doubtful {
			doubtful++
		}
	}
	if doubtful == 0 {
		return ""
	}
	return Counted(doubtful, "press is", "presses are") + " doubtful"
}

// Recorded returns the length of all takes.
func (r *Record) Recorded() Micros {
	var total Micros
	for _, t := range r.Takes {
		total += t.Length()
	}
	return total
}
