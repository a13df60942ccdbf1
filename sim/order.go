package sim

// Order checks the order of time stamps. A stamp slightly earlier than the
// latest was overtaken on its way. A stamp far out of place, in the past or the
// future, waits for the next one: if that continues from before, the waiting
// stamp was broken; otherwise the clock has jumped, and if it jumped back, it
// restarted. The zero value expects the first stamp.
type Order struct {
	begun bool
	last  Micros // the latest accepted stamp
	waits bool
	held  Micros // the stamp that waits
}

// Bounds of what is late and what is too far ahead; see [Follow].
const (
	lateBy  = Second
	AheadBy = 10 * Second
)

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

// Decision says what becomes of a stamp.
type Decision int

// The places. NoStamp means that there was no stamp.
const (
	NoStamp       Decision = iota
	Accepted               // it continues from the stamps before it
	Restarted              // the clock restarted with it
	DroppedLate            // left out
	DroppedBroken          // left out
	Held                   // until the next one comes
)

// Next takes the next stamp. It returns what becomes of the waiting stamp, if
// any, and of this one.
func (o *Order) Next(at Micros) (waited, this Decision) {
	waited = o.resolve(at)
	if !o.begun {
		o.begun, o.last = true, at
		return waited, Restarted
	}
	switch Follow(o.last, at) {
	case Late:
		return waited, DroppedLate
	case Ahead, Back:
		o.waits, o.held = true, at
		return waited, Held
	}
	o.last = at
	return waited, Accepted
}

// resolve decides about the stamp that waits, by the one after it.
func (o *Order) resolve(next Micros) Decision {
	fits := Follow(o.last, next)
	// A late stamp after one that jumped back may continue from that one.
	if o.waits && (fits == InTime || fits == Late && o.held > o.last) {
		o.waits = false
		return DroppedBroken
	}
	return o.End()
}

// End returns what becomes of the waiting stamp if no other follows.
func (o *Order) End() Decision {
	if !o.waits {
		return NoStamp
	}
	back := o.held < o.last
	o.waits, o.last = false, o.held
	if back {
		return Restarted
	}
	return Accepted
}
