package sim

// Order judges time stamps as they arrive. A stamp slightly earlier than the
// latest was overtaken on its way. A stamp far out of place, in the past or the
// future, is held until the next one: if that continues from the latest, the
// held stamp was broken; otherwise the clock has jumped or, if it jumped back,
// restarted. The zero value expects the first stamp.
type Order struct {
	begun   bool
	latest  Micros // accepted
	holding bool
	held    Micros
}

// AheadBy is how far ahead of the latest a stamp in time may be; see [Follow].
const AheadBy = 10 * Second

// lateBy is how far behind the latest a stamp was overtaken, not a restart.
const lateBy = Second

// Sequel is how a time stamp follows the latest one accepted.
type Sequel int

// The sequels.
const (
	InTime Sequel = iota // not before the latest, and at most AheadBy after it
	Late                 // less than a second before it: overtaken on its way
	Ahead                // more than AheadBy after it: broken if its successor fits the latest
	Back                 // a second or more before it: the clock restarted, or the stamp is broken
)

// Follow returns how a stamp follows the latest. This is the one rule for clocks
// that run late or jump, in logs and streams alike.
func Follow(latest, at Micros) Sequel {
	switch ahead := at - latest; {
	case uint64(ahead) <= uint64(AheadBy):
		return InTime
	case ahead > 0:
		return Ahead
	case -ahead < lateBy:
		return Late
	}
	return Back
}

// Decision says what to do with a stamp.
type Decision int

// The decisions. NoStamp means that there was no stamp to decide about.
const (
	NoStamp Decision = iota
	Accepted
	Restarted // accepted; the clock restarted with it
	DroppedLate
	DroppedBroken
	Held // until the next one arrives
)

// Next takes the next stamp. It returns the decisions about the held stamp, if
// there is one, and about this one.
func (o *Order) Next(at Micros) (held, this Decision) {
	held = o.resolve(at)
	if !o.begun {
		o.begun, o.latest = true, at
		return held, Restarted
	}
	switch Follow(o.latest, at) {
	case Late:
		return held, DroppedLate
	case Ahead, Back:
		o.holding, o.held = true, at
		return held, Held
	}
	o.latest = at
	return held, Accepted
}

// resolve decides about the held stamp, given the one after it.
func (o *Order) resolve(next Micros) Decision {
	fits := Follow(o.latest, next)
	// A late stamp after one that jumped back may continue from that one.
	if o.holding && (fits == InTime || fits == Late && o.held > o.latest) {
		o.holding = false
		return DroppedBroken
	}
	return o.End()
}

// End returns the decision about the held stamp if no other follows.
func (o *Order) End() Decision {
	if !o.holding {
		return NoStamp
	}
	back := o.held < o.latest
	o.holding, o.latest = false, o.held
	if back {
		return Restarted
	}
	return Accepted
}
