package sim

// CertainBand returns the holds of the switch that toggle for good at every
// phase of link and refresh, after settle and one-shot, with no frame lost, and
// for every value that a threshold may have. It is empty, From ≥ To, where there
// is no such hold; To is [Never] where no hold is too long. It is not known, ok
// false, where both edges of the switch start a pulse: then no hold of the hand
// counts.
//
// What samples a pulse of width w every T sees it last ⌊w/T⌋·T or ⌈w/T⌉·T, by
// its phase. So the shortest certain hold is rounded up to whole periods of the
// refresh and of the link, and the longest is rounded down.
func (r Rig) CertainBand() (band Zone, ok bool) {
	none := Zone{Never, 0, EffectToggles}
	switch {
	case r.OneShot.Trigger == TriggerBoth:
		return none, false
	case r.Inverted() || r.Link.Frame > r.SignalLoss.StaleAfter && r.SignalLoss.Then != LossHold:
		return none, true // the camera never sees the flick as one press
	}
	good := r.Camera.certain().ForGood()
	least, most := max(1, roundUp(good.From, r.Line.Update), r.Line.Update), Never
	if good.To != Never {
		most = roundDown(good.To-1, r.Line.Update)
	}
	if r.OneShot.Trigger == TriggerRising {
		width := r.OneShot.Width
		if roundDown(width, r.Line.Update) < least || roundUp(width, r.Line.Update) > most {
			return none, true
		}
		least, most = 1, Never // of the hand: the pulse has a width of its own
	}
	if settle := r.Switch.Settle; settle > 0 {
		least = max(least, settle+1) // what goes back at the very end of settle was not held (M4)
	}
	band = Zone{roundUp(least, r.Link.Frame), Never, EffectToggles}
	if most != Never {
		band.To = roundDown(most, r.Link.Frame) + 1
	}
	return band, true
}

// Aim returns the hold to aim for: the middle of the certain band, as the
// geometric mean of its ends rounded to 10 ms, for the scatter of a produced
// interval grows with its length (Repp 2005, doi 10.3758/BF03206433). Where the
// band has no end it is a deliberate flick of 200 ms (common practice, no
// source), or twice the shortest certain hold where that is longer; where the
// band is empty, the geometric mean of the thresholds. There is none, ok false,
// where both edges of the switch start a pulse.
func (r Rig) Aim() (hold Micros, ok bool) {
	band, ok := r.CertainBand()
	switch {
	case !ok:
		return 0, false
	case band.From >= band.To:
		w := r.Camera.Window()
		return geometricMean(w.MinPress, w.LongPress), true
	default:
		return band.middle(), true
	}
}

// roundUp and roundDown round to a multiple of a period; 0 rounds nothing.
func roundUp(m, period Micros) Micros {
	if period == 0 {
		return m
	}
	return (m + period - 1) / period * period
}

func roundDown(m, period Micros) Micros {
	if period == 0 {
		return m
	}
	return m / period * period
}
