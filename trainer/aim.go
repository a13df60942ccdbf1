package trainer

import (
	"math"

	"flicktally/sim"
)

// safeHolds returns the holds of the hand that toggle whatever the phases of
// link and refresh, and wherever in its range a threshold lies. Empty, Low ≥
// High, where there are none. With a one-shot any hold toggles that is seen.
func safeHolds(rig sim.Rig) sim.Interval {
	blur := rig.Link.Frame + rig.Line.Update
	low := max(sim.LeastHold, rig.Switch.Settle+rig.Link.Frame)
	if rig.OneShot.Trigger != sim.TriggerOff {
		return sim.Interval{Low: low, High: sim.MaxDuration}
	}
	return sim.Interval{
		Low:  max(low, rig.Camera.MinPress.High+blur),
		High: rig.Camera.LongPress.Low - blur,
	}
}

// Aim returns the hold to aim for: the one that is as many times longer than
// the shortest safe hold as it is shorter than the longest, since the scatter of
// a produced interval grows with its length (Repp 2005, doi
// 10.3758/BF03206433). Where no hold is safe, the middle of the press window.
func Aim(rig sim.Rig) sim.Micros {
	safe := safeHolds(rig)
	switch {
	case rig.OneShot.Trigger != sim.TriggerOff:
		return roundTo10ms(max(250*sim.Millisecond, 2*safe.Low))
	case safe.Low < safe.High:
		return roundTo10ms(sim.Micros(math.Sqrt(float64(safe.Low) * float64(safe.High))))
	default:
		w := rig.Camera.Window()
		return (w.MinPress + w.LongPress) / 2
	}
}

// roundTo10ms rounds a hold to what a screen shows, unless it is shorter.
func roundTo10ms(m sim.Micros) sim.Micros {
	const step = 10 * sim.Millisecond
	if m < 2*step {
		return m
	}
	return (m + step/2) / step * step
}
