package sim

// Order puts what a clock stamped into the order of its times. What comes a
// little late was overtaken on its way. What is far out of place, in the past or
// the future, waits for what comes after it: if that goes on where the clock was
// before, the stamp was broken; else the clock has jumped, and one that jumped back
// began anew. The zero value expects the first stamp.
type Order struct {
	begun bool
	last  Micros // the latest that has its place
	waits bool
	held  Micros // the one that waits
}

// Bounds of [Order]: a stamp less than LateBy before the latest came late, one more
// than AheadBy after it is out of place.
const (
	LateBy  = Second
	AheadBy = 10 * Second
)

// Place is what becomes of a stamp.
type Place int

// The places. Nowhere is that of no stamp.
const (
	Nowhere Place = iota
	InPlace       // it goes on from those before it
	Anew          // its clock begins with it
	TooLate       // left out
	Broken        // left out
	Waits         // until the next one comes
)

// Next takes the next stamp. It returns what becomes of the one that waited, if
// one did, and then of this one.
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
		earliest = o.last // else it may go on from the one that waits
	}
	if o.waits && next >= earliest && next <= o.last+AheadBy {
		o.waits = false
		return Broken
	}
	return o.End()
}

// End returns what becomes of the stamp that waits where none comes after it.
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
