package report

import (
	"fmt"
	"strings"

	"flicktally/sim"
	"flicktally/sim/tell"
)

// setting is a setting of the rig that the replay ran with.
type setting struct {
	Key, Value string
	Given      bool // in the rig file
	Example    bool // a default of the camera
}

// From says where the setting comes from.
func (s setting) From() string {
	switch {
	case s.Given:
		return "rig file"
	case s.Example:
		return "example"
	default:
		return "default"
	}
}

// settingsOf lists the settings that affect a replay by their keys in the rig
// file.
func settingsOf(rig sim.Rig, given map[string]bool) []setting {
	var settings []setting
	add := func(key string, value any) {
		settings = append(settings, setting{
			Key: key, Value: fmt.Sprint(value), Given: given[key],
			Example: strings.HasPrefix(key, "camera.") && !given[key],
		})
	}
	s, l, c := rig.Switch, rig.Line, rig.Camera
	add("switch.press", tell.Ranges(s.Press))
	add("switch.hysteresis", widthText(s.Hysteresis))
	add("switch.settle", s.Settle)
	add("switch.valid", rangeText(s.Valid))
	add("signal_loss.stale_after", rig.SignalLoss.StaleAfter)
	add("signal_loss.then", rig.SignalLoss.Then)
	add("oneshot.trigger", rig.OneShot.Trigger)
	if rig.OneShot.Trigger != sim.TriggerOff {
		add("oneshot.width", rig.OneShot.Width)
		add("oneshot.rest", rig.OneShot.Rest)
	}
	add("line.active", l.Active)
	add("line.update", l.Update)
	add("line.delay", l.Delay)
	add("line.boot", l.Boot)
	add("line.through", l.Through)
	add("camera.pressed_level", c.PressedLevel)
	add("camera.min_press", c.MinPress)
	add("camera.min_gap", c.MinGap)
	add("camera.long_press", c.LongPress)
	add("camera.toggle_on", c.ToggleOn)
	add("camera.long_action", c.LongAction)
	add("camera.long_fires", c.LongFires)
	add("camera.start_delay", c.StartDelay)
	add("camera.stop_delay", c.StopDelay)
	add("camera.boot", c.Boot)
	add("camera.wake_press", c.WakePress)
	add("camera.wake_into", c.WakeInto)
	add("camera.start", c.Start)
	add("camera.auto_off", c.AutoOff)
	add("camera.double_within", c.DoubleWithin)
	add("camera.double_action", c.DoubleAction)
	return settings
}

func widthText(w sim.PulseWidth) string { return fmt.Sprintf("%v µs", float64(w)) }

func rangeText(r sim.PulseRange) string {
	return fmt.Sprintf("%v to %v µs", float64(r.Low), float64(r.High))
}

// modelRemarks states what the model assumes about this rig.
func modelRemarks(r *sim.Replay) []string {
	camera := r.Rig.Camera
	remarks := []string{
		sentence(fmt.Sprintf("%s on the %s of the button", tell.Toggles(r), camera.ToggleOn)) + " A shorter one does nothing.",
		"A longer one " + map[sim.Action]string{
			sim.ActionPowerOff: "switches the camera off.",
			sim.ActionNone:     "does nothing else.",
			sim.ActionUnknown:  "has an unknown effect: the camera’s state is unknown from then on.",
		}[camera.LongAction],
	}
	if !camera.MinPress.Exact() || !camera.LongPress.Exact() {
		remarks = append(remarks, fmt.Sprintf("These thresholds are known only as ranges: %s for the shortest press that toggles, %s for the long press. "+
			"Presses and takes are shown as in the likeliest case.", camera.MinPress.Rounded(), camera.LongPress.Rounded()))
	}
	if camera.Start == sim.StartUnknown {
		remarks = append(remarks, "It is not known what the camera was doing when the log started.")
	} else {
		remarks = append(remarks, fmt.Sprintf("The camera is assumed to be in the state %s when the log starts.", camera.Start))
	}
	return append(remarks,
		"A channel value holds until the next sample, so a move shows only at the first sample after it. “By hand” is the range of holds that the samples allow.",
		"The log was recorded after the radio link, so the link’s frames and losses are not modelled again.",
	)
}
