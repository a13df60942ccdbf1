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

// Bounds of [Order]: a stamp less than LateBy before the latest is late; one
// more than AheadBy after it is out of place.
const (
	LateBy  = Second
	AheadBy = 10 * Second
)

// Place says what becomes of a stamp.
type Place int

// The places. Nowhere means that there was no stamp.
const (
	Nowhere Place = iota
	InPlace       // it continues from the stamps before it
	Anew          // the clock restarted with it
	TooLate       // left out
	Broken        // left out
	Waits         // until the next one comes
)

// Next takes the next stamp. It returns what becomes of the waiting stamp, if
// any, and of this one.
func (o *Order) Next(at Micros) (waited, this Place) {
	waited = o.resolve(at)
	switch ahead := at - o.last; {
	case !o.begun:
		o.begun, o.last = true, at
		return waited, Anew
	case ahead < 0 && -ahead < LateBy:
		return waited, TooLate
	case ahead < 0 || ahead > AheadBy:
		o.waits, o.held = true, at
		return waited, Waits
	}
	o.last = at
	return waited, InPlace
}

// resolve decides about the stamp that waits, by the one after it.
func (o *Order) resolve(next Micros) Place {
	earliest := o.last - LateBy + 1
	if o.held < o.last {
		earliest = o.last // otherwise it may continue from the waiting stamp
	}
	if o.waits && next >= earliest && next <= o.last+AheadBy {
		o.waits = false
		return Broken
	}
	return o.End()
}

// End returns what becomes of the waiting stamp if no other follows.
func (o *Order) End() Place {
	if !o.waits {
		return Nowhere
	}
	back := o.held < o.last
	o.waits, o.last = false, o.held
	if back {
		return Anew
	}
	return InPlace
}
