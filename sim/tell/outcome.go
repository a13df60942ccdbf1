package tell

import "flicktally/sim"

// Outcome is the result of a replay in numbers, to compare with those of another
// rig on the same log.
type Outcome struct {
	Presses, Toggles, Takes int
	Recorded                sim.Micros
	// Missed is the armed time that no take covers; 0 if the log does not say.
	Missed   sim.Micros
	Flicks   sim.FlickCounts
	Findings []codeCount
}

// codeCount is the number of findings of a kind.
type codeCount struct {
	Code  Code
	Count int
}

// OutcomeOf sums up a replay and its findings.
func OutcomeOf(r *sim.Replay, findings []Finding) Outcome {
	o := Outcome{
		Presses: len(r.Presses), Toggles: len(r.Toggles), Takes: len(r.Takes),
		Recorded: r.Recorded(), Flicks: sim.CountFlicks(r.Flicks), Findings: countCodes(findings),
	}
	if r.Armed != nil {
		o.Missed = r.Armed.Armed - r.Armed.Recorded
	}
	return o
}

// countCodes counts findings by code, in the order of [Rules].
func countCodes(findings []Finding) []codeCount {
	byCode := map[Code]int{}
	for _, f := range findings {
		byCode[f.Code] += f.Count
	}
	var counts []codeCount
	for _, rule := range Rules() {
		if n := byCode[rule.Code]; n > 0 {
			counts = append(counts, codeCount{rule.Code, n})
		}
	}
	return counts
}

// Count returns the number of findings of a kind.
func (o Outcome) Count(code Code) int {
	for _, c := range o.Findings {
		if c.Code == code {
			return c.Count
		}
	}
	return 0
}
