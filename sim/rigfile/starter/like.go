// Package starter makes a rig file to start from: a common rig, or the answers to
// a few questions.
package starter

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"flicktally/sim"
	"flicktally/sim/problem"
	"flicktally/sim/rigfile"
)

// farEnd is the press range of a switch that presses only at its far end.
var farEnd = []sim.PulseRange{{Low: 1700, High: 2250}}

// likes are the common rigs: how they change the default, and which keys.
var likes = map[string]struct {
	keys   []string
	change func(*sim.Rig)
}{
	"three-position": {[]string{"switch.press"}, func(r *sim.Rig) { r.Switch.Press = farEnd }},
	"inverting":      {wiringKeys, func(r *sim.Rig) { wire(r, sim.ThroughInverting, sim.ActiveLow) }},
	"one-shot":       {[]string{"oneshot.trigger"}, func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerRising }},
}

var wiringKeys = []string{"line.active", "line.through", "camera.pressed_level"}

// wire sets the coupling of the output to the camera's wire, and the level that
// presses.
func wire(r *sim.Rig, through sim.Coupling, pressed sim.Polarity) {
	r.Line.Through, r.Line.Active, r.Camera.PressedLevel = through, pressed, pressed
	if through == sim.ThroughInverting {
		r.Line.Active = map[sim.Polarity]sim.Polarity{sim.ActiveHigh: sim.ActiveLow, sim.ActiveLow: sim.ActiveHigh}[pressed]
	}
}

// Names lists the common rigs in a sentence.
func Names() string { return strings.Join(slices.Sorted(maps.Keys(likes)), ", ") }

// Like returns the rig file of a common rig. An error names those there are.
func Like(name string) ([]byte, error) {
	like, known := likes[name]
	if !known {
		return nil, problem.WrongUsage(fmt.Errorf("found --like %q, want one of %s", name, Names()))
	}
	rig := sim.DefaultRig()
	like.change(&rig)
	return rigfile.Edit(rigfile.Default(), "the default rig", rig, like.keys...)
}
