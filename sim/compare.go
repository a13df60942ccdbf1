package sim

import "slices"

// Outcome is what a replay comes to, in numbers that can be set beside those of
// another rig on the same log.
type Outcome struct {
	Presses, Toggles, Takes int
	Recorded                Micros
	// Missed is the armed time that no take covers; 0 where the log does not
	// tell.
	Missed    Micros
	LostShots int // at least so many; tries without a take between them are one
	Findings  []CodeCount
}

// CodeCount is how often a kind of finding was made.
type CodeCount struct {
	Code  Code
	Count int
}

// Outcome sums the replay and its findings up.
func (r *Replay) Outcome(findings []Finding) Outcome {
	o := Outcome{
		Presses: len(r.Presses), Toggles: len(r.Toggles), Takes: len(r.Takes),
		Recorded: r.Recorded(), LostShots: len(r.lostShots(findings)), Findings: countCodes(findings),
	}
	if r.Armed != nil {
		o.Missed = r.Armed.Armed - r.Armed.Recorded
	}
	return o
}

// countCodes counts findings by their code, in the order of [Rules].
func countCodes(findings []Finding) []CodeCount {
	var counts []CodeCount
	for _, rule := range Rules() {
		c := CodeCount{Code: rule.Code}
		for _, f := range findings {
			if f.Code == rule.Code {
				c.Count++
			}
		}
		if c.Count > 0 {
			counts = append(counts, c)
		}
	}
	return counts
}

// RecordedBeyond returns the stretches that the replay recorded and another one
// of the same log did not.
func (r *Record) RecordedBeyond(other *Record) []Span {
	spans := make([]Span, len(r.Takes))
	for i, t := range r.Takes {
		spans[i] = t.Span()
	}
	return uncovered(spans, other.Takes)
}

// Count returns how often a kind of finding was made.
func (o Outcome) Count(code Code) int {
	i := slices.IndexFunc(o.Findings, func(c CodeCount) bool { return c.Code == code })
	if i < 0 {
		return 0
	}
	return o.Findings[i].Count
}
