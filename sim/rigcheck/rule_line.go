package rigcheck

import (
	"fmt"

	"flicktally/sim"
)

// Findings about the line: its level at rest and at power-on.

var noRest = Rule{
	Code:    "no-rest",
	Meaning: "Every position of the switch presses the button, or keeps it down.",
	Why:     "the button can never be released, so no press ever ends",
	Remedy:  "leave the values of one position out of the press ranges",
	blocks:  true,
	find: func(p probe, _ Options) *Finding {
		if _, _, err := p.rig.RestAndPress(); err != nil {
			return oneFinding(true, fmt.Sprintf("every value from %v to %v µs presses, or keeps a press going",
				p.rig.Switch.Valid.Low, p.rig.Switch.Valid.High))
		}
		for _, v := range positions {
			if !p.counts(p.press, v) {
				return nil
			}
		}
		return oneFinding(true, fmt.Sprintf("each of %v, %v and %v µs presses, or keeps a press going",
			lowPosition, centrePosition, highPosition))
	},
	vary: func(s search) []Change {
		none := []Setting{{"switch.hysteresis", fmt.Sprint(s.rig.Switch.Hysteresis), "0"}}
		return append(s.presses(), s.try(func(r *sim.Rig) { r.Switch.Hysteresis = 0 }, none...)...)
	},
}

var idlePress = Rule{
	Code:    "idle-press",
	Meaning: "The camera reads the button as down while the switch is at rest.",
	Why:     "a button that rests pressed is one long press, and a flick is a release",
	Remedy:  "let the polarities agree with the wiring; check the idle level with a meter, propellers off",
	blocks:  true,
	find: func(p probe, _ Options) *Finding {
		r := p.play(phase{}, p.rest)
		if !r.Lanes.Wire.At(r.End) {
			return nil
		}
		return oneFinding(true, fmt.Sprintf(
			"with the switch at %v µs, at rest, the line is released, and the camera, which takes %s for pressed, reads it as down",
			p.rest, p.rig.Camera.PressedLevel))
	},
	vary: func(s search) []Change {
		flipped := other(s.rig.Line.Active, sim.ActiveHigh, sim.ActiveLow)
		level := other(s.rig.Camera.PressedLevel, sim.ActiveHigh, sim.ActiveLow)
		through := other(s.rig.Line.Through, sim.ThroughDirect, sim.ThroughInverting)
		return append(
			s.try(func(r *sim.Rig) { r.Line.Active = flipped },
				Setting{"line.active", quoted(s.rig.Line.Active), quoted(flipped)}),
			append(s.try(func(r *sim.Rig) { r.Camera.PressedLevel = level },
				Setting{"camera.pressed_level", quoted(s.rig.Camera.PressedLevel), quoted(level)}),
				s.try(func(r *sim.Rig) { r.Line.Through = through },
					Setting{"line.through", quoted(s.rig.Line.Through), quoted(through)})...)...)
	},
}

// other returns whichever of two values is not now.
func other[T comparable](now, a, b T) T {
	if now == a {
		return b
	}
	return a
}

var bootPress = Rule{
	Code:    "boot-press",
	Meaning: "After power-on, before the controller drives the line, the camera reads the button as down for long enough to act.",
	Why:     "it happens at every power-on to a camera that is ready by then, without a touch of the switch; one that is still booting takes no notice",
	Remedy:  "let a resistor hold the line at the released level until the controller drives it, or use an output that rests released at boot",
	find: func(p probe, _ Options) *Finding {
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
		level := other(s.rig.Line.Boot, sim.BootReleased, sim.BootPressed)
		return append(
			s.try(func(r *sim.Rig) { r.Line.Boot = level }, Setting{"line.boot", quoted(s.rig.Line.Boot), quoted(level)}),
			s.shorten(bootTime, 0)...)
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
