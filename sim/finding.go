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
	// Chatter: this many edges of the switch within ChatterWithin are no hand's.
	ChatterEdges  int
	ChatterWithin Micros
}

// DefaultLimits returns limits that suit a flight: takes from 2 s on, and no
// hand that moves a switch four times within 100 ms.
func DefaultLimits() Limits {
	return Limits{ShortTake: 2 * Second, ChatterEdges: 4, ChatterWithin: 100 * Millisecond}
}

// rule finds one kind of finding. Each stands in a file of its own kind; to
// add one, write it and list it in rules.
type rule func(*Replay, Limits) []Finding

// Findings returns what a pilot should know about the replay, in order of time.
func (r *Replay) Findings(limits Limits) []Finding {
	var all []Finding
	for _, find := range rules {
		all = append(all, find(r, limits)...)
	}
	slices.SortStableFunc(all, func(a, b Finding) int { return cmp.Compare(a.At, b.At) })
	return all
}
