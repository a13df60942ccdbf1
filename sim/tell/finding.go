package tell

import (
	"cmp"
	"slices"

	"flicktally/sim"
)

// Code names a kind of finding. A code never changes its name or meaning.
type Code string

// Finding is something in a replay that cost, or could cost, footage.
type Finding struct {
	Code Code
	At   sim.Micros
	// To is when it last happened, and Count how often it did: At and 1, unless
	// the same cause recurred while nothing had changed.
	To     sim.Micros
	Count  int
	Press  int    // number of the first press it is about, 0 if none
	Text   string // what happened, in a sentence
	Remedy string // what to do about it, in a sentence
	Costs  bool   // it says why a flick failed, or which armed time was not recorded
}

// Limits are the thresholds for reporting a finding.
type Limits struct {
	ShortTake     sim.Micros // a shorter take was probably not intended; 0 = none is too short
	ChatterEdges  int        // so many edges within ChatterWithin were not made by a hand
	ChatterWithin sim.Micros
}

// DefaultLimits returns limits that suit a flight: takes of 2 s or longer, and no
// hand that moves a switch four times within 100 ms.
func DefaultLimits() Limits {
	return Limits{ShortTake: 2 * sim.Second, ChatterEdges: 4, ChatterWithin: 100 * sim.Millisecond}
}

// Rule is one kind of finding.
type Rule struct {
	Code    Code
	Meaning string // in general
	Remedy  string // unless the finding has its own
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
