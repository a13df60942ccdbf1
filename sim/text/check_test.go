package text

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
	"flicktally/sim/rigcheck"
)

func checked(rig sim.Rig) string {
	return printed(func(p *Printer) { p.Check(rig, rigcheck.Check(rig, rigcheck.DefaultWithin)) })
}

// safe is a rig with which nothing goes wrong: only the far end of the switch
// presses, a lost signal releases, and a long press does nothing.
func safe(r *sim.Rig) {
	r.Switch.Press = []sim.PulseRange{{Low: 1750, High: 2250}}
	r.SignalLoss.Then = sim.LossRelease
	r.Camera.LongAction = sim.ActionNone
}

func TestCheckOfASafeRigShowsItsFigures(t *testing.T) {
	rig := with(safe)
	rig.Name = "Heron"
	// The hold to aim for is √(80·1500) = 346 ms, rounded. A second flick follows at
	// the earliest when the first is over, as this camera is ready at once.
	assert.Equal(t, `Heron: found nothing that will go wrong
  holds from 80 ms to below 1500 ms toggle, at every phase of link and line
  aim for a hold of 350 ms
  a flick can stop a take 350 ms after the flick before, and start the next one 350 ms after the flick before (from start to start)
`, checked(rig))
}

func TestCheckCountsFaultsAndRisks(t *testing.T) {
	for name, test := range map[string]struct {
		rig  sim.Rig
		want string
	}{
		"no fault, three risks": {sim.DefaultRig(), "the default rig: 0 faults, 3 risks"},
		"one risk": {with(func(r *sim.Rig) { safe(r); r.Switch.Press[0].Low = 1250 }),
			"the default rig: 0 faults, 1 risk"},
		"a fault that stops every flick": {with(func(r *sim.Rig) { r.Line.Active = sim.ActiveLow }),
			"the default rig: 1 fault; until that is fixed no flick works, so nothing else was tested"},
		"a name with a terminal code": {with(func(r *sim.Rig) { safe(r); r.Name = "Heron\x1b[2J" }),
			`Heron\x1b[2J: found nothing that will go wrong`},
	} {
		got := checked(test.rig)
		assert.Equal(t, test.want, got[:min(len(got), len(test.want))], name)
	}
}

// TestCheckShowsChangesOneByOne: the first change of a finding, then the others.
func TestCheckShowsChangesOneByOne(t *testing.T) {
	got := checked(with(func(r *sim.Rig) { r.Line.Active = sim.ActiveLow }))
	assert.Equal(t, `fault  idle-press: with the switch at rest, at 1000 µs, the line is released, but the camera, for which high is pressed, reads it as down
  why: a button that is pressed at rest is one long press, and a flick releases it
  → make the polarities match the wiring; check the level at rest with a meter, propellers off
  change: line.active = "high" (now "low")
      or: camera.pressed_level = "low" (now "high")
      or: line.through = "inverting" (now "direct")`, part(t, got, "fault"))
}

// TestCheckSaysWhatNeverWorks: figures that do not exist are not written as
// numbers.
func TestCheckSaysWhatNeverWorks(t *testing.T) {
	for name, test := range map[string]struct {
		change func(*sim.Rig)
		want   string
	}{
		// A press shorter than the refresh may pass unseen, and one seen is at least 1 s.
		"no hold is certain": {func(r *sim.Rig) { r.Line.Update = s; r.Camera.LongPress = sim.Exactly(900 * ms) },
			"\n  no hold toggles for certain\n"},
		"each move toggles": {func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerBoth },
			"\n  each move of the switch, in either direction, toggles\n  a flick can stop"},
		"the next flick never works": {func(r *sim.Rig) { r.Camera.StopDelay, r.Camera.AutoOff = s, s },
			"start the next one never (from start to start)\n"},
	} {
		assert.Contains(t, checked(with(func(r *sim.Rig) { safe(r); test.change(r) })), test.want, name)
	}
}
