package sim

// CertainBand returns the holds of the switch that toggle for good, after settle
// and one-shot, at every phase of link and refresh, for every value in the range
// of a threshold, with no frame lost. The band is empty (From ≥ To) if no hold is
// certain; To is [Never] if no hold is too long. ok is false if both edges of the
// switch start a pulse, so that the hold makes no difference.
//
// Sampled every T, a pulse of width w appears to last ⌊w/T⌋·T or ⌈w/T⌉·T,
// depending on the phase. So the shortest certain hold is rounded up to whole
// periods of the refresh and of the link, and the longest is rounded down.
func (r Rig) CertainBand() (band Zone, ok bool) {
	none := Zone{Never, 0, EffectToggles}
	switch {
	case r.OneShot.Trigger == TriggerBoth:
		return none, false
	case r.Inverted() || r.Link.Frame > r.SignalLoss.StaleAfter && r.SignalLoss.Then != LossHold:
		return none, true // the camera never sees a flick as one press
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
		least, most = 1, Never // any hold will do: the pulse decides
	}
	if settle := r.Switch.Settle; settle > 0 {
		least = max(least, settle+1) // a move back at the very end of settle cancels it (M4)
	}
	band = Zone{roundUp(least, r.Link.Frame), Never, EffectToggles}
	if most != Never {
		band.To = roundDown(most, r.Link.Frame) + 1
	}
	return band, true
}

// Aim returns the hold to aim for: the geometric mean of the ends of the
// certain band, rounded to 10 ms. The geometric mean is used because the
// scatter of a produced interval grows with its length (Repp 2005, doi
// 10.3758/BF03206433). If the band has no upper end, the aim is a deliberate
// flick of 200 ms (common practice, no source), or twice the shortest certain
// hold if that is longer. If the band is empty, it is the geometric mean of the
// thresholds. ok is false if both edges of the switch start a pulse.
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

// roundUp and roundDown round to a multiple of a period; a period of 0 means no
// rounding.
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
