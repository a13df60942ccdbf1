package tell

import "flicktally/sim"

// Outcome is the result of a replay, in numbers that can be compared with those
// of another rig on the same log.
type Outcome struct {
	Presses, Toggles, Takes int
	Recorded                sim.Micros
	// Missed is the armed time that no take covers; 0 if the log does not say.
	Missed   sim.Micros
	Flicks   []sim.FlickCount
	Findings []CodeCount
}

// CodeCount is the number of findings of a kind.
type CodeCount struct {
	Code  Code
	Count int
}

// OutcomeOf sums a replay and its findings up.
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
func countCodes(findings []Finding) []CodeCount {
	var counts []CodeCount
	for _, rule := range Rules() {
		c := CodeCount{Code: rule.Code}
		for _, f := range findings {
			if f.Code == rule.Code {
				c.Count += f.Count
			}
		}
		if c.Count > 0 {
			counts = append(counts, c)
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

// Toggled returns how many flicks toggled.
func (o Outcome) Toggled() int { return o.flicks(sim.FlickToggled) }

func (o Outcome) flicks(outcome sim.FlickOutcome) int {
	for _, c := range o.Flicks {
		if c.Outcome == outcome {
			return c.Count
		}
	}
	return 0
}
