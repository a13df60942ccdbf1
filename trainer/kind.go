package trainer

import (
	"fmt"
	"strings"

	"flicktally/sim"
)

// Kind names a drill. The names never change, as the history contains them.
type Kind string

// The drills.
const (
	KindFlick    Kind = "flick"
	KindTake     Kind = "take"
	KindCut      Kind = "cut"
	KindSteady   Kind = "steady"
	KindPattern  Kind = "pattern"
	KindBlind    Kind = "blind"
	KindHandsOff Kind = "hands-off"
	KindMixed    Kind = "mixed"
	KindReview   Kind = "review"
)

// Kinds lists the drills in learning order.
var Kinds = []Kind{
	KindFlick, KindSteady, KindTake, KindCut, KindPattern, KindBlind, KindHandsOff, KindMixed, KindReview,
}

// Title returns the drill's name for the screen.
func (k Kind) Title() string { return about[k].title }

// Titles lists the titles of drills: "One flick, Steady hold".
func Titles(kinds []Kind) string {
	var titles []string
	for _, k := range kinds {
		titles = append(titles, k.Title())
	}
	return strings.Join(titles, ", ")
}

// Rule returns the drill's rule in one line.
func (k Kind) Rule() string { return about[k].rule }

// Right says what counts as right in the drill, with its tolerance, in a line or
// two.
func (k Kind) Right() string { return about[k].right }

// ParseKind reads a drill's name.
func ParseKind(text string) (Kind, error) {
	if _, known := about[Kind(text)]; !known {
		return "", fmt.Errorf("found drill %q, want %s", text, sim.OneOf(Kinds))
	}
	return Kind(text), nil
}

const asInEach = "as in the drill of each trial"

var about = map[Kind]struct{ title, rule, right string }{
	KindFlick: {"One flick", "On the cue, flick once so that recording toggles.",
		"toggled for good, started within 2 s of the cue"},
	KindSteady: {"Steady hold", "Flick with the same hold every time, close to the aim.",
		"toggled, the hold within 20 % of the aim"},
	KindTake: {"Measured take", "Start a take, let it run for the given length, stop it.",
		"length within 0.5 s, or 15 % if that is more"},
	KindCut: {"Quick cut", "Stop the running take and start a new one, as soon as the camera allows.",
		"both toggle, the second within 1 s of the earliest possible time"},
	KindPattern: {"Follow the pattern", "Press and release as the pattern shows; it starts with your first press.",
		"each press and gap within 80 ms, or 25 % if more"},
	KindBlind: {"Blind count", "Flick on each cue, then say whether the camera is recording.",
		"every cue followed, and the correct answer within 5 s"},
	KindHandsOff: {"Hands off", "Leave the switch alone, whatever appears, until you are told to flick.",
		"switch not moved; a flick only when told, within 2 s"},
	KindMixed:  {"Mixed", "A bit of everything, and more of what you miss most.", asInEach},
	KindReview: {"Flight review", "Repeat what went wrong in the flight, and get it right.", asInEach},
}

// Length is the length of a drill: no trial starts after it.
const Length = 2 * sim.Minute

// longest is the time after which a drill ends even in the middle of a trial.
const longest = 3 * sim.Minute
