package sim

import (
	"cmp"
	"slices"
)

// Code names a kind of finding. Codes keep their names and meaning.
type Code string

// Finding is something in a replay that cost, or could cost, footage.
type Finding struct {
	Code   Code
	At     Micros
	Press  int    // number of the press it is about, 0 if none
	Text   string // what happened, in a sentence
	Remedy string // what to do about it, in a sentence
	// Lost marks a finding that says that footage was lost.
	Lost bool
}

// Limits are the lengths of time from which a finding is worth telling.
type Limits struct {
	// ShortTake: a take shorter than this was hardly meant. 0 turns it off.
	ShortTake Micros
	// So many edges of the switch within so short a time are no hand's.
	ChatterEdges  int
	ChatterWithin Micros
}

// DefaultLimits returns limits that suit a flight: takes from 2 s on, and no
// hand that moves a switch four times within 100 ms.
func DefaultLimits() Limits {
	return Limits{ShortTake: 2 * Second, ChatterEdges: 4, ChatterWithin: 100 * Millisecond}
}

// Rule is one kind of finding: what it means, what to do about it in general,
// and how it is found.
type Rule struct {
	Code    Code
	Meaning string
	Remedy  string
	find    func(*Replay, Limits) []Finding
}

// Rules lists every kind of finding, in the order in which findings of one
// moment are told. A rule stands in the file of what it looks at; to add one,
// write it there and list it here.
func Rules() []Rule {
	return []Rule{
		noSignal, downFromStart, pressedAtIdle,
		longPress, shortPress, busyPress, offPress, wakePress, unknownPress, doubtfulPress,
		unsureHold, missedPress, chatter, pressedInLoss,
		stoppedInFlight, shortTake, recordingAtEnd, neverRecorded,
	}
}

// Findings returns what a pilot should know about the replay, in order of time.
func (r *Replay) Findings(limits Limits) []Finding {
	var all []Finding
	for _, rule := range Rules() {
		for _, f := range rule.find(r, limits) {
			f.Code = rule.Code
			if f.Remedy == "" {
				f.Remedy = rule.Remedy
			}
			all = append(all, f)
		}
	}
	slices.SortStableFunc(all, func(a, b Finding) int { return cmp.Compare(a.At, b.At) })
	return all
}

// FootageLost reports whether one of the findings says that footage was lost.
func FootageLost(findings []Finding) bool {
	return slices.ContainsFunc(findings, func(f Finding) bool { return f.Lost })
}
