package sim

import "iter"

// State is what the camera does according to the model (M8).
type State string

// The states of the camera.
const (
	StateOff       State = "off"
	StateBooting   State = "booting"
	StateStandby   State = "standby"
	StateStarting  State = "starting"
	StateRecording State = "recording"
	StateStopping  State = "stopping"
	StateUnknown   State = "unknown"
)

// Verdict is the result of a press (M7, M8).
type Verdict string

// The verdicts. An accepted press is toggle, short, long or open; the state in
// which a press went down makes it busy, off, wake or unknown.
const (
	VerdictToggle  Verdict = "toggle"
	VerdictShort   Verdict = "short"
	VerdictLong    Verdict = "long"
	VerdictBusy    Verdict = "busy"
	VerdictOff     Verdict = "off"
	VerdictWake    Verdict = "wake"
	VerdictOpen    Verdict = "open"
	VerdictUnknown Verdict = "unknown"
	VerdictDouble  Verdict = "double"
	// VerdictIgnored: an accepted press that did nothing at all, as only
	// evidence can show (M11).
	VerdictIgnored Verdict = "ignored"
)

// Press is one press of the record button, from the moment it goes down.
type Press struct {
	N    int    // from 1, in order of time
	Down Micros // d of M7
	Up   Micros // u of M7; Never while the press is open
	// Effect is the moment at which the release counted, Up plus the camera's
	// MinGap; Never while the press is open.
	Effect    Micros
	FromStart bool // already down at t = 0
	Verdict   Verdict
	// Acts is when the press acted, the later time if it acted twice; Never if it
	// did nothing. A long press acts when its action is due, even one of none.
	Acts       Micros
	StateAt    State // in which the press went down
	StateAfter State // right after Effect, or at the log's end
	// Flick is the number of the flick that pressed the button, 0 if none did.
	Flick int
	// DownUnseen and UpUnseen are how much earlier the moves behind the two
	// edges may have happened; see [Edge].
	DownUnseen, UpUnseen Micros
	// Doubtful marks a verdict with a chance below 95 % (M11) or, if only
	// thresholds and start are in doubt, one that differs in another possible
	// cell (M9).
	Doubtful bool
	Chance   float64 // that the verdict is right, 0 to 1; 0 if not computed
}

// Open reports whether the release had not counted when the log ended.
func (p Press) Open() bool { return p.Up == Never }

// Hold returns how long the press was held; Never if it is open.
func (p Press) Hold() Micros {
	if p.Open() {
		return Never
	}
	return p.Up - p.Down
}

// HoldBounds returns the shortest and the longest hold of the button that the
// samples allow: a move shows only at the first sample after it (M11). The press
// must not be open.
func (p Press) HoldBounds() Interval {
	return Interval{max(0, p.Hold()-p.UpUnseen), p.Hold() + p.DownUnseen}
}

// Span returns the time for which the press is down, in a log that ends at end.
func (p Press) Span(end Micros) Span { return Span{p.Down, min(p.Up, end)} }

// Toggle is a start or a stop of recording that a press caused.
type Toggle struct {
	At    Micros
	To    State // StateRecording for a start, StateStandby for a stop
	Press int   // number of the press
}

// StateChange is the state from At on.
type StateChange struct {
	At    Micros
	State State
}

// TakeEnd says what ended a take.
type TakeEnd string

// What can end a take.
const (
	EndPress    TakeEnd = "press"
	EndPowerOff TakeEnd = "power-off"
	EndUnknown  TakeEnd = "unknown"
	EndLog      TakeEnd = "log-end"
)

// Take is one unbroken stretch of recording, [Start, End).
type Take struct {
	N          int // from 1, in order of time
	Start, End Micros
	Ended      TakeEnd
	EndedBy    int // number of the press that ended it, 0 if none did
}

// Length returns the duration of the take.
func (t Take) Length() Micros { return t.End - t.Start }

// Span returns the time that the take covers.
func (t Take) Span() Span { return Span{t.Start, t.End} }

// Record is what the [Camera] did, in order of time.
type Record struct {
	Presses []Press
	Toggles []Toggle
	States  []StateChange // the state at 0 and every change, the last of each instant
	Takes   []Take        // none of zero length
}

// Clear empties the record and keeps its memory.
func (r *Record) Clear() {
	r.Presses, r.Toggles, r.States, r.Takes = r.Presses[:0], r.Toggles[:0], r.States[:0], r.Takes[:0]
}

// StateAt returns the state at a time of the log.
func (r *Record) StateAt(at Micros) State {
	state := StateUnknown
	for _, change := range r.States {
		if change.At > at {
			break
		}
		state = change.State
	}
	return state
}

// StateSpans yields every state of the camera with its time, in a log that ends
// at end.
func (r *Record) StateSpans(end Micros) iter.Seq2[State, Span] {
	return func(yield func(State, Span) bool) {
		for i, change := range r.States {
			until := end
			if i+1 < len(r.States) {
				until = r.States[i+1].At
			}
			if !yield(change.State, Span{change.At, until}) {
				return
			}
		}
	}
}

// setState records a change of state. It keeps only the last of several at one
// instant, and none that repeats the state.
func (r *Record) setState(at Micros, state State) {
	if n := len(r.States); n > 0 && r.States[n-1].At == at {
		r.States = r.States[:n-1]
	}
	if n := len(r.States); n > 0 && r.States[n-1].State == state {
		return
	}
	r.States = appendDoubling(r.States, StateChange{at, state})
}

// addTake records a take unless its length is zero.
func (r *Record) addTake(t Take) {
	if t.Length() > 0 {
		t.N = len(r.Takes) + 1
		r.Takes = appendDoubling(r.Takes, t)
	}
}

// appendDoubling is append for slices that grow with a log. It doubles the
// capacity: append's own steps of a quarter leave four times as much garbage.
func appendDoubling[T any](list []T, item T) []T {
	if n := len(list); n == cap(list) {
		list = append(make([]T, 0, max(4, 2*n)), list...)
	}
	return append(list, item)
}
