package rigcheck

import (
	"fmt"

	"flicktally/sim"
)

// Findings about the camera's states: busy times, switching off, waking.

var slowCamera = Rule{
	Code:    "slow-start-stop",
	Meaning: "A flick soon after another comes while the camera, or the one-shot, is still busy with the first.",
	Why:     "it does nothing, and the pilot's count is wrong from then on",
	Remedy:  "leave that much time between two flicks, and practise it; a shorter rest of the one-shot may help",
	find: func(p probe) *Finding {
		f := p.figures()
		if f.Holds.Low > f.Holds.High {
			return nil
		}
		var texts []string
		never := false
		for _, c := range []struct {
			what, before string
			time         sim.Micros
		}{{"stop", "started", f.Stop}, {"start", "stopped", f.Restart}} {
			switch {
			case c.time == sim.Never:
				never = true
				texts = append(texts, "a flick can never "+c.what+" a take after one that "+c.before+" it")
			case c.time > p.within:
				texts = append(texts, fmt.Sprintf("a flick can %s a take only %s after the start of the flick that %s one; %s is wanted",
					c.what, c.time.Rounded(), c.before, p.within.Rounded()))
			}
		}
		return oneFinding(never, texts...)
	},
	vary: func(s search) []Change { return s.shorten(pulseRest, 0) },
}

var offForGood = Rule{
	Code:    "off-for-good",
	Meaning: "A switch that is held too long switches the camera off, and no press wakes it.",
	Why:     "one slip of the thumb ends the filming until somebody walks to the camera",
	Remedy:  "let a one-shot give every press the same width, and practise the flick",
	find: func(p probe) *Finding {
		most := p.settled()
		switchesOff := func(hold sim.Micros) bool { return switchedOff(p.held(hold)) }
		hold, ok := smallest(1, most, switchesOff)
		if !ok {
			return nil
		}
		again := p.startingIn(sim.StartOff).held(most + wakePatience)
		if again.StateAt(again.End) != sim.StateOff {
			return nil
		}
		return risk("a switch that is held for %s or longer %s the camera off, and no press wakes it (tried up to %s)",
			hold.Rounded(), p.switches(hold), (most + wakePatience).Rounded())
	},
	vary: search.oneShot,
}

var offByItself = Rule{
	Code:    "off-by-itself",
	Meaning: "A camera that is left alone in standby switches itself off.",
	Why:     "the flick after a long pause finds it off, and nothing warns the pilot",
	Remedy:  "start the take before the pause, or turn off the camera's own timer",
	find: func(p probe) *Finding {
		idle := p.rig.Camera.AutoOff
		if idle == sim.Never {
			return nil
		}
		then := "no flick wakes it"
		if hold, ok := p.wakingHold(); ok {
			then = "a hold of " + hold.Rounded() + " wakes it"
		}
		return risk("the camera switches off after %s in standby without a press; then %s", idle.Readable(), then)
	},
}

var pairs = Rule{
	Code:    "flicks-pair-up",
	Meaning: "The camera takes two flicks in quick succession as a pair, which does not toggle.",
	Why:     "a second flick made at once, to be sure, undoes the first",
	Remedy:  "wait after a flick until it has acted, and look at the light before flicking again",
	find: func(p probe) *Finding {
		c := p.rig.Camera
		if c.DoubleWithin == 0 {
			return nil
		}
		return risk("a flick acts %s after its release; another one within that time makes a pair: %s",
			(c.MinGap + c.DoubleWithin).Rounded(), actionText(c.DoubleAction, "nothing happens"))
	},
}

// wakePatience is how much longer than anything else a probe holds a press to
// wake the camera.
const wakePatience = 10 * sim.Second

// switches says whether a hold switches the camera off for every value of
// long_press.
func (p probe) switches(hold sim.Micros) string {
	p.window.LongPress = p.rig.Camera.LongPress.High
	if switchedOff(p.held(hold)) {
		return "switches"
	}
	return "may switch"
}

func switchedOff(r *sim.Replay) bool { return r.StateAt(r.End) == sim.StateOff }

// wakingHold returns the shortest hold of the switch that wakes the camera, if
// one does.
func (p probe) wakingHold() (sim.Micros, bool) {
	wake := p.rig.Camera.WakePress
	if wake == sim.Never {
		return 0, false
	}
	off := p.startingIn(sim.StartOff)
	return smallest(1, wake+p.settled(), func(hold sim.Micros) bool { return has(off.held(hold).Record, sim.VerdictWake) })
}

var wakeOutOfReach = Rule{
	Code:    "wake-out-of-reach",
	Meaning: "A press could wake the camera, but no move of the switch makes one that is long enough.",
	Why:     "a camera that is off, or that has switched itself off, stays off in flight",
	Remedy:  "switch the camera on by hand before the flight, and look at its light",
	find: func(p probe) *Finding {
		if _, ok := p.wakingHold(); ok || p.rig.Camera.WakePress == sim.Never {
			return nil
		}
		text := fmt.Sprintf("the camera wakes at a press of %s, and no hold of the switch makes one", p.rig.Camera.WakePress.Rounded())
		if p.rig.OneShot.Trigger != sim.TriggerOff {
			text += fmt.Sprintf(": every press is a pulse of %s", p.rig.OneShot.Width.Rounded())
		}
		return risk("%s", text)
	},
}

var wakeSwitchesOff = Rule{
	Code:    "wake-switches-off",
	Meaning: "The hold that wakes a camera that is off switches off one that is on.",
	Why:     "a pilot who is not sure of its state and tries to wake it may end the take",
	Remedy:  "look at the camera's light before you hold the switch that long",
	find: func(p probe) *Finding {
		hold, ok := p.wakingHold()
		if !ok || !switchedOff(p.held(hold)) {
			return nil
		}
		return risk("holding the switch for %s wakes the camera if it is off, and %s it off if it is on", hold.Rounded(), p.switches(hold))
	},
}

var wakeRecords = Rule{
	Code:    "wake-records",
	Meaning: "The press that wakes the camera starts a take as well.",
	Why:     "the flick that should start the take then stops it",
	Remedy:  "count the waking press as the start, or wake the camera by hand and look at its light",
	find: func(p probe) *Finding {
		hold, ok := p.wakingHold()
		if !ok {
			return nil
		}
		off := p.startingIn(sim.StartOff)
		booted := p.rig.Camera.Boot + p.settled()
		woken := off.play(phase{}, p.rest, move{0, p.press}, move{hold, p.rest}, move{hold + booted, p.rest})
		if woken.StateAt(woken.End) != sim.StateRecording {
			return nil
		}
		return risk("a switch that is held for %s wakes a camera that is off, and %s later it records without a flick",
			hold.Rounded(), p.rig.Camera.Boot.Readable())
	},
}
