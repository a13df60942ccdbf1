package rigfile_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/rigfile"
)

func mustParse(t require.TestingT, text string) rigfile.File {
	file, err := rigfile.Parse([]byte(text), "heron.toml")
	require.NoError(t, err)
	return file
}

func TestEmptyFileIsTheDefaultRig(t *testing.T) {
	for name, text := range map[string]string{
		"empty":              "",
		"byte order mark":    "\ufeff",
		"comment":            "# nothing yet",
		"empty tables":       "[log]\n[switch]\n[signal_loss]\n[link]\n[oneshot]\n[line]\n[camera]\n",
		"empty inline table": "camera = {}\r\n",
	} {
		t.Run(name, func(t *testing.T) {
			file := mustParse(t, text)
			assert.Equal(t, sim.DefaultRig(), file.Rig)
			assert.Empty(t, file.Given)
		})
	}
}

func TestEveryKey(t *testing.T) {
	tests := []struct {
		line string
		want func(*sim.Rig)
	}{
		{`name = "Heron"`, func(r *sim.Rig) { r.Name = "Heron" }},
		{`log.time = "#1"`, func(r *sim.Rig) { r.Log.Time = "#1" }},
		{`log.unit = "ms"`, func(r *sim.Rig) { r.Log.Unit = sim.UnitMillis }},
		{`log.channel = "aux2"`, func(r *sim.Rig) { r.Log.Channel = "aux2" }},
		// The 11-bit serial receiver counts: common practice, no source.
		{`log.scale = 0.625`, func(r *sim.Rig) { r.Log.Scale = 0.625 }},
		{`log.scale = "serial"`, func(r *sim.Rig) { r.Log.ScaleName = sim.ScaleSerial }},
		{`log.words = ["cam", "rec"]`, func(r *sim.Rig) { r.Log.Words = []string{"cam", "rec"} }},
		{`log.armed_words = ["armed"]`, func(r *sim.Rig) { r.Log.ArmedWords = []string{"armed"} }},
		{`log.failsafe = "fs"`, func(r *sim.Rig) { r.Log.Failsafe = "fs" }},
		{`log.failsafe_range = [[1, 2]]`, func(r *sim.Rig) { r.Log.FailsafeRange = []sim.PulseRange{{Low: 1, High: 2}} }},
		{`log.failsafe_words = ["lost"]`, func(r *sim.Rig) { r.Log.FailsafeWords = []string{"lost"} }},
		{`log.offset = 880`, func(r *sim.Rig) { r.Log.Offset = 880 }},
		{`log.armed = "arm"`, func(r *sim.Rig) { r.Log.Armed = "arm" }},
		{`log.armed_range = [[1, 2]]`, func(r *sim.Rig) { r.Log.ArmedRange = []sim.PulseRange{{Low: 1, High: 2}} }},
		{`switch.press = [[900, 1100], [1900.5, 2100]]`, func(r *sim.Rig) {
			r.Switch.Press = []sim.PulseRange{{Low: 900, High: 1100}, {Low: 1900.5, High: 2100}}
		}},
		{`switch.hysteresis = 12.5`, func(r *sim.Rig) { r.Switch.Hysteresis = 12.5 }},
		{`switch.settle = "20ms"`, func(r *sim.Rig) { r.Switch.Settle = 20 * sim.Millisecond }},
		{`switch.valid = [800, 2200]`, func(r *sim.Rig) { r.Switch.Valid = sim.PulseRange{Low: 800, High: 2200} }},
		{`signal_loss.stale_after = "1s"`, func(r *sim.Rig) { r.SignalLoss.StaleAfter = sim.Second }},
		{`signal_loss.then = "press"`, func(r *sim.Rig) { r.SignalLoss.Then = sim.LossPress }},
		{`link.frame = "20ms"`, func(r *sim.Rig) { r.Link.Frame = 20 * sim.Millisecond }},
		{`link.loss = 0.25`, func(r *sim.Rig) { r.Link.Loss = 0.25 }},
		{`oneshot.trigger = "both"`, func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerBoth }},
		{`oneshot.width = "250us"`, func(r *sim.Rig) { r.OneShot.Width = 250 }},
		{`oneshot.rest = "1m30s"`, func(r *sim.Rig) { r.OneShot.Rest = 90 * sim.Second }},
		{`line.active = "low"`, func(r *sim.Rig) { r.Line.Active = sim.ActiveLow }},
		{`line.update = "20ms"`, func(r *sim.Rig) { r.Line.Update = 20 * sim.Millisecond }},
		{`line.delay = "3ms"`, func(r *sim.Rig) { r.Line.Delay = 3 * sim.Millisecond }},
		{`line.boot = "pressed"`, func(r *sim.Rig) { r.Line.Boot = sim.BootPressed }},
		{`line.through = "inverting"`, func(r *sim.Rig) { r.Line.Through = sim.ThroughInverting }},
		{`line.boot_for = "0s"`, func(r *sim.Rig) { r.Line.BootFor = 0 }},
		{`camera.pressed_level = "low"`, func(r *sim.Rig) { r.Camera.PressedLevel = sim.ActiveLow }},
		{`camera.min_press = "0.1s"`, func(r *sim.Rig) { r.Camera.MinPress = sim.Exactly(100 * sim.Millisecond) }},
		{`camera.min_press = ["60ms", "110ms"]`, func(r *sim.Rig) {
			r.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
		}},
		{`camera.min_gap = "5ms"`, func(r *sim.Rig) { r.Camera.MinGap = 5 * sim.Millisecond }},
		{`camera.long_press = ["1s", "1.2s"]`, func(r *sim.Rig) {
			r.Camera.LongPress = sim.Interval{Low: sim.Second, High: 1200 * sim.Millisecond}
		}},
		{`camera.toggle_on = "press"`, func(r *sim.Rig) { r.Camera.ToggleOn = sim.ToggleOnPress }},
		{`camera.long_action = "unknown"`, func(r *sim.Rig) { r.Camera.LongAction = sim.ActionUnknown }},
		{`camera.long_fires = "on-release"`, func(r *sim.Rig) { r.Camera.LongFires = sim.LongOnRelease }},
		{`camera.start_delay = "1ms"`, func(r *sim.Rig) { r.Camera.StartDelay = sim.Millisecond }},
		{`camera.stop_delay = "2ms"`, func(r *sim.Rig) { r.Camera.StopDelay = 2 * sim.Millisecond }},
		{`camera.double_within = "400ms"`, func(r *sim.Rig) { r.Camera.DoubleWithin = 400 * sim.Millisecond }},
		{`camera.double_action = "power-off"`, func(r *sim.Rig) { r.Camera.DoubleAction = sim.ActionPowerOff }},
		{`camera.auto_off = "5m"`, func(r *sim.Rig) { r.Camera.AutoOff = 5 * sim.Minute }},
		{`camera.boot = "3s"`, func(r *sim.Rig) { r.Camera.Boot = 3 * sim.Second }},
		{`camera.wake_press = "1s"`, func(r *sim.Rig) { r.Camera.WakePress = sim.Second }},
		{`camera.wake_press = ""`, func(r *sim.Rig) { r.Camera.WakePress = sim.Never }},
		{`camera.wake_into = "recording"`, func(r *sim.Rig) { r.Camera.WakeInto = sim.WakeRecording }},
		{`camera.start = "unknown"`, func(r *sim.Rig) { r.Camera.Start = sim.StartUnknown }},
		{`doubt.sampled = false`, func(r *sim.Rig) { r.Doubt.Sampled = false }},
		{`doubt.ignored = 0.01`, func(r *sim.Rig) { r.Doubt.Ignored = 0.01 }},
		{`doubt.misread = 0`, func(r *sim.Rig) { r.Doubt.Misread = 0 }},
		{`doubt.unlisted = 0.1`, func(r *sim.Rig) { r.Doubt.Unlisted = 0.1 }},
		{`doubt.foreign = 0`, func(r *sim.Rig) { r.Doubt.Foreign = 0 }},
	}
	tried := map[string]bool{}
	for _, test := range tests {
		t.Run(test.line, func(t *testing.T) {
			file := mustParse(t, test.line)
			want := sim.DefaultRig()
			test.want(&want)
			assert.Equal(t, want, file.Rig)
			key, _, _ := strings.Cut(test.line, " ")
			assert.Equal(t, map[string]bool{key: true}, file.Given)
			tried[key] = true
		})
	}
	all := mustParse(t, string(rigfile.Format(rigfile.File{Rig: sim.DefaultRig()}))).Given
	assert.Equal(t, all, tried, "keys of the file and keys tried here")
}

// The examples of the TOML v1.0.0 specification, toml.io/en/v1.0.0, quoted
// from memory.
func TestTOMLSpecification(t *testing.T) {
	text := []struct{ section, toml, want string }{
		{"basic string", `"I'm a string. \"You can quote me\". Name\tJos\u00E9\nLocation\tSF."`,
			"I'm a string. \"You can quote me\". Name\tJosé\nLocation\tSF."},
		{"multi-line basic string", "\"\"\"\nRoses are red\nViolets are blue\"\"\"", "Roses are red\nViolets are blue"},
		{"line ending backslash", "\"\"\"\nThe quick brown \\\n\n\n  fox jumps over \\\n    the lazy dog.\"\"\"",
			"The quick brown fox jumps over the lazy dog."},
		{"literal string", `'C:\Users\nodejs\templates'`, `C:\Users\nodejs\templates`},
		{"literal string with quotes", `'Tom "Dubs" Preston-Werner'`, `Tom "Dubs" Preston-Werner`},
		{"multi-line literal string", `'''I [dw]on't need \d{2} apples'''`, `I [dw]on't need \d{2} apples`},
	}
	for _, test := range text {
		t.Run(test.section, func(t *testing.T) {
			assert.Equal(t, test.want, mustParse(t, "name = "+test.toml+" # comment\n").Rig.Name)
		})
	}

	numbers := []struct {
		toml string
		want float64
	}{
		{"+99", 99},
		{"-17", -17},
		{"1_000", 1000},
		{"5_349_221", 5349221},
		{"0xDEADBEEF", 0xDEADBEEF},
		{"0o755", 0o755},
		{"0b11010110", 0b11010110},
		{"+1.0", 1},
		{"-0.01", -0.01},
		{"5e+22", 5e22},
		{"1e06", 1e6},
		{"-2E-2", -0.02},
		{"6.626e-34", 6.626e-34},
		{"224_617.445_991_228", 224617.445991228},
	}
	for _, test := range numbers {
		t.Run(test.toml, func(t *testing.T) {
			assert.Equal(t, test.want, mustParse(t, "log.scale = "+test.toml).Rig.Log.Scale)
		})
	}

	keys := []struct{ section, toml string }{
		{"dotted key", "camera.min_gap = \"7ms\""},
		{"white space around dots", "camera . min_gap = \"7ms\""},
		{"quoted keys", "\"camera\".'min_gap' = \"7ms\""},
		{"quoted table", "[ \"camera\" ]\n'min_gap'=\"7ms\""},
		{"inline table", "camera = { min_gap = \"7ms\" }"},
		{"array over several lines", "[camera]\nmin_gap = \"7ms\"\nmin_press = [\n  \"80ms\", # comment, with [ and ]\n  \"80ms\", # trailing comma\n]"},
		{"line ends CR LF", "[camera]\r\nmin_gap = \"7ms\"\r\n"},
	}
	want := sim.DefaultRig()
	want.Camera.MinGap = 7 * sim.Millisecond
	for _, test := range keys {
		t.Run(test.section, func(t *testing.T) {
			assert.Equal(t, want, mustParse(t, test.toml).Rig)
		})
	}
}

func TestReaderKeepsTheData(t *testing.T) {
	data := []byte("\ufeffname = \"Heron\"\ncamera.min_gap = \"7ms\"\n")
	before := string(data)
	_, err := rigfile.Parse(data, "heron.toml")
	require.NoError(t, err)
	assert.Equal(t, before, string(data))
}
