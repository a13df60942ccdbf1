package sim

import (
	"math"
	"strings"
)

// PulseWidth is the value of a channel as the width of an RC pulse in µs: by
// convention 1000 to 2000, 1500 in the centre; real links exceed this. NaN means
// that there is no value.
type PulseWidth float64

// Absent is the pulse width of a sample without a value.
var Absent = PulseWidth(math.NaN())

// Lost is the pulse width of a sample whose receiver reports a lost signal. The
// signal then counts as lost at once (M2), whatever value is beside it. No real
// signal has this width.
var Lost = PulseWidth(math.Inf(-1))

// PulseRange is a half-open range of pulse widths [Low, High).
type PulseRange struct{ Low, High PulseWidth }

// Contains reports whether v lies in the range; NaN lies in none.
func (r PulseRange) Contains(v PulseWidth) bool { return v >= r.Low && v < r.High }

// Interval is a closed range of durations: what is known of a threshold. Its
// ends are equal if the threshold is known exactly.
type Interval struct{ Low, High Micros }

// Exactly returns the interval that contains only m.
func Exactly(m Micros) Interval { return Interval{m, m} }

// Exact reports whether the interval contains a single value.
func (i Interval) Exact() bool { return i.Low == i.High }

// Middle returns the middle of the interval, rounded down to a microsecond.
func (i Interval) Middle() Micros { return i.Low + (i.High-i.Low)/2 }

// String writes "80ms", or "60ms to 110ms".
func (i Interval) String() string {
	if i.Exact() {
		return i.Low.String()
	}
	return i.Low.String() + " to " + i.High.String()
}

// Rounded writes the interval for people: "80 ms", or "60 to 110 ms".
func (i Interval) Rounded() string {
	low, high := i.Low.Rounded(), i.High.Rounded()
	if i.Exact() {
		return low
	}
	if strings.HasSuffix(high, " ms") {
		low = strings.TrimSuffix(low, " ms")
	}
	return low + " to " + high
}

// Outward returns the smallest interval that contains i and whose ends are
// multiples of step.
func (i Interval) Outward(step Micros) Interval {
	return Interval{i.Low / step * step, (i.High + step - 1) / step * step}
}

// Rig describes everything between the switch and the camera's state. The zero
// Rig is not usable; start from [DefaultRig].
type Rig struct {
	Name       string
	Log        LogSpec
	Switch     SwitchSpec
	SignalLoss SignalLossSpec
	Link       LinkSpec
	OneShot    OneShotSpec
	Line       LineSpec
	Camera     CameraSpec
	Doubt      DoubtSpec
}

// LogSpec says where the numbers are in a recorded log. A column is given by
// its header (case and outer spaces ignored) or as "#7", its 1-based place.
type LogSpec struct {
	Time    string // "A+B" = the date in one column, the time in another
	Unit    TimeUnit
	Channel string // "" = the second of exactly two columns
	// Scale and Offset turn a logged number into a pulse width, of the armed
	// channel too: µs = value·Scale + Offset. A ScaleName replaces both.
	Scale, Offset float64
	ScaleName     ScaleName
	// Words are for a channel whose cells are words: a cell with one of these
	// counts as [WordYes], any other as [WordNo]. If empty, cells are numbers.
	Words      []string
	Armed      string // "" = the log does not say
	ArmedRange []PulseRange
	ArmedWords []string // as Words
	// Failsafe is the column that says when the receiver had lost the signal;
	// "" = the log does not say. FailsafeRange are the values that mean lost; if
	// empty, every number but 0 does.
	Failsafe      string
	FailsafeRange []PulseRange
	FailsafeWords []string // as Words
}

// The pulse widths of a word that is listed in [LogSpec], and of any other.
const (
	WordYes PulseWidth = 2000
	WordNo  PulseWidth = 1000
)

// ScaleName names a common scale of channel values.
type ScaleName string

// The common scales: percent, −100 to 100; unit, −1 to 1; counts, −1024 to
// 1024. Each maps to 1000 to 2000 µs. Serial is the 11-bit value of a serial
// receiver: 172 to 1811 map to about 988 to 2012 µs.
const (
	ScalePercent ScaleName = "percent"
	ScaleUnit    ScaleName = "unit"
	ScaleCounts  ScaleName = "counts"
	ScaleSerial  ScaleName = "serial"
)

// Linear returns the scale as a factor and an offset; see [LogSpec.Linear].
func (s ScaleName) Linear() (scale, offset float64) {
	switch s {
	case ScalePercent:
		return 5, 1500
	case ScaleUnit:
		return 500, 1500
	case ScaleCounts:
		return 500. / 1024, 1500
	case ScaleSerial:
		return 0.625, 880
	}
	return 1, 0
}

// Linear returns the scale and offset that turn logged numbers into pulse
// widths: µs = value·scale + offset.
func (l LogSpec) Linear() (scale, offset float64) {
	if l.ScaleName != "" {
		return l.ScaleName.Linear()
	}
	return l.Scale, l.Offset
}

// TimeUnit is the unit of a log's time column.
type TimeUnit string

// The units of a log's time column. UnitAuto takes it from the header or from
// the time steps.
const (
	UnitAuto    TimeUnit = "auto"
	UnitMicros  TimeUnit = "us"
	UnitMillis  TimeUnit = "ms"
	UnitSeconds TimeUnit = "s"
	UnitNanos   TimeUnit = "ns"
	UnitMinutes TimeUnit = "min"
	UnitHours   TimeUnit = "h"
)

// SwitchSpec says which channel values press (M1, M3, M4).
type SwitchSpec struct {
	Press      []PulseRange
	Hysteresis PulseWidth // a pressed switch stays pressed this far outside a range
	Settle     Micros     // a new position counts once held this long; 0 = at once
	Valid      PulseRange // the values that count as a signal, both ends included
}

// IsValid reports whether v is a signal: finite and within Valid, both ends
// included (M1).
func (s SwitchSpec) IsValid(v PulseWidth) bool { return v >= s.Valid.Low && v <= s.Valid.High }

// LossPolicy says what the controller assumes as the switch position while the
// signal is lost (M2).
type LossPolicy string

// What a lost signal does to the position.
const (
	LossHold    LossPolicy = "hold"
	LossRelease LossPolicy = "release"
	LossPress   LossPolicy = "press"
)

// SignalLossSpec says when the signal counts as lost and what happens then
// (M2).
type SignalLossSpec struct {
	StaleAfter Micros // lost this long after the last valid sample; more than 0
	Then       LossPolicy
}

// LinkSpec is the radio link where no log was recorded: practice, odds, rig
// check (M10). A replay ignores it.
type LinkSpec struct {
	Frame Micros  // the switch is sampled this often; 0 = every move passes at once
	Loss  float64 // chance that a frame is lost, 0 to below 1
}

// Trigger says which edges of the position start a one-shot pulse (M5).
type Trigger string

// The triggers of the one-shot.
const (
	TriggerOff    Trigger = "off"
	TriggerRising Trigger = "rising"
	TriggerBoth   Trigger = "both"
)

// OneShotSpec is a monostable between position and line (M5).
type OneShotSpec struct {
	Trigger Trigger
	Width   Micros // of a pulse; more than 0 if the trigger is not off
	Rest    Micros // edges this long after a pulse are ignored
}

// Polarity says which level of a wire means pressed.
type Polarity string

// The two polarities.
const (
	ActiveHigh Polarity = "high"
	ActiveLow  Polarity = "low"
)

// LineSpec is the output of the controller and the wire to the camera (M6).
type LineSpec struct {
	Active  Polarity
	Update  Micros // the output is refreshed this often; 0 = continuously
	Delay   Micros // from the output to the camera
	Boot    BootLevel
	Through Coupling
	BootFor Micros // how long after power-on; practice, odds and rig check only (M10)
}

// Coupling says what is between the output and the camera's pad (M6).
type Coupling string

// The couplings. ThroughInverting is a transistor, which inverts the level.
const (
	ThroughDirect    Coupling = "direct"
	ThroughInverting Coupling = "inverting"
)

// BootLevel is the level of the line before the controller drives it.
type BootLevel string

// The levels of a line at boot.
const (
	BootReleased BootLevel = "released"
	BootPressed  BootLevel = "pressed"
)

// ToggleEdge says which edge of the button toggles recording (M7).
type ToggleEdge string

// The edges that can toggle.
const (
	ToggleOnRelease ToggleEdge = "release"
	ToggleOnPress   ToggleEdge = "press"
)

// Action is what a long press (M8) or a pair of presses (M12) does instead of
// toggling.
type Action string

// The actions. After ActionUnknown nobody knows the camera's state.
const (
	ActionPowerOff Action = "power-off"
	ActionNone     Action = "none"
	ActionUnknown  Action = "unknown"
)

// LongMoment says when a long press acts (M7).
type LongMoment string

// The moments at which a long press can act.
const (
	LongAtThreshold LongMoment = "at-threshold"
	LongOnRelease   LongMoment = "on-release"
)

// WakeState is the state a camera wakes into (M8).
type WakeState string

// The states to wake into.
const (
	WakeStandby   WakeState = "standby"
	WakeRecording WakeState = "recording"
)

// StartState is the camera's state at the start of a log (M8).
type StartState string

// The states to start in.
const (
	StartStandby   StartState = "standby"
	StartRecording StartState = "recording"
	StartOff       StartState = "off"
	StartUnknown   StartState = "unknown"
)

// CameraSpec is the camera's button and its states (M7, M8). The press window,
// the hold times that toggle, is [MinPress, LongPress).
type CameraSpec struct {
	PressedLevel Polarity
	MinPress     Interval
	MinGap       Micros // a shorter release does not count
	LongPress    Interval
	ToggleOn     ToggleEdge
	LongAction   Action
	LongFires    LongMoment
	StartDelay   Micros // from the toggle to the take
	StopDelay    Micros // from the toggle to standby
	Boot         Micros
	WakePress    Micros // hold that wakes the camera; Never = none does
	WakeInto     WakeState
	Start        StartState
	AutoOff      Micros // switches off after this long in standby, button released; Never = it does not
	DoubleWithin Micros // two presses this close together are a pair (M12); 0 = never
	DoubleAction Action // of a pair, which does not toggle
}

// DoubtSpec says how far the model may be wrong about a flight (M11). Chances
// are from 0 to below 1; with the zero value nothing is in doubt.
type DoubtSpec struct {
	Sampled  bool    // a logged edge may have happened at any time since the previous sample
	Ignored  float64 // chance that an accepted press does nothing
	Misread  float64 // chance that a glance at the light was wrong
	Unlisted float64 // chance that a take has no clip on the list
	Foreign  float64 // chance of one more clip on the list than there are takes
}

// None reports whether nothing is in doubt.
func (d DoubtSpec) None() bool { return d == DoubtSpec{} }

// Window is one pair of thresholds: a press of MinPress ≤ hold < LongPress
// toggles.
type Window struct{ MinPress, LongPress Micros }

// Window returns the press window, at the middle of each threshold given as a
// range.
func (c CameraSpec) Window() Window {
	return Window{c.MinPress.Middle(), c.LongPress.Middle()}
}

// Inverted reports whether the camera sees the inverse of the line (M6): the
// levels that mean pressed differ and no transistor inverts them, or they agree
// and one does.
func (r Rig) Inverted() bool {
	return (r.Line.Active != r.Camera.PressedLevel) != (r.Line.Through == ThroughInverting)
}

// DefaultRig returns the rig of an empty rig file. Its camera values are
// examples: cameras differ, and the bench decides.
func DefaultRig() Rig {
	return Rig{
		Log: LogSpec{
			Time: "time_us", Unit: UnitAuto, Scale: 1,
			ArmedRange: []PulseRange{{1750, 2250}},
		},
		Switch: SwitchSpec{
			Press: []PulseRange{{1250, 2250}},
			Valid: PulseRange{750, 2250},
		},
		SignalLoss: SignalLossSpec{StaleAfter: 500 * Millisecond, Then: LossHold},
		OneShot:    OneShotSpec{Trigger: TriggerOff, Width: 300 * Millisecond},
		Line:       LineSpec{Active: ActiveHigh, Boot: BootReleased, Through: ThroughDirect, BootFor: 2 * Second},
		Camera: CameraSpec{
			PressedLevel: ActiveHigh,
			MinPress:     Exactly(80 * Millisecond),
			LongPress:    Exactly(1500 * Millisecond),
			ToggleOn:     ToggleOnRelease,
			LongAction:   ActionPowerOff,
			LongFires:    LongAtThreshold,
			Boot:         4 * Second,
			WakePress:    Never,
			WakeInto:     WakeStandby,
			Start:        StartStandby,
			AutoOff:      Never,
			DoubleAction: ActionNone,
		},
		Doubt: DoubtSpec{Sampled: true, Ignored: 0.002, Misread: 0.0002, Unlisted: 0.02, Foreign: 0.02},
	}
}
