package lanes

import (
	"math"

	"flicktally/sim"
)

// Strip is the press window drawn as a strip: which holds do nothing, toggle,
// or are too long. It looks the same wherever a hold is judged. The scale is
// logarithmic, so that a window from 80 ms to 1.5 s shows both ends; places are
// shares of its length, 0 to 1.
type Strip struct {
	Zones []StripZone
	Marks []StripMark
	low   sim.Micros // the hold at its start
	reach float64    // the logarithm of the ratio of its ends
}

// StripZone is a stretch of a strip.
type StripZone struct {
	From, To float64 // shares of the strip
	Look     Look
	Name     string // what a hold in it does
}

// StripMark labels a threshold below a strip. A range has one mark.
type StripMark struct {
	At    float64 // its middle, as a share of the strip
	Words string
}

// StripOf returns the strip of a camera. What a hold within a threshold's range
// does is unknown.
func StripOf(c sim.CameraSpec) Strip { return stripWithin(c, 6, 6) }

// CloseStripOf returns a strip that ends closer to the window, to show a hold in
// detail.
func CloseStripOf(c sim.CameraSpec) Strip { return stripWithin(c, 2, 1.5) }

// stripWithin returns a strip that extends beyond the window by these factors.
func stripWithin(c sim.CameraSpec, before sim.Micros, beyond float64) Strip {
	low := max(c.MinPress.Low, sim.Millisecond) / before
	s := Strip{low: low, reach: math.Log(float64(c.LongPress.High) * beyond / float64(low))}
	zones := ZonesOf(c)
	for i, z := range zones {
		zone := StripZone{From: s.X(z.From), To: 1, Look: z.Look, Name: z.Name}
		if z.To != sim.Never {
			zone.To = s.X(z.To)
		}
		s.Zones = append(s.Zones, zone)
		switch {
		case z.Look == Unknown && z.To != sim.Never:
			s.Marks = append(s.Marks, StripMark{(zone.From + zone.To) / 2, sim.Interval{Low: z.From, High: z.To}.Rounded()})
		case i > 0 && zones[i-1].Look != Unknown:
			s.Marks = append(s.Marks, StripMark{zone.From, z.From.Rounded()})
		}
	}
	return s
}

// MarkPlaces returns where the middles of the marks' texts go on a strip of the
// given length, moved apart so that none overlap.
func (s Strip) MarkPlaces(length float64, width func(text string) float64) []float64 {
	var places []float64
	widest := 0.0
	for _, m := range s.Marks {
		places = append(places, m.At*length)
		widest = max(widest, width(m.Words))
	}
	if moved, ok := Spread(places, widest, widest/2, length-widest/2); ok {
		return moved
	}
	return places
}

// X returns the place of a hold, as a share of the strip, clamped to its ends.
func (s Strip) X(hold sim.Micros) float64 {
	return max(0, min(1, math.Log(float64(max(hold, s.low))/float64(s.low))/s.reach))
}

// At returns the zone in which a share of the strip lies.
func (s Strip) At(x float64) StripZone {
	for _, z := range s.Zones {
		if x < z.To {
			return z
		}
	}
	return s.Zones[len(s.Zones)-1]
}

// HoldZone is a range of holds [From, To), as drawn. To is [sim.Never] if it
// has no end.
type HoldZone struct {
	From, To sim.Micros
	Look     Look
	Name     string
}

// ZonesOf returns the zones of a camera, as drawn. A threshold that is a range has
// a zone of its own between its ends: a hold there may do either.
func ZonesOf(c sim.CameraSpec) []HoldZone {
	least := c.ZonesAt(sim.Window{MinPress: c.MinPress.Low, LongPress: c.LongPress.Low})
	most := c.ZonesAt(sim.Window{MinPress: c.MinPress.High, LongPress: c.LongPress.High})
	var all []HoldZone
	for from := sim.Micros(0); from != sim.Never; {
		a, b := least.Of(from), most.Of(from)
		zone := HoldZone{From: from, To: min(a.To, b.To)}
		zone.Look, zone.Name = effect(a, from, c)
		if a.Effect != b.Effect {
			_, other := effect(b, from, c)
			zone.Look, zone.Name = Unknown, other+" or "+zone.Name
		}
		all = append(all, zone)
		from = zone.To
	}
	return all
}

// effect returns how the zone of a hold is drawn.
func effect(z sim.Zone, hold sim.Micros, c sim.CameraSpec) (Look, string) {
	switch {
	case z.Effect == sim.EffectToggles:
		return Toggled, "toggles"
	case z.Effect == sim.EffectTogglesThenLong:
		return Long, "toggles, then long"
	case z.Effect == sim.EffectLong:
		return Long, "long"
	case hold < c.MinPress.High:
		return Short, "short"
	default:
		return Long, "too long"
	}
}
