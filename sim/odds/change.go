package odds

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"flicktally/sim"
)

// Change is a possible change and its effect.
type Change struct {
	// What is a key of the rig file, or a change by the pilot: "aim" for another
	// hold, "spread" for less scatter, "window" for a measured press window.
	What     string
	From, To string
	Answer   Answer  // of a flick after the change
	Saves    float64 // the additional share of flicks that toggle
	// Sure is false if the saving is within two standard errors of 0.
	Sure bool
}

// worthSaving is the saving below which a change is not worth mentioning: one
// flick in a million.
const worthSaving = 1e-6

// worthAnother is what a value of a setting has to save beyond an earlier one: one
// flick in a thousand. Earlier values demand less of the pilot. A one-shot on the
// rising edge, for example, leaves a flick as it is; one on both edges makes each
// move a press.
const worthAnother = 1e-3

// Changes varies one setting of the case at a time, keeps the best value of each,
// and ranks them by the share of flicks with the given hold that they save. A later
// value of a setting has to be clearly better. All changes except those of aim and
// window use the same movements of the hand. aims are other holds that the pilot
// may aim for.
func (c Case) Changes(hold sim.Micros, aims []sim.Micros, s Sampling) []Change {
	now := c.Ask(hold, s)
	variants := slices.Concat(c.settings(hold, aims)...)
	tried := make([]Change, len(variants))
	s.each(len(variants), func(i int) { tried[i] = variants[i].compare(now, variants[i].ask(s.alone())) })
	var ranked []Change
	for _, change := range tried {
		last := len(ranked) - 1
		switch {
		case change.Saves <= worthSaving:
		case last < 0 || ranked[last].What != change.What:
			ranked = append(ranked, change)
		case change.Saves > ranked[last].Saves+worthAnother:
			ranked[last] = change
		}
	}
	slices.SortStableFunc(ranked, func(a, b Change) int { return cmp.Compare(b.Saves, a.Saves) })
	return ranked
}

// variant is a value of a setting to try.
type variant struct {
	what, from, to string
	ask            func(Sampling) Answer
}

func (v variant) compare(now, then Answer) Change {
	saves := then.Chances[Toggles] - now.Chances[Toggles]
	doubt := math.Hypot(then.StandardError(Toggles), now.StandardError(Toggles))
	return Change{v.what, v.from, v.to, then, saves, saves > 2*doubt}
}

// trial is a case that is being varied, at a hold.
type trial struct {
	Case
	hold sim.Micros
}

// vary returns a variant of the trial with a change.
func (t trial) vary(what, from, to string, change func(*Case)) variant {
	change(&t.Case)
	return variant{what, from, to, func(s Sampling) Answer { return t.Ask(t.hold, s) }}
}

// settings lists the values to try: for each setting, other values that a pilot
// could choose.
func (c Case) settings(hold sim.Micros, aims []sim.Micros) [][]variant {
	t := trial{c, hold}
	rig := &c.Rig
	return [][]variant{
		t.durations("switch.settle", rig.Switch.Settle, func(c *Case) *sim.Micros { return &c.Rig.Switch.Settle }, settlesToTry...),
		t.presses(),
		t.oneShots(),
		t.durations("line.update", rig.Line.Update, func(c *Case) *sim.Micros { return &c.Rig.Line.Update },
			rig.Line.Update/2, rig.Line.Update/4),
		t.durations("link.frame", rig.Link.Frame, func(c *Case) *sim.Micros { return &c.Rig.Link.Frame },
			rig.Link.Frame/2, rig.Link.Frame/4),
		t.losses(),
		t.policies(),
		t.aims(aims),
		t.spreads(),
		t.measured(),
	}
}

// settlesToTry ranges from none to well above the bounce of a bad switch, 6.2
// ms (J. Ganssle, A Guide to Debouncing, quoted second-hand).
var settlesToTry = []sim.Micros{
	0, 2 * sim.Millisecond, 5 * sim.Millisecond, 10 * sim.Millisecond, 20 * sim.Millisecond, 50 * sim.Millisecond,
}

// durations varies a duration, leaving out the current one.
func (t trial) durations(what string, now sim.Micros, of func(*Case) *sim.Micros, values ...sim.Micros) []variant {
	var all []variant
	for _, to := range values {
		if to != now {
			all = append(all, t.vary(what, now.String(), to.String(), func(c *Case) { *of(c) = to }))
		}
	}
	return all
}

// presses moves the edge of the press range of a three-position switch to the
// other side of its centre (by convention 1500 µs, with ends at 1000 and 2000). The
// lever then enters the range later and leaves it earlier, or the other way round.
func (t trial) presses() []variant {
	spec, travel := t.Rig.Switch, t.Pilot.Travel
	if travel == 0 || len(spec.Press) != 1 {
		return nil
	}
	now := spec.Press[0]
	up := now.Contains(2000) && !now.Contains(1000)
	down := now.Contains(1000) && !now.Contains(2000)
	if !up && !down {
		return nil
	}
	to, shift := now, 2*travel
	const half = 250 // of the way between two positions
	switch {
	case up && now.Contains(1500):
		to.Low, shift = 1500+half, -shift
	case up:
		to.Low = 1500 - half
	case now.Contains(1500):
		to.High, shift = 1500-half, -shift
	default:
		to.High = 1500 + half
	}
	return []variant{t.vary("switch.press", rangeText(now), rangeText(to), func(c *Case) {
		c.Rig.Switch.Press = []sim.PulseRange{to}
		c.Pilot.Shift += shift
	})}
}

func rangeText(r sim.PulseRange) string { return fmt.Sprintf("[[%v, %v]]", r.Low, r.High) }

// oneShots gives every press one width, in the middle of the press window.
func (t trial) oneShots() []variant {
	now, width := t.Rig.OneShot, t.Rig.Camera.OneShotWidth()
	var all []variant
	for _, trigger := range sim.Triggers {
		to := sim.OneShotSpec{Trigger: trigger, Width: width, Rest: now.Rest}
		if oneShotText(to) != oneShotText(now) {
			all = append(all, t.vary("oneshot.trigger", oneShotText(now), oneShotText(to), func(c *Case) { c.Rig.OneShot = to }))
		}
	}
	return all
}

func oneShotText(o sim.OneShotSpec) string {
	if o.Trigger == sim.TriggerOff {
		return "off"
	}
	return string(o.Trigger) + ", width " + o.Width.String()
}

// losses halves the loss of the link.
func (t trial) losses() []variant {
	now := t.Rig.Link.Loss
	if now == 0 {
		return nil
	}
	return []variant{t.vary("link.loss", fmt.Sprint(now), fmt.Sprint(now/2), func(c *Case) { c.Rig.Link.Loss /= 2 })}
}

// policies varies the effect of a lost signal, if it can get lost during a flick.
func (t trial) policies() []variant {
	if !t.outages() {
		return nil
	}
	now := t.Rig.SignalLoss.Then
	return []variant{t.vary("signal_loss.then", string(now), string(sim.LossHold), func(c *Case) { c.Rig.SignalLoss.Then = sim.LossHold })}
}

// aims varies the hold that the pilot aims for.
func (t trial) aims(aims []sim.Micros) []variant {
	var all []variant
	for _, aim := range aims {
		if aim != t.hold && t.HoldMatters() {
			other := trial{t.Case, aim}
			all = append(all, other.vary("aim", t.hold.Rounded(), aim.Rounded(), func(*Case) {}))
		}
	}
	return all
}

// spreads halves the scatter of the hand: practice changes neither its mean nor its
// slips.
func (t trial) spreads() []variant {
	now := t.Pilot.Spread
	half := Spread{now.Fixed / 2, now.Relative / 2}
	return []variant{t.vary("spread", now.String(), half.String(), func(c *Case) { c.Pilot.Spread = half })}
}

// measured assumes a known press window and the best hold for it: the mean over
// a grid of equally likely windows.
func (t trial) measured() []variant {
	camera := t.Rig.Camera
	if !t.Closed() || camera.MinPress.Exact() && camera.LongPress.Exact() {
		return nil
	}
	const grid = 4
	at := func(i sim.Interval, step int) sim.Interval {
		return sim.Exactly(i.Low + (i.High-i.Low)*sim.Micros(2*step+1)/(2*grid))
	}
	ask := func(s Sampling) Answer {
		chances := make([]Chances, grid*grid)
		s.each(len(chances), func(i int) {
			known := t.Case
			known.Rig.Camera.MinPress, known.Rig.Camera.LongPress = at(camera.MinPress, i/grid), at(camera.LongPress, i%grid)
			chances[i] = known.Study(1, Sampling{}).Best.Chances
		})
		var mean Answer
		for _, c := range chances {
			for o, p := range c {
				mean.Chances[o] += p / grid / grid
			}
		}
		return mean
	}
	from := camera.MinPress.Rounded() + ", " + camera.LongPress.Rounded()
	return []variant{{"window", from, "measured", ask}}
}

// String returns a spread as "15% of the hold", "40ms", or both.
func (s Spread) String() string {
	relative := fmt.Sprintf("%.3g%% of the hold", 100*s.Relative)
	switch {
	case s.Relative == 0:
		return s.Fixed.String()
	case s.Fixed == 0:
		return relative
	default:
		return s.Fixed.String() + " and " + relative
	}
}
