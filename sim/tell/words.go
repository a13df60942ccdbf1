package tell

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"flicktally/sim"
)

// The words for presses, takes, chances and so on, in reports and on screens. A
// dash means that there is nothing to say.

// Held says how long a press was held.
func Held(p sim.Press) string {
	switch {
	case p.Open():
		return "still down"
	case p.FromStart:
		return p.Hold().Rounded() + " from the start"
	default:
		return p.Hold().Rounded()
	}
}

// HowHeld says how long a press was held, in a sentence: "held 300 ms".
func HowHeld(p sim.Press) string {
	if p.Open() {
		return Held(p)
	}
	return "held " + Held(p)
}

// ByHand is [HandOf] for the flick behind a press.
func ByHand(r *sim.Replay, p sim.Press) string {
	if p.Flick == 0 {
		return "-"
	}
	return HandOf(r, r.Flicks[p.Flick-1])
}

// HandOf writes the holds of the hand that the samples allow for a flick.
func HandOf(r *sim.Replay, f sim.Flick) string {
	bounds, ok := f.HandBounds(r.Rig.Link)
	switch {
	case !ok:
		return "-"
	case bounds.Exact():
		return "exact"
	}
	return holdsOf(bounds)
}

// holdsOf writes a range of holds rounded, or in full where rounding would make
// both ends look the same.
func holdsOf(i sim.Interval) string {
	if !i.Exact() && i.Low.Rounded() == i.High.Rounded() {
		return strings.TrimSuffix(i.Low.Exact(), " ms") + " to " + i.High.Exact()
	}
	return i.Rounded()
}

// distinct writes two durations rounded, or in full if rounding would make
// different ones look the same.
func distinct(a, b sim.Micros) (string, string) {
	least, most := a.Rounded(), b.Rounded()
	if a != b && least == most {
		return a.Exact(), b.Exact()
	}
	return least, most
}

// Margin says how far an accepted press was from the nearest threshold that
// matters, for any possible value of the threshold.
func Margin(r *sim.Replay, p sim.Press) string {
	switch least, most, verdict := margin(r, p); verdict {
	case sim.VerdictShort:
		return upTo(least, most) + " too short"
	case sim.VerdictLong:
		return upTo(least, most) + " too long"
	case sim.VerdictToggle:
		return upTo(least, most) + " to spare"
	default:
		return "-"
	}
}

// Spare returns how far a press's hold was from the nearest possible value of a
// threshold; ok is false unless the press certainly toggled for good.
func Spare(r *sim.Replay, p sim.Press) (least sim.Micros, ok bool) {
	least, _, verdict := margin(r, p)
	return least, verdict == sim.VerdictToggle && least > 0
}

// margin returns the least and the greatest distance of a press's hold from the
// nearest threshold, and on which side it is: short, long, or toggle between the
// two; "" if the press has no margin. If a long press toggles for good, long_press
// is not a threshold.
func margin(r *sim.Replay, p sim.Press) (least, most sim.Micros, verdict sim.Verdict) {
	short, long, hold := r.Rig.Camera.MinPress, r.Rig.Camera.LongPress, p.Hold()
	if p.Open() || r.Window.Overruled(p) {
		return 0, 0, ""
	}
	switch endless := r.Rig.Camera.Zones().Endless(); {
	case p.Verdict == sim.VerdictShort:
		return short.Low - hold, short.High - hold, sim.VerdictShort
	case endless && (p.Verdict == sim.VerdictToggle || p.Verdict == sim.VerdictLong):
		return hold - short.High, hold - short.Low, sim.VerdictToggle
	case p.Verdict == sim.VerdictLong:
		return hold - long.High, hold - long.Low, sim.VerdictLong
	case p.Verdict == sim.VerdictToggle:
		return min(hold-short.High, long.Low-hold), min(hold-short.Low, long.High-hold), sim.VerdictToggle
	default:
		return 0, 0, ""
	}
}

// upTo writes a duration known to lie between two bounds.
func upTo(least, most sim.Micros) string {
	switch {
	case least == most:
		return most.Rounded()
	case least <= 0:
		return "up to " + most.Rounded()
	default:
		return sim.Interval{Low: least, High: most}.Rounded()
	}
}

// Toggles says which holds toggle for good. If a threshold is a range, they are
// those of the likeliest history, rounded, as nobody knows the microseconds.
func Toggles(r *sim.Replay) string {
	zone, write, likely := r.Rig.Camera.ZonesAt(r.Window).ForGood(), sim.Micros.Exact, ""
	if c := r.Rig.Camera; !c.MinPress.Exact() || !c.LongPress.Exact() {
		write, likely = sim.Micros.Rounded, "most likely "
	}
	if zone.To == sim.Never {
		return fmt.Sprintf("%sa hold of %s or longer toggles", likely, write(zone.From))
	}
	return fmt.Sprintf("%sa hold from %s to less than %s toggles", likely, write(zone.From), write(zone.To))
}

// Condition says what a camera in a state is, as in "the camera is recording".
func Condition(s sim.State) string {
	switch s {
	case sim.StateStandby:
		return "in standby"
	case sim.StateUnknown:
		return "in an unknown state"
	default:
		return string(s)
	}
}

// Ended says what ended a take.
func Ended(t sim.Take) string {
	switch t.Ended {
	case sim.EndPowerOff:
		return fmt.Sprintf("press %d: switched off", t.EndedBy)
	case sim.EndUnknown:
		return fmt.Sprintf("press %d: not known", t.EndedBy)
	case sim.EndLog:
		return "the end of the log"
	default:
		return fmt.Sprintf("press %d", t.EndedBy)
	}
}

// Chance writes a chance, 0 to 1, in percent. Only what is certain is 0 % or
// 100 %.
func Chance(chance float64) string {
	switch rounded := math.Round(100 * chance); {
	case rounded == 0 && chance > 0:
		return "less than 1 %"
	case rounded == 100 && chance < 1:
		return "more than 99 %"
	default:
		return fmt.Sprintf("%.0f %%", rounded)
	}
}

// ChanceOver writes the chance over a stretch: "40 %", or "40 % to 60 %".
func ChanceOver(b sim.BeliefStretch) string {
	from, to := Chance(b.Recording), Chance(b.RecordingTo)
	if from == to {
		return from
	}
	return from + " to " + to
}

// Numbers lists ascending numbers, with runs joined: "1–14, 17, 20–22".
func Numbers(numbers []int) string {
	var runs []string
	for i := 0; i < len(numbers); {
		last := i
		for last+1 < len(numbers) && numbers[last+1] == numbers[last]+1 {
			last++
		}
		run := strconv.Itoa(numbers[i])
		if last > i {
			run += "–" + strconv.Itoa(numbers[last])
		}
		runs = append(runs, run)
		i = last + 1
	}
	return strings.Join(runs, ", ")
}

// Counted writes a number of things: "1 press", "3 presses".
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Ranges writes ranges of pulse width: "1000 to below 1300 and 1700 to below 2250 µs".
func Ranges(ranges []sim.PulseRange) string {
	var texts []string
	for _, r := range ranges {
		texts = append(texts, fmt.Sprintf("%v to below %v", r.Low, r.High))
	}
	return strings.Join(texts, " and ") + " µs"
}
