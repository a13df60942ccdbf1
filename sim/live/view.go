package live

import (
	"slices"

	"flicktally/sim"
	"flicktally/sim/belief"
)

// Input is the state of the stream.
type Input string

// The states of a stream.
const (
	Waiting Input = "waiting" // for the first sample
	Running Input = "running" // samples arrive
	Lost    Input = "lost"    // the signal is lost (M2), or no samples arrive
	Ended   Input = "ended"
)

// Phase says what a release of the button would do now.
type Phase string

// The phases. NoPress is the zero value.
const (
	NoPress  Phase = ""
	tooShort Phase = "too-short"   // it would be too early
	mayCount Phase = "may-count"   // it might be too early
	Counts   Phase = "counts"      // it would toggle, or the press has toggled already
	LetGo    Phase = "let-go"      // it would toggle, with little time left
	MayLong  Phase = "may-be-long" // it might be too late
	IsLong   Phase = "long"        // the press is too long
	Ignored  Phase = "ignored"     // the camera did not accept the press
)

// letGoWithin is how long before a press may become long the warning comes: twice
// the time to see it and to move, but at most half of the hold up to then.
const letGoWithin = 500 * sim.Millisecond

// View is what is known at one moment.
type View struct {
	Input   Input
	At      sim.Micros // the moment, in stream time
	Segment int        // of the stream, from 1; 0 before the first sample
	// LostFor is how long the signal has been lost, or no sample has arrived.
	LostFor sim.Micros

	State sim.State // the likeliest; unknown if nothing shows the state at the start
	// Recording is the chance, 0 to 1, that the camera records. In the state
	// unknown it is meaningless unless Open.
	Recording float64
	Open      bool // thresholds or the start are unknown, so that there is a chance
	// Take is the running take, up to the current moment; its N is 0 if none runs.
	Take     sim.Take
	Takes    int        // so far, including the running one
	Recorded sim.Micros // in all takes
	// Replay is the likeliest flight so far; nil before the first sample.
	Replay *sim.Replay

	Flicks int         // so far, including a current one
	Unseen []sim.Flick // the flicks that never reached the camera, in order of time
	Past   []sim.Press // the presses that are over, in order of time
	InHand sim.Press   // the current press; its N is 0 while the button is up
	Phase  Phase
	// LongAt is the first moment at which the current press may become long;
	// [sim.Never] if it cannot.
	LongAt sim.Micros
	// SafeAt is the time from which a press will be accepted with a chance of
	// 95 %; [sim.Never] if that needs another event first.
	SafeAt sim.Micros

	MinPress, LongPress sim.Interval // the thresholds that remain possible
	Seen                int          // number of glances
	// Doubts are sentences about glances that do not fit.
	Doubts []string
}

// Look is a moment of a stream that has not been evaluated yet.
type Look struct {
	input  Input
	silent sim.Micros // since the last arrival
	chain  *sim.Chain // View advances it to at
	at     sim.Micros
	flight Flight
}

// Look returns the current moment. It shares nothing with the tally.
func (t *Tally) Look(now sim.Micros) Look {
	if t.chain == nil {
		if t.ended {
			return Look{input: Ended}
		}
		return Look{input: Waiting}
	}
	l := Look{input: Running, at: t.at(now), silent: max(0, now-t.arrived), chain: t.chain.Clone(), flight: t.flight}
	l.flight.Seen = slices.Clone(t.flight.Seen)
	switch {
	case t.ended:
		l.input = Ended
	// If the wire itself is recorded, silence means that its level has not changed.
	case t.tap != sim.TapWire && l.silent >= t.rig.SignalLoss.StaleAfter:
		l.input = Lost
	}
	return l
}

// View evaluates the moment. It may be called only once. With too many presses to
// resolve, the state is unknown, and a doubt says so.
func (l Look) View() View {
	v := View{Input: l.input, At: l.at, Segment: l.flight.Segment, State: sim.StateUnknown, LongAt: sim.Never, SafeAt: sim.Never}
	if l.chain == nil {
		return v
	}
	replay := l.chain.FinishAt(l.at)
	v.lose(l, replay)
	known, err := belief.ResolveQuickly(replay, belief.Observations{Seen: l.flight.Seen})
	if err != nil {
		v.Doubts = []string{err.Error()}
		return v
	}
	v.camera(known)
	v.judgePress(known)
	v.lookAhead(known)
	v.Seen = len(l.flight.Seen)
	for _, f := range known.Findings {
		v.Doubts = append(v.Doubts, f.Text)
	}
	return v
}

// lose sets the state of the input, and for how long the signal has been lost.
func (v *View) lose(l Look, r *sim.Replay) {
	if v.Input == Ended {
		return
	}
	if l.input == Lost {
		v.LostFor = l.silent
	}
	if n := len(r.Lost); n > 0 && r.Lost[n-1].To == r.End && l.chain.SignalLost() {
		v.Input, v.LostFor = Lost, max(v.LostFor, r.Lost[n-1].Length())
	}
}

// camera sets the state and the history of the camera.
func (v *View) camera(known *belief.Result) {
	r := known.Replay
	v.State = r.StateAt(r.End)
	v.MinPress, v.LongPress = known.MinPress, known.LongPress
	if v.State == sim.StateRecording {
		v.Recording = 1
	}
	if n := len(r.Belief); n > 0 {
		v.Open, v.Recording = true, r.Belief[n-1].RecordingTo
	}
	v.Takes, v.Recorded, v.Replay = len(r.Takes), r.Recorded(), r
	if n := len(r.Takes); n > 0 && r.Takes[n-1].Ended == sim.EndLog {
		v.Take = r.Takes[n-1]
	}
	v.Flicks, v.Unseen, v.Past = len(r.Flicks), Unseen(r.Flicks), r.Presses
	if n := len(r.Presses); n > 0 && r.Presses[n-1].Open() {
		v.Past, v.InHand = r.Presses[:n-1], r.Presses[n-1]
	}
}

// Unseen returns the flicks that never reached the camera as a press.
func Unseen(flicks []sim.Flick) (unseen []sim.Flick) {
	for _, f := range flicks {
		if f.Outcome == sim.FlickUnseen {
			unseen = append(unseen, f)
		}
	}
	return unseen
}

// LastUnseen returns the last flick if it never reached the camera; otherwise N
// is 0.
func (v *View) LastUnseen() sim.Flick {
	if n := len(v.Unseen); n > 0 && v.Unseen[n-1].N == v.Flicks {
		return v.Unseen[n-1]
	}
	return sim.Flick{}
}

// Last returns the last press that is over; its N is 0 before the first.
func (v *View) Last() sim.Press {
	if len(v.Past) == 0 {
		return sim.Press{}
	}
	return v.Past[len(v.Past)-1]
}

// judgePress sets the phase of the current press.
func (v *View) judgePress(known *belief.Result) {
	if v.InHand.N == 0 {
		return
	}
	p, accepted := v.InHand, known.InHand() >= 0.5
	held := v.At - p.Down
	harmless := v.Replay.Rig.Camera.Zones().Endless()
	if accepted && !harmless {
		v.LongAt = p.Down + v.LongPress.Low
	}
	switch {
	case !accepted:
		v.Phase = Ignored
	case harmless && held >= v.MinPress.High:
		v.Phase = Counts
	case held >= v.LongPress.High:
		v.Phase = IsLong
	case held >= v.LongPress.Low:
		v.Phase = MayLong
	case held < v.MinPress.Low:
		v.Phase = tooShort
	case v.LongPress.Low-held <= min(letGoWithin, v.LongPress.Low/2):
		v.Phase = LetGo
	case held < v.MinPress.High:
		v.Phase = mayCount
	default:
		v.Phase = Counts
	}
}

// lookAhead sets the time from which a press counts. Where the replay has no state
// for lack of a glance, but all possibilities now agree on one, it sets that state.
func (v *View) lookAhead(known *belief.Result) {
	v.SafeAt = known.SafeFrom()
	if v.State == sim.StateUnknown {
		v.State = known.EndState()
	}
}
