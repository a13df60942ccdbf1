package tell

import (
	"cmp"
	"slices"

	"flicktally/sim"
)

// Code names a kind of finding. Codes keep their names and meaning.
type Code string

// Finding is something in a replay that cost, or could cost, footage.
type Finding struct {
	Code Code
	At   sim.Micros
	// To is when it last happened, Count how often: At and 1, unless the same
	// cause recurred while nothing had changed.
	To     sim.Micros
	Count  int
	Press  int    // number of the first press it is about, 0 if none
	Text   string // what happened, in a sentence
	Remedy string // what to do about it, in a sentence
	// Costs marks a finding that names why a flick failed, or armed time that was
	// not recorded.
	Costs bool
}

// Limits are the thresholds for reporting a finding.
type Limits struct {
	// ShortTake: a take shorter than this was hardly intended. 0 turns this
	// off.
	ShortTake sim.Micros
	// ChatterEdges within ChatterWithin are not made by a hand.
	ChatterEdges  int
	ChatterWithin sim.Micros
}

// DefaultLimits returns limits that suit a flight: takes from 2 s on, and no
// hand moves a switch four times within 100 ms.
func DefaultLimits() Limits {
	return Limits{ShortTake: 2 * sim.Second, ChatterEdges: 4, ChatterWithin: 100 * sim.Millisecond}
}

// Rule is one kind of finding: what it means, what to do about it in general,
// and how it is found.
type Rule struct {
	Code    Code
	Meaning string
	Remedy  string
	find    func(*sim.Replay, Limits) []Finding
}

// Rules lists every kind of finding, in the order of findings at the same
// moment. To add a rule, write it in the file for its subject and list it here.
func Rules() []Rule {
	return []Rule{
		noSignal, downFromStart, pressedAtIdle,
		longPress, shortPress, doublePress, busyPress, offPress, wakePress, unknownPress, ignoredPress, doubtfulPress,
		unsureHold, unseenFlick, chatter, pressedInLoss,
		shortTake, recordingAtEnd, neverRecorded,
	}
}

// Findings returns what a pilot should know about the replay, in order of time.
func Findings(r *sim.Replay, limits Limits) []Finding {
	var all []Finding
	for _, rule := range Rules() {
		for _, f := range rule.find(r, limits) {
			f.Code, f.To, f.Count = rule.Code, max(f.At, f.To), max(1, f.Count)
			if f.Remedy == "" {
				f.Remedy = rule.Remedy
			}
			all = append(all, f)
		}
	}
	slices.SortStableFunc(all, func(a, b Finding) int { return cmp.Compare(a.At, b.At) })
	return all
}
