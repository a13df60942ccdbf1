package benchcard

import (
	"fmt"

	"flicktally/sim"
	"flicktally/sim/rigcheck"
	"flicktally/sim/tell"
)

// The steps, part by part.

func cautions() []Step {
	return []Step{
		{Text: "Local rules, the makers' instructions and licensed practice come before this card."},
		{Text: "Propellers are off. They stay off until the last box is ticked."},
		{Text: "First power comes from a current-limited supply, or through a smoke stopper. Nothing is in the way of unplugging it."},
		{Text: "The battery is undamaged, watched while it is connected, and away from anything that burns."},
		{Text: "Power is off whenever a wire is touched. Moving air cools the camera and the video transmitter: they heat up on the bench."},
	}
}

// setup is what the parts are about.
type setup struct {
	rig    sim.Rig
	report rigcheck.Report
}

func (s setup) beforeWiring() Part {
	return Part{Title: "Before wiring", Steps: []Step{
		{Text: "The controller's complete configuration is saved to a file, and the file opens.", Note: "file"},
		{Text: "The pad for the record wire is a signal output that nothing else uses. It is not power, ground or video, and no motor, servo or light is mapped to it.", Note: "pad"},
		{Text: "Camera and controller share a ground wire."},
		{Text: "The voltage that the camera's input withstands is known, from its manual or from a meter at the open input.", Note: "V at most"},
	}}
}

func (s setup) firstPower() Part {
	line := s.rig.Line
	atRest, pressed := levels(line.Active)
	steps := []Step{
		{Text: fmt.Sprintf("Switch at rest: the meter at the controller's pad shows %s.", atRest), Note: "V"},
		{Text: fmt.Sprintf("Switch in the press range: the meter shows %s.", pressed), Note: "V"},
	}
	if line.Through == sim.ThroughInverting {
		steps = append(steps, s.throughTransistor()...)
	} else {
		steps = append(steps, Step{Text: "The higher of the two is not above what the camera's input withstands. Otherwise a level shifter or a divider is needed in between."})
	}
	return Part{Title: "First power, camera not connected", Steps: append(steps, []Step{
		{Text: fmt.Sprintf("At power-on the pad stays at its rest level. If it does not, the rig file has its level and for how long (boot = %q, boot_for = %q).", line.Boot, line.BootFor),
			Note: "pressed for"},
		{Text: fmt.Sprintf("The levels at rest and pressed are those of the camera's button wire (pressed_level = %q).", s.rig.Camera.PressedLevel)},
	}...)}
}

// levels returns what a meter shows with the switch at rest, and pressed.
func levels(active sim.Polarity) (atRest, pressed string) {
	if active == sim.ActiveLow {
		return "high", "low, near 0 V"
	}
	return "low, near 0 V", "high"
}

// throughTransistor returns what a meter shows behind a transistor: high is the
// camera's own pull-up, and an undriven pin floats (common practice, no
// source).
func (s setup) throughTransistor() []Step {
	atRest, pressed := levels(s.rig.Camera.PressedLevel)
	return []Step{
		{Text: "The transistor switches the camera's pad to ground: high there is the camera's own pull-up, so with the camera unplugged a meter at that pad shows nothing useful."},
		{Text: fmt.Sprintf("Later, with the camera connected and on: at its pad the meter shows %s at rest and %s with the switch pressed.", atRest, pressed), Note: "V"},
		{Text: "Until the controller drives its pin at power-on, the pull at the transistor's input sets the level: a resistor holds it at the released level."},
	}
}

func (s setup) switchValues() Part {
	part := Part{Title: "The switch", Steps: []Step{
		{Text: "The channel's value at rest, as the controller receives it, is outside the press range (" + tell.Ranges(s.rig.Switch.Press) + ").", Note: "µs"},
		{Text: "The value with the switch in the press position is inside it.", Note: "µs"},
		{Text: "Both values are at least 50 µs from the edges of the range."},
		{Text: "Every other position of the switch, and the way there, does what it should.", Note: "µs"},
	}}
	if shot := s.rig.OneShot; shot.Trigger != sim.TriggerOff {
		part.Steps = append(part.Steps, Step{
			Text: fmt.Sprintf("However long the switch is held, the line is pressed for %s (one-shot, %s).", shot.Width.Rounded(), shot.Trigger), Note: "measured"})
	}
	return part
}

func (s setup) firstFlick() Part {
	flick, wait := "Flick the switch", ""
	if f := s.report.Figures; f != nil && f.Holds.Low <= f.Holds.High && f.Stop != sim.Never {
		if f.SingleMove {
			flick = "Move the switch once"
		} else {
			aim, _ := s.rig.Aim()
			flick = fmt.Sprintf("Flick the switch for about %s (%s toggle)", aim.Rounded(), rigcheck.HoldsText(f.Holds))
		}
		wait = fmt.Sprintf(" According to the rig file, a flick could stop the take as soon as %s after the one that started it.", atLeast(f.Stop))
	}
	return Part{Title: "One flick, watching the light", Steps: []Step{
		{Text: "With power off, the camera is connected; power is on again. What its light shows in standby is known.", Note: "light"},
		{Text: flick + ": the light changes once, to recording.", Note: "light"},
		{Text: "The switch is back at rest, and the camera keeps recording for ten seconds."},
		{Text: "The same again: the light is that of standby." + wait},
		{Text: "The clip on the card is about as long as it should be.", Note: "length"},
	}}
}

// atLeast rounds a time up to a tenth of a second, for a hand with a watch.
func atLeast(m sim.Micros) string {
	const step = sim.Second / 10
	return ((m + step - 1) / step * step).Readable()
}

func (s setup) powerCycles() Part {
	steps := []Step{
		{Text: "Five times: camera on and in standby, switch at rest, craft powered off and on. The light stays that of standby each time.", Note: "of 5"},
		{Text: "The same five times with the camera off. It stays off each time, or does what it is designed to do.", Note: "of 5"},
	}
	if wake := s.rig.Camera.WakePress; wake != sim.Never {
		steps = append(steps, Step{Text: fmt.Sprintf("A press of %s wakes a camera that is off; %s later it is ready, in %s.",
			wake.Rounded(), s.rig.Camera.Boot.Readable(), s.rig.Camera.WakeInto), Note: "light"})
	}
	return Part{Title: "Power cycles", Steps: append(steps,
		Step{Text: "Never power on with the switch in the press position: the camera would see a press from the start."})}
}

func (s setup) signalLoss() Part {
	then := map[sim.LossPolicy]string{
		sim.LossHold:    "the line keeps its level",
		sim.LossRelease: "the line is released",
		sim.LossPress:   "the line is pressed",
	}[s.rig.SignalLoss.Then]
	light := "the light does not change"
	if s.rig.SignalLoss.Then == sim.LossPress {
		light = "the light may change: the camera is being pressed"
	}
	return Part{Title: "Signal loss", Steps: []Step{
		{Text: fmt.Sprintf("Craft tied down, not armed, camera in standby, switch at rest: transmitter off. After %s the signal is lost, and %s; %s.",
			s.rig.SignalLoss.StaleAfter.Rounded(), then, light), Note: "light"},
		{Text: "Transmitter on again: the light does not change.", Note: "light"},
		{Text: fmt.Sprintf("With the meter at the pad: switch in the press position, transmitter off, switch back at rest. After %s %s.",
			s.rig.SignalLoss.StaleAfter.Rounded(), then), Note: "V"},
		{Text: "The craft's own failsafe does what your rules require, whatever the camera does."},
	}}
}

func (s setup) weakPoints() Part {
	part := Part{Title: "What the rig check found"}
	for _, f := range s.report.Findings {
		text := f.Text
		if len(f.Changes) > 0 {
			text += ". Tried: " + f.Changes[0].String()
		}
		part.Steps = append(part.Steps, Step{Text: fmt.Sprintf("%s: %s. Fixed, or known and accepted.", f.Code, text)})
	}
	return part
}

func (s setup) dryRun() Part {
	between := "two seconds"
	if f := s.report.Figures; f != nil && max(f.Stop, f.Restart) != sim.Never {
		between = atLeast(max(f.Stop, f.Restart, 2*sim.Second))
	}
	return Part{Title: "Dry run, propellers still off", Steps: []Step{
		{Text: "The channel is logged, and ten takes are made as in flight: flick, wait, flick, " + between + " or more apart."},
		{Text: "The light was right after each of the twenty flicks.", Note: "of 20"},
		{Text: "The card has ten clips, and flicktally replay finds ten takes of the same lengths in the log.", Note: "clips"},
		{Text: "The camera's values in the rig file are the measured ones, and flicktally rig check finds no fault."},
		{Text: "The configuration is saved to a file again.", Note: "file"},
	}}
}
