package sim

import "math"

// Effect is what an accepted press does to the camera.
type Effect string

// The effects of a hold.
const (
	EffectNothing Effect = "nothing"
	// EffectToggles: recording changes, and nothing takes that back.
	EffectToggles Effect = "toggles"
	// EffectLong: the long action happens, and no toggle.
	EffectLong Effect = "long"
	// EffectTogglesThenLong: recording changes, and then the long action follows.
	EffectTogglesThenLong Effect = "toggles-then-long"
)

// Zone is a range [From, To) of holds with the same effect. To is [Never] if
// the range has no end.
type Zone struct {
	From, To Micros
	Effect   Effect
}

// Contains reports whether a hold lies in the zone.
func (z Zone) Contains(hold Micros) bool { return hold >= z.From && hold < z.To }

// Zones are the zones of a camera. They start at 0 and follow each other without
// a gap, neighbours differ in effect, and the last has no end. What a hold does
// is decided here and nowhere else.
type Zones []Zone

// Zones returns what a press of each hold does, at the middle of each threshold
// given as a range (M7, M8).
func (c CameraSpec) Zones() Zones { return c.ZonesAt(c.Window()) }

// ZonesAt returns what a press of each hold does with the given thresholds.
func (c CameraSpec) ZonesAt(w Window) Zones {
	beyond := EffectLong
	switch {
	case c.ToggleOn == ToggleOnPress && c.LongAction == ActionNone:
		beyond = EffectToggles
	case c.ToggleOn == ToggleOnPress:
		beyond = EffectTogglesThenLong
	case c.LongAction == ActionNone:
		beyond = EffectNothing
	}
	var zones Zones
	for _, next := range []Zone{
		{0, w.MinPress, EffectNothing},
		{w.MinPress, w.LongPress, EffectToggles},
		{w.LongPress, Never, beyond},
	} {
		n := len(zones)
		switch {
		case next.From == next.To:
		case n > 0 && zones[n-1].Effect == next.Effect:
			zones[n-1].To = next.To
		default:
			zones = append(zones, next)
		}
	}
	return zones
}

// Of returns the zone of a hold, which must not be negative.
func (z Zones) Of(hold Micros) Zone {
	for _, zone := range z {
		if zone.Contains(hold) {
			return zone
		}
	}
	return z[len(z)-1] // Never: the press does not end
}

// ForGood returns the holds that toggle for good: recording changes and no long
// action takes that back.
func (z Zones) ForGood() Zone {
	for _, zone := range z {
		if zone.Effect == EffectToggles {
			return zone
		}
	}
	panic("internal error: a camera without a press window")
}

// Endless reports whether no hold is too long: a long one toggles for good too.
func (z Zones) Endless() bool { return z.ForGood().To == Never }

// certain returns the zones at the narrowest press window that the rig allows.
// What toggles for good there does so for every value of a threshold.
func (c CameraSpec) certain() Zones {
	return c.ZonesAt(Window{c.MinPress.High, c.LongPress.Low})
}

// OneShotWidth returns the suggested pulse width of a one-shot: the middle of
// the holds that toggle for good for every value in the range of a threshold.
func (c CameraSpec) OneShotWidth() Micros { return c.certain().ForGood().middle() }

// usualHold is the length of a deliberate flick: common practice, no source.
const usualHold = 200 * Millisecond

// middle returns the geometric mean of the zone's ends, rounded to 10 ms if the
// zone is wide enough. For a zone without an end it returns a deliberate flick.
func (z Zone) middle() Micros {
	if z.To == Never {
		return max(usualHold, 2*z.From)
	}
	exact := geometricMean(z.From, z.To)
	const step = 10 * Millisecond
	if z.To-z.From < step {
		return exact
	}
	rounded := roundTo(exact, step)
	switch {
	case rounded < z.From:
		return rounded + step
	case rounded >= z.To:
		return rounded - step
	}
	return rounded
}

func geometricMean(a, b Micros) Micros {
	return Micros(math.Sqrt(float64(a) * float64(b)))
}
