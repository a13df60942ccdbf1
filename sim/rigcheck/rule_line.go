package rigcheck

import (
	"fmt"
	"slices"

	"flicktally/sim"
)

// Findings about the line: its level at rest and at power-on.

var noRest = Rule{
	Code:    "no-rest",
	Meaning: "Every position of the switch presses the button, or keeps it down.",
	Why:     "the button can never be released, so no press ever ends",
	Remedy:  "leave the values of one position out of the press ranges",
	blocks:  true,
	find: func(p probe) *Finding {
		if _, _, err := p.rig.RestAndPress(); err != nil {
			return fault("every value from %v to %v µs presses, or keeps a press going",
				p.rig.Switch.Valid.Low, p.rig.Switch.Valid.High)
		}
		for _, v := range positions {
			if !p.counts(p.press, v) {
				return nil
			}
		}
		return fault("each of %v, %v and %v µs presses, or keeps a press going", lowPosition, centrePosition, highPosition)
	},
	vary: func(s search) []Change {
		return append(s.presses(), s.try(func(r *sim.Rig) { r.Switch.Hysteresis = 0 })...)
	},
}

var idlePress = Rule{
	Code:    "idle-press",
	Meaning: "The camera reads the button as down while the switch is at rest.",
	Why:     "a button that is pressed at rest is one long press, and a flick releases it",
	Remedy:  "make the polarities match the wiring; check the level at rest with a meter, propellers off",
	blocks:  true,
	find: func(p probe) *Finding {
		r := p.play(phase{}, p.rest)
		if !r.Lanes.Wire.At(r.End) {
			return nil
		}
		return fault("with the switch at rest, at %v µs, the line is released, but the camera, for which %s is pressed, reads it as down",
			p.rest, p.rig.Camera.PressedLevel)
	},
	vary: func(s search) []Change {
		return slices.Concat(
			s.try(func(r *sim.Rig) { toggle(&r.Line.Active, sim.Polarities) }),
			s.try(func(r *sim.Rig) { toggle(&r.Camera.PressedLevel, sim.Polarities) }),
			s.try(func(r *sim.Rig) { toggle(&r.Line.Through, sim.Couplings) }))
	},
}

// toggle sets a value to the other one of two.
func toggle[T comparable](value *T, both []T) {
	if *value == both[0] {
		*value = both[1]
	} else {
		*value = both[0]
	}
}

var bootPress = Rule{
	Code:    "boot-press",
	Meaning: "After power-on, before the controller drives the line, the camera reads the button as down for long enough to act.",
	Why:     "a camera that is ready by then reacts at every power-on, though nobody touches the switch; one that is still booting does not",
	Remedy:  "let a resistor hold the line at the released level until the controller drives it, or use an output that is released at boot",
	find: func(p probe) *Finding {
		wire, end := p.powerOn()
		seen := sim.Micros(0)
		for press := range wire.Presses(end) {
			seen = press.Length()
			break
		}
		touchy := sim.Window{MinPress: p.rig.Camera.MinPress.Low, LongPress: p.window.LongPress}
		var effects []string
		for _, c := range []struct {
			on    string
			start sim.StartState
		}{{"on", sim.StartStandby}, {"off", sim.StartOff}} {
			spec := p.startingIn(c.start).rig.Camera
			if record := sim.RunCamera(spec, touchy, wire, end, nil); acted(record) {
				effects = append(effects, "if it is "+c.on+" then, "+effect(record, spec))
			}
		}
		if effects == nil {
			return nil
		}
		return oneFinding(true, append([]string{fmt.Sprintf("for %s after power-on the camera reads the button as down", seen.Rounded())}, effects...)...)
	},
	vary: func(s search) []Change {
		return append(s.try(func(r *sim.Rig) { toggle(&r.Line.Boot, sim.BootLevels) }), s.shorten(bootTime, 0)...)
	},
}

// powerOn returns what the camera reads from power-on, with the switch at
// rest: the boot level for the boot time, then the line (M10).
func (p probe) powerOn() (sim.Lane, sim.Micros) {
	chain := sim.NewChainAt(p.rig, p.window)
	chain.Feed(sim.Sample{Channel: p.rest, Armed: sim.Absent})
	driven := chain.FinishAt(p.rig.Line.Delay).Lanes.Wire
	booted := p.rig.Line.BootFor
	end := booted + p.rig.Line.Delay + p.settled() + bootWatch
	if booted == 0 {
		return driven, end
	}
	boot := p.rig.Line.Boot == sim.BootPressed
	wire := sim.Lane{Initial: boot != p.rig.Inverted()}
	for _, e := range append([]sim.Edge{{Pressed: driven.Initial}}, driven.Edges...) {
		e.At += booted
		if e.Pressed != wire.At(e.At) {
			wire.Edges = append(wire.Edges, e)
		}
	}
	return wire, end
}

// bootWatch is how long the camera is watched after a boot.
const bootWatch = 10 * sim.Second
