package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// RigFault is one reason why a rig cannot work. Key is the rig file's key,
// "camera.long_press"; Text says what was found and what would be accepted.
type RigFault struct{ Key, Text string }

// Error writes "camera.long_press: found …, want …".
func (f RigFault) Error() string { return f.Key + ": " + f.Text }

// Validate returns nil if the rig can work, else its [Rig.Faults] as a joined
// error. A rig that works badly is not refused: the rig check reports it.
func (r Rig) Validate() error {
	var errs []error
	for _, f := range r.Faults() {
		errs = append(errs, f)
	}
	return errors.Join(errs...)
}

// Faults lists the reasons why the rig cannot work, in the order of the rig
// file.
func (r Rig) Faults() []RigFault {
	var f faults
	f.log(r.Log)
	f.switchRanges(r.Switch)
	f.duration("signal_loss.stale_after", r.SignalLoss.StaleAfter, Microsecond)
	oneOf(&f, "signal_loss.then", r.SignalLoss.Then, LossPolicies...)
	f.duration("link.frame", r.Link.Frame, 0)
	f.chance("link.loss", r.Link.Loss)
	f.oneShot(r.OneShot)
	f.line(r.Line)
	f.camera(r.Camera)
	f.doubt(r.Doubt)
	return f
}

// The values that the rig file accepts, in the order in which errors list them.
var (
	TimeUnits    = []TimeUnit{UnitAuto, UnitMicros, UnitMillis, UnitSeconds, UnitNanos, UnitMinutes, UnitHours}
	ScaleNames   = []ScaleName{ScalePercent, ScaleUnit, ScaleCounts, ScaleSerial}
	LossPolicies = []LossPolicy{LossHold, LossRelease, LossPress}
	Triggers     = []Trigger{TriggerOff, TriggerRising, TriggerBoth}
	Polarities   = []Polarity{ActiveHigh, ActiveLow}
	BootLevels   = []BootLevel{BootReleased, BootPressed}
	Couplings    = []Coupling{ThroughDirect, ThroughInverting}
	ToggleEdges  = []ToggleEdge{ToggleOnRelease, ToggleOnPress}
	Actions      = []Action{ActionPowerOff, ActionNone, ActionUnknown}
	LongMoments  = []LongMoment{LongAtThreshold, LongOnRelease}
	WakeStates   = []WakeState{WakeStandby, WakeRecording}
	StartStates  = []StartState{StartStandby, StartRecording, StartOff, StartUnknown}
)

type faults []RigFault

func (f *faults) check(ok bool, key, format string, args ...any) {
	if !ok {
		*f = append(*f, RigFault{key, fmt.Sprintf(format, args...)})
	}
}

func (f *faults) duration(key string, m, least Micros) {
	f.check(m >= least && m <= MaxDuration, key, "found %q, want a duration from %q to \"1000h\"", m.String(), least.String())
}

func oneOf[T ~string](f *faults, key string, found T, accepted ...T) {
	f.check(slices.Contains(accepted, found), key, "found %q, want %s", string(found), OneOf(accepted))
}

// OneOf lists the accepted values for an error message: "high" or "low";
// "auto", "us" or "ms".
func OneOf[T ~string](accepted []T) string {
	quoted := make([]string, len(accepted))
	for i, word := range accepted {
		quoted[i] = strconv.Quote(string(word))
	}
	last := len(quoted) - 1
	if last < 1 {
		return strings.Join(quoted, "")
	}
	return strings.Join(quoted[:last], ", ") + " or " + quoted[last]
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func (f *faults) log(l LogSpec) {
	f.check(l.Time != "", "log.time", "found nothing, want a header or a column such as \"#1\"")
	oneOf(f, "log.unit", l.Unit, TimeUnits...)
	f.column("log.time", l.Time)
	f.column("log.channel", l.Channel)
	f.column("log.armed", l.Armed)
	f.column("log.failsafe", l.Failsafe)
	if l.ScaleName != "" {
		oneOf(f, "log.scale", l.ScaleName, ScaleNames...)
		f.check(l.Offset == 0, "log.offset", "found %v beside the scale %q, which has an offset of its own: want 0", l.Offset, string(l.ScaleName))
	}
	f.check(finite(l.Scale) && l.Scale != 0, "log.scale", "found %v, want a number other than 0", l.Scale)
	f.check(finite(l.Offset), "log.offset", "found %v, want a number", l.Offset)
	f.words("log.words", l.Words)
	f.words("log.armed_words", l.ArmedWords)
	f.words("log.failsafe_words", l.FailsafeWords)
	f.ranges("log.armed_range", l.ArmedRange)
	if len(l.FailsafeRange) > 0 {
		f.ranges("log.failsafe_range", l.FailsafeRange)
	}
}

func (f *faults) column(key, column string) {
	f.check(column != "#0", key, "found \"#0\", want a header, or a column from \"#1\" up")
}

func (f *faults) words(key string, words []string) {
	for _, word := range words {
		f.check(strings.TrimSpace(word) != "", key, "found an empty word, want words that occur in the cells")
	}
}

func (f *faults) switchRanges(s SwitchSpec) {
	f.ranges("switch.press", s.Press)
	f.check(finite(float64(s.Hysteresis)) && s.Hysteresis >= 0, "switch.hysteresis", "found %v, want 0 µs or more", s.Hysteresis)
	f.duration("switch.settle", s.Settle, 0)
	f.check(finite(float64(s.Valid.Low)) && finite(float64(s.Valid.High)) && s.Valid.Low <= s.Valid.High,
		"switch.valid", "found [%v, %v], want the lowest and the highest valid µs, such as [750, 2250]", s.Valid.Low, s.Valid.High)
}

// ranges checks that there is a range, that none is empty and that none
// overlap. Ranges may touch.
func (f *faults) ranges(key string, ranges []PulseRange) {
	f.check(len(ranges) > 0, key, "found no range, want at least one, such as [[1250, 2250]]")
	for i, r := range ranges {
		f.check(finite(float64(r.Low)) && finite(float64(r.High)) && r.Low < r.High,
			key, "found [%v, %v], want a low end below the high end", r.Low, r.High)
		for _, other := range ranges[:i] {
			f.check(r.High <= other.Low || other.High <= r.Low,
				key, "[%v, %v] and [%v, %v] overlap, want ranges that do not", other.Low, other.High, r.Low, r.High)
		}
	}
}

func (f *faults) oneShot(o OneShotSpec) {
	oneOf(f, "oneshot.trigger", o.Trigger, Triggers...)
	least := Micros(0)
	if o.Trigger != TriggerOff {
		least = Microsecond
	}
	f.duration("oneshot.width", o.Width, least)
	f.duration("oneshot.rest", o.Rest, 0)
}

func (f *faults) line(l LineSpec) {
	oneOf(f, "line.active", l.Active, Polarities...)
	f.duration("line.update", l.Update, 0)
	f.duration("line.delay", l.Delay, 0)
	oneOf(f, "line.boot", l.Boot, BootLevels...)
	oneOf(f, "line.through", l.Through, Couplings...)
	f.duration("line.boot_for", l.BootFor, 0)
}

func (f *faults) camera(c CameraSpec) {
	oneOf(f, "camera.pressed_level", c.PressedLevel, Polarities...)
	f.interval("camera.min_press", c.MinPress)
	f.duration("camera.min_gap", c.MinGap, 0)
	f.interval("camera.long_press", c.LongPress)
	f.check(c.MinPress.High < c.LongPress.Low, "camera.long_press",
		"found %q with min_press %q: the press window is empty, want long_press above min_press", c.LongPress, c.MinPress)
	oneOf(f, "camera.toggle_on", c.ToggleOn, ToggleEdges...)
	oneOf(f, "camera.long_action", c.LongAction, Actions...)
	oneOf(f, "camera.long_fires", c.LongFires, LongMoments...)
	f.duration("camera.start_delay", c.StartDelay, 0)
	f.duration("camera.stop_delay", c.StopDelay, 0)
	f.duration("camera.boot", c.Boot, 0)
	if c.WakePress != Never {
		f.duration("camera.wake_press", c.WakePress, 0)
	}
	oneOf(f, "camera.wake_into", c.WakeInto, WakeStates...)
	oneOf(f, "camera.start", c.Start, StartStates...)
	if c.AutoOff != Never {
		f.duration("camera.auto_off", c.AutoOff, Microsecond)
	}
	f.pairs(c)
}

func (f *faults) chance(key string, p float64) {
	f.check(p >= 0 && p < 1, key, "found %v, want a chance from 0 to less than 1", p)
}

func (f *faults) doubt(d DoubtSpec) {
	f.chance("doubt.ignored", d.Ignored)
	f.chance("doubt.misread", d.Misread)
	f.chance("doubt.unlisted", d.Unlisted)
	f.chance("doubt.foreign", d.Foreign)
}

func (f *faults) interval(key string, i Interval) {
	f.duration(key, i.Low, 0)
	if !i.Exact() {
		f.duration(key, i.High, 0)
		f.check(i.Low < i.High, key, "found [%q, %q], want the shorter duration first", i.Low, i.High)
	}
}

// pairs checks the conditions of M12: the button toggles on release, and the
// camera does not switch itself off while a press waits.
func (f *faults) pairs(c CameraSpec) {
	f.duration("camera.double_within", c.DoubleWithin, 0)
	oneOf(f, "camera.double_action", c.DoubleAction, Actions...)
	if c.DoubleWithin == 0 {
		return
	}
	f.check(c.ToggleOn == ToggleOnRelease, "camera.double_within",
		"found %q with toggle_on %q, want pairs only with toggle_on \"release\"", c.DoubleWithin, c.ToggleOn)
	f.check(c.AutoOff > c.MinGap+c.DoubleWithin, "camera.auto_off",
		"found %q with double_within %q, want longer than a press may wait", c.AutoOff, c.DoubleWithin)
}
