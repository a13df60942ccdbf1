package rigcheck

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// Findings about the positions of the switch and the ranges that press.

// eachPosition joins the texts about positions of the switch into one finding;
// "" says nothing.
func eachPosition(fault bool, positions []sim.PulseWidth, text func(sim.PulseWidth) string) *Finding {
	var texts []string
	for _, v := range positions {
		if t := text(v); t != "" {
			texts = append(texts, t)
		}
	}
	return oneFinding(fault, texts...)
}

var unplugged = Rule{
	Code:    "unplugged-presses",
	Meaning: "A channel that nothing drives, such as an unmapped one, rests at a value that presses.",
	Why:     "such channels commonly rest at 1500 µs, some at their low end stop; an aux channel that is forgotten in a new model then presses the button",
	Remedy:  "make only the far end of the switch press",
	find: func(p probe) *Finding {
		return eachPosition(false, []sim.PulseWidth{centrePosition, lowPosition}, func(v sim.PulseWidth) string {
			r := p.play(phase{}, v)
			if !r.Lanes.Position.At(r.End) {
				return ""
			}
			return fmt.Sprintf("a channel that rests at %v µs counts as pressed: %s", v, effect(r.Record, p.rig.Camera))
		})
	},
	vary: search.presses,
}

var positionOnEdge = Rule{
	Code:    "position-on-edge",
	Meaning: "A position of the switch is so close to the edge of a press range that a small error in its value changes the result.",
	Why:     "an end stop sent as 11-bit counts becomes 988 or 2012 µs, and values drift; a range excludes its upper end",
	Remedy:  "put the edges halfway between two positions, or at the ends of the valid range",
	find: func(p probe) *Finding {
		return eachPosition(true, positions, func(v sim.PulseWidth) string {
			below, there, above := p.counts(v-endStopError), p.counts(v), p.counts(v+endStopError)
			valid := p.rig.Switch.IsValid(v-endStopError) && p.rig.Switch.IsValid(v+endStopError)
			if !valid || below == there && there == above {
				return ""
			}
			words := map[bool]string{true: "presses", false: "releases"}
			return fmt.Sprintf("the position at %v µs %s, but %v µs %s and %v µs %s",
				v, words[there], v-endStopError, words[below], v+endStopError, words[above])
		})
	},
	vary: search.presses,
}

var endStopInvalid = Rule{
	Code:    "end-stop-invalid",
	Meaning: "The value of an end stop is outside the valid range, so the switch there counts as a lost signal.",
	Why:     "moving the switch to that end then has the effect of a lost signal",
	Remedy:  "extend the valid range past both end stops",
	find: func(p probe) *Finding {
		return eachPosition(true, []sim.PulseWidth{lowPosition - endStopError, highPosition + endStopError}, func(v sim.PulseWidth) string {
			if p.samples(p.rest, v).Samples.Valid >= 2 {
				return ""
			}
			return fmt.Sprintf("an end stop at %v µs is outside %v to %v µs and counts as no signal",
				v, p.rig.Switch.Valid.Low, p.rig.Switch.Valid.High)
		})
	},
	vary: func(s search) []Change {
		now := s.rig.Switch.Valid
		usual := sim.DefaultRig().Switch.Valid
		to := sim.PulseRange{Low: min(now.Low, usual.Low), High: max(now.High, usual.High)}
		return s.try(func(r *sim.Rig) { r.Switch.Valid = to })
	},
}

var noPosition = Rule{
	Code:    "no-position-presses",
	Meaning: "None of the usual positions of a switch presses.",
	Why:     "a switch with the usual end stops never presses the button",
	Remedy:  "put a press range around a position of your switch; a log of a bench trial shows its values",
	find: func(p probe) *Finding {
		for _, v := range positions {
			if p.counts(v) {
				return nil
			}
		}
		return risk("none of %v, %v and %v µs presses, only %s",
			lowPosition, centrePosition, highPosition, tell.Ranges(p.rig.Switch.Press))
	},
	vary: search.presses,
}

var swallowed = Rule{
	Code:    "hysteresis-swallows",
	Meaning: "A position outside the press ranges does not end a press, because hysteresis extends a range over it.",
	Why:     "moving the switch there and waiting for the release makes a long press",
	Remedy:  "keep hysteresis well below the distance from the press range to the next position",
	find: func(p probe) *Finding {
		return eachPosition(true, positions, func(v sim.PulseWidth) string {
			if p.counts(v) || !p.counts(p.press, v) {
				return ""
			}
			return fmt.Sprintf("with a hysteresis of %v µs, a press does not end at %v µs, which is outside the press ranges",
				p.rig.Switch.Hysteresis, v)
		})
	},
	vary: func(s search) []Change {
		works := func(m sim.Micros) bool {
			rig := s.rig
			rig.Switch.Hysteresis = sim.PulseWidth(m)
			return s.gone(rig)
		}
		most, ok := largest(0, sim.Micros(s.rig.Switch.Hysteresis), works)
		if !ok {
			return nil
		}
		return s.try(func(r *sim.Rig) { r.Switch.Hysteresis = sim.PulseWidth(most) })
	},
}

var crossed = Rule{
	Code:    "range-crossed",
	Meaning: "On its way from one end to the other, a switch with three positions passes one that presses or one that releases.",
	Why:     "moving past the centre then makes a press, or cuts one in two, by accident",
	Remedy:  "make the end press and the centre release, or set settle longer than the switch takes to pass the centre",
	find: func(p probe) *Finding {
		for _, from := range []sim.PulseWidth{lowPosition, highPosition} {
			to := lowPosition + highPosition - from
			through := p.play(phase{}, from, move{0, centrePosition}, move{slowPass, to})
			direct := p.play(phase{}, from, move{0, to})
			if more := len(through.Presses) - len(direct.Presses); more > 0 {
				return oneFinding(acted(through.Record) && !acted(direct.Record), fmt.Sprintf(
					"a move from %v to %v µs that takes %s to pass the centre makes %s more than a direct one: %s",
					from, to, slowPass.Rounded(), tell.Counted(more, "press", "presses"), effect(through.Record, p.rig.Camera)))
			}
		}
		return nil
	},
	vary: func(s search) []Change { return append(s.presses(), s.lengthen(settleTime, quickFlick)...) },
}

// slowPass is the longest time a switch stays at its centre while a hand moves
// it from end to end: the slowest motor cycle (Card, Moran and Newell).
const slowPass = 100 * sim.Millisecond
