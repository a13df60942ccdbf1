package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func TestRigsThatCanWork(t *testing.T) {
	for name, change := range map[string]func(*sim.Rig){
		"the default": func(*sim.Rig) {},
		"ranges that touch": func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 1500, High: 2000}, {Low: 1000, High: 1500}}
		},
		"a window of one microsecond": func(r *sim.Rig) {
			r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(80), sim.Exactly(81)
		},
		"a pulse no longer than min_press is a finding": func(r *sim.Rig) {
			r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 1}
		},
		"a width of 0 where nothing triggers":    func(r *sim.Rig) { r.OneShot.Width = 0 },
		"a negative scale":                       func(r *sim.Rig) { r.Log.Scale = -1 },
		"a single valid value, as both ends are": func(r *sim.Rig) { r.Switch.Valid = sim.PulseRange{Low: 1000, High: 1000} },
		"the longest durations": func(r *sim.Rig) {
			r.Switch.Settle, r.Camera.Boot, r.Camera.LongPress = sim.MaxDuration, sim.MaxDuration, sim.Exactly(sim.MaxDuration)
		},
	} {
		t.Run(name, func(t *testing.T) {
			rig := sim.DefaultRig()
			change(&rig)
			assert.NoError(t, rig.Validate())
		})
	}
}

func TestRigsThatCannotWork(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		change func(*sim.Rig)
		want   string
	}{
		{func(r *sim.Rig) { r.Log.Time = "" }, `log.time: found nothing, want a header or a column such as "#1"`},
		{func(r *sim.Rig) { r.Log.Scale = 0 }, "log.scale: found 0, want a number other than 0"},
		{func(r *sim.Rig) { r.Log.Scale = nan }, "log.scale: found NaN, want a number other than 0"},
		{func(r *sim.Rig) { r.Log.Offset = inf }, "log.offset: found +Inf, want a number"},
		{func(r *sim.Rig) { r.Log.ArmedRange = nil }, "log.armed_range: found no range, want at least one, such as [[1250, 2250]]"},
		{func(r *sim.Rig) { r.Switch.Press = []sim.PulseRange{{Low: 1500, High: 1500}} },
			"switch.press: found [1500, 1500], want a low end below the high end"},
		{func(r *sim.Rig) { r.Switch.Press[0].High = sim.PulseWidth(inf) },
			"switch.press: found [1250, +Inf], want a low end below the high end"},
		{func(r *sim.Rig) { r.Switch.Press = []sim.PulseRange{{Low: 1400, High: 2000}, {Low: 1000, High: 1401}} },
			"switch.press: [1400, 2000] and [1000, 1401] overlap, want ranges that do not"},
		{func(r *sim.Rig) { r.Switch.Hysteresis = -1 }, "switch.hysteresis: found -1, want 0 µs or more"},
		{func(r *sim.Rig) { r.Switch.Hysteresis = sim.PulseWidth(nan) }, "switch.hysteresis: found NaN, want 0 µs or more"},
		{func(r *sim.Rig) { r.Switch.Valid = sim.PulseRange{Low: 3, High: 2} },
			"switch.valid: found [3, 2], want the lowest and the highest valid µs, such as [750, 2250]"},
		{func(r *sim.Rig) { r.Switch.Valid.High = sim.PulseWidth(inf) },
			"switch.valid: found [750, +Inf], want the lowest and the highest valid µs, such as [750, 2250]"},
		{func(r *sim.Rig) { r.SignalLoss.StaleAfter = 0 }, `signal_loss.stale_after: found "0s", want a duration from "1us" to "1000h"`},
		{func(r *sim.Rig) { r.Link.Loss = 1 }, "link.loss: found 1, want a chance from 0 to less than 1"},
		{func(r *sim.Rig) { r.Link.Loss = nan }, "link.loss: found NaN, want a chance from 0 to less than 1"},
		{func(r *sim.Rig) { r.OneShot.Trigger, r.OneShot.Width = sim.TriggerBoth, 0 },
			`oneshot.width: found "0s", want a duration from "1us" to "1000h"`},
		{func(r *sim.Rig) { r.Line.Delay = -1 }, `line.delay: found "-1us", want a duration from "0s" to "1000h"`},
		{func(r *sim.Rig) { r.Line.BootFor = sim.MaxDuration + 1 },
			`line.boot_for: found "3600000.000001s", want a duration from "0s" to "1000h"`},
		{func(r *sim.Rig) { r.Camera.Boot = sim.Never }, `camera.boot: found "never", want a duration from "0s" to "1000h"`},
		{func(r *sim.Rig) { r.Camera.WakePress = -1 }, `camera.wake_press: found "-1us", want a duration from "0s" to "1000h"`},
		{func(r *sim.Rig) { r.Camera.MinPress = sim.Interval{Low: 20, High: 10} },
			`camera.min_press: found ["20us", "10us"], want the shorter duration first`},
		{func(r *sim.Rig) { r.Camera.LongPress = sim.Exactly(80 * sim.Millisecond) },
			`camera.long_press: found "80ms" with min_press "80ms": the press window is empty, want long_press above min_press`},
		{func(r *sim.Rig) {
			r.Camera.MinPress = sim.Interval{Low: sim.Millisecond, High: 2 * sim.Second}
			r.Camera.LongPress = sim.Interval{Low: sim.Second, High: 3 * sim.Second}
		}, `camera.long_press: found "1s to 3s" with min_press "1ms to 2s": the press window is empty, want long_press above min_press`},
		{func(r *sim.Rig) { r.Log.Unit = "day" }, `log.unit: found "day", want "auto", "us", "ms", "s", "ns", "min" or "h"`},
		{func(r *sim.Rig) { r.Log.ScaleName = "permille" }, `log.scale: found "permille", want "percent", "unit", "counts" or "serial"`},
		{func(r *sim.Rig) { r.Log.ScaleName, r.Log.Offset = sim.ScaleUnit, 5 }, `log.offset: found 5 beside the scale "unit", which has an offset of its own: want 0`},
		{func(r *sim.Rig) { r.Log.ArmedWords = []string{"on", " "} }, `log.armed_words: found an empty word, want words that occur in the cells`},
		{func(r *sim.Rig) { r.Log.Failsafe = "#0" }, `log.failsafe: found "#0", want a header, or a column from "#1" up`},
		{func(r *sim.Rig) { r.Log.FailsafeRange = []sim.PulseRange{{Low: 1, High: 1}} }, `log.failsafe_range: found [1, 1], want a low end below the high end`},
		{func(r *sim.Rig) { r.SignalLoss.Then = "" }, `signal_loss.then: found "", want "hold", "release" or "press"`},
		{func(r *sim.Rig) { r.OneShot.Trigger = "falling" }, `oneshot.trigger: found "falling", want "off", "rising" or "both"`},
		{func(r *sim.Rig) { r.Line.Active = "up" }, `line.active: found "up", want "high" or "low"`},
		{func(r *sim.Rig) { r.Line.Through = "mirror" }, `line.through: found "mirror", want "direct" or "inverting"`},
		{func(r *sim.Rig) { r.Line.Boot = "high" }, `line.boot: found "high", want "released" or "pressed"`},
		{func(r *sim.Rig) { r.Camera.PressedLevel = "" }, `camera.pressed_level: found "", want "high" or "low"`},
		{func(r *sim.Rig) { r.Camera.ToggleOn = "" }, `camera.toggle_on: found "", want "release" or "press"`},
		{func(r *sim.Rig) { r.Camera.LongAction = "" }, `camera.long_action: found "", want "power-off", "none" or "unknown"`},
		{func(r *sim.Rig) { r.Camera.LongFires = "" }, `camera.long_fires: found "", want "at-threshold" or "on-release"`},
		{func(r *sim.Rig) { r.Camera.WakeInto = "off" }, `camera.wake_into: found "off", want "standby" or "recording"`},
		{func(r *sim.Rig) { r.Camera.Start = "booting" },
			`camera.start: found "booting", want "standby", "recording", "off" or "unknown"`},
	}
	for _, test := range tests {
		t.Run(test.want, func(t *testing.T) {
			rig := sim.DefaultRig()
			test.change(&rig)
			assert.EqualError(t, rig.Validate(), test.want)
		})
	}
}

func TestFaultsComeInTheOrderOfTheRigFile(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.MinGap, rig.Log.Time, rig.Line.Update = -1, "", -1
	var keys []string
	for _, fault := range rig.Faults() {
		keys = append(keys, fault.Key)
	}
	assert.Equal(t, []string{"log.time", "line.update", "camera.min_gap"}, keys)
	var first sim.RigFault
	require.ErrorAs(t, rig.Validate(), &first)
	assert.Equal(t, "log.time", first.Key)
}

func TestTheZeroRigIsRefused(t *testing.T) {
	assert.Error(t, sim.Rig{}.Validate())
}
