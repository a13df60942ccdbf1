package benchcard

import (
	"bytes"
	"fmt"
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/fit"
	"flicktally/sim/lanes"
	"flicktally/sim/lists"
	"flicktally/sim/rigcheck"
)

const ms = sim.Millisecond

// cardOf makes the card of the default rig with a change.
func cardOf(change func(*sim.Rig)) Card {
	rig := sim.DefaultRig()
	rig.Name = "Heron"
	change(&rig)
	return New(rig, rigcheck.Check(rig, rigcheck.DefaultWithin), nil)
}

func written(t *testing.T, c Card, format Format) string {
	var out bytes.Buffer
	require.NoError(t, c.Write(&out, format))
	return out.String()
}

// unwrapped returns a card as text on one line.
func unwrapped(t *testing.T, c Card) string {
	return strings.Join(strings.Fields(written(t, c, Text)), " ")
}

func TestCardHasTheRigsNumbers(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*sim.Rig)
		want   string
	}{
		{"press ranges", func(r *sim.Rig) { r.Switch.Press = []sim.PulseRange{{Low: 760, High: 1230}, {Low: 1710, High: 2240}} },
			"(760 to below 1230 and 1710 to below 2240 µs)"},
		{"level at rest of an active-high line", func(*sim.Rig) {}, "Switch at rest: the meter at the controller's pad shows low, near 0 V."},
		{"level at rest of an active-low line", func(r *sim.Rig) { r.Line.Active, r.Camera.PressedLevel = sim.ActiveLow, sim.ActiveLow },
			"Switch at rest: the meter at the controller's pad shows high."},
		{"behind a transistor", func(r *sim.Rig) {
			r.Line.Active, r.Line.Through, r.Camera.PressedLevel = sim.ActiveHigh, sim.ThroughInverting, sim.ActiveLow
		},
			"high there is the camera's own pull-up"},
		{"the camera's pad behind a transistor", func(r *sim.Rig) { r.Line.Through, r.Camera.PressedLevel = sim.ThroughInverting, sim.ActiveLow },
			"at its pad the meter shows high at rest and low, near 0 V with the switch pressed"},
		{"the pin behind a transistor", func(r *sim.Rig) { r.Line.Through, r.Camera.PressedLevel = sim.ThroughInverting, sim.ActiveLow },
			"the pull at the transistor's input sets the level: a resistor holds it at the released level"},
		{"a long press that switches off", func(*sim.Rig) {}, "After a long press the camera may be off: switch it on by hand"},
		{"a long press that does nothing", func(r *sim.Rig) { r.Camera.LongAction = sim.ActionNone }, "A long press seems to do nothing, like a short one: only its length tells them apart."},
		{"a long press that does what nobody knows", func(r *sim.Rig) { r.Camera.LongAction = sim.ActionUnknown }, "What a long press does is not known: write it down."},
		{"a long press in a range", func(r *sim.Rig) { r.Camera.LongPress = sim.Interval{Low: 1200 * ms, High: 1800 * ms} }, "(holds from 80 ms to below 1200 ms toggle)"},
		{"boot", func(r *sim.Rig) { r.Line.BootFor = 700 * ms }, `(boot = "released", boot_for = "700ms")`},
		{"holds that toggle", func(r *sim.Rig) { r.Line.Update = 20 * ms }, "for about 340 ms (holds from 80 ms to below 1480 ms toggle)"},
		{"a flick beyond the usual", func(r *sim.Rig) { r.Camera.MinPress = sim.Exactly(500 * ms) }, "for about 870 ms"},
		{"moves that toggle", func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerBoth }, "Move the switch once: the light changes once"},
		{"the one-shot's pulse", func(r *sim.Rig) { r.OneShot.Trigger = sim.TriggerRising }, "the line is pressed for 300 ms (one-shot, rising)"},
		{"time to a stop", func(r *sim.Rig) { r.Camera.StartDelay = 1370 * ms }, "as soon as 1.8 s after the one that started it"},
		{"pause between trials", func(r *sim.Rig) { r.Camera.StopDelay = 1250 * ms }, "left alone for 2.3 s or longer"},
		{"waking", func(r *sim.Rig) { r.Camera.WakePress = 900 * ms }, "A press of 900 ms wakes a camera that is off; 4 s later it is ready, in standby."},
		{"signal loss", func(r *sim.Rig) { r.SignalLoss.StaleAfter, r.SignalLoss.Then = 350*ms, sim.LossRelease },
			"After 350 ms the signal is lost, and the line is released; the light does not change."},
		{"signal loss that presses", func(r *sim.Rig) { r.SignalLoss.Then = sim.LossPress }, "the light may change: the camera is being pressed"},
		{"pause in the dry run", func(r *sim.Rig) { r.Camera.StopDelay = 3 * sim.Second }, "flick, 3.4 s or more apart"},
		{"weak points", func(*sim.Rig) {}, `unplugged-presses: a channel that rests at 1500 µs counts as pressed: it is a long press, and the camera switches off. Tried: switch.press = [[1750, 2250]] (now [[1250, 2250]]).`},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Contains(t, unwrapped(t, cardOf(c.change)), c.want) })
	}
}

// TestCardSaysWhatIsMeasured: only what the rig file calls measured is, and only
// values of the default rig are called examples.
func TestCardSaysWhatIsMeasured(t *testing.T) {
	for _, c := range []struct {
		name     string
		long     sim.Micros
		measured []string
		want     string
	}{
		{"nothing, examples", 1500 * ms, nil, "The numbers are those of the rig file; the camera's are examples until the hold trials have measured them."},
		{"nothing, own values", 1400 * ms, nil, "The numbers are those of the rig file; it does not say whether the camera's are measured: the hold trials will show."},
		{"one", 1400 * ms, []string{"camera.min_press"}, "; min_press is measured, the camera's others are examples until the hold trials and you have checked them."},
		{"both", 1400 * ms, []string{"camera.min_press", "camera.long_press"}, "; min_press and long_press are measured, the camera's others are examples until you have checked them."},
	} {
		t.Run(c.name, func(t *testing.T) {
			rig := sim.DefaultRig()
			rig.Camera.LongPress = sim.Exactly(c.long)
			if c.long != 1500*ms {
				rig.Camera.MinPress = sim.Exactly(90 * ms)
			}
			card := New(rig, rigcheck.Check(rig, rigcheck.DefaultWithin), c.measured)
			assert.Contains(t, unwrapped(t, card), c.want)
		})
	}
}

// TestCardSaysWhatMustBeSaid: the steps that protect people and hardware, in an
// order in which nothing is connected before it has been measured (common
// practice, no source).
func TestCardSaysWhatMustBeSaid(t *testing.T) {
	text := unwrapped(t, cardOf(func(*sim.Rig) {}))
	after := 0
	for _, words := range []string{
		"Local rules", "Propellers are off", "smoke stopper", "battery",
		"configuration is saved to a file", "not power, ground or video", "voltage that the camera's input withstands",
		"camera not connected", "level shifter", "camera is connected", "the light changes once",
		"Hold trials", "Power cycles", "Signal loss", "Dry run",
	} {
		at := strings.Index(text[after:], words)
		require.GreaterOrEqual(t, at, 0, "%q after what comes before it", words)
		after += at
	}
}

// TestFormatsSayTheSame: every step and every trial is in each format.
func TestFormatsSayTheSame(t *testing.T) {
	c := cardOf(func(r *sim.Rig) { r.Name = "<Heron> & co_1" })
	plain := map[Format]string{
		Text:     unwrapped(t, c),
		Markdown: strings.ReplaceAll(written(t, c, Markdown), `\`, ""),
		HTML:     html.UnescapeString(written(t, c, HTML)),
	}
	steps := c.Cautions
	trials := 0
	for _, p := range c.Parts {
		steps = append(steps, p.Steps...)
		trials += len(p.Trials)
	}
	for _, format := range Formats {
		assert.Contains(t, plain[format], "<Heron> & co_1")
		for _, s := range steps {
			assert.Contains(t, plain[format], s.Text, "%s", format)
			assert.Contains(t, plain[format], s.Note, "%s", format)
		}
	}
	boxes := len(steps) + 3*trials
	assert.Equal(t, boxes, strings.Count(plain[Text], "[ ]"))
	assert.Equal(t, boxes, strings.Count(plain[Markdown], "- [ ]")+strings.Count(plain[Markdown], "☐"))
	assert.Equal(t, boxes, strings.Count(plain[HTML], `class="box"`))
	assert.NotContains(t, written(t, c, HTML), "<Heron>")
	assert.NotContains(t, written(t, c, Markdown), " <Heron>")
}

func TestTextFitsThePage(t *testing.T) {
	for line := range strings.Lines(written(t, cardOf(func(*sim.Rig) {}), Text)) {
		assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), textWidth, line)
	}
}

// TestTrialsFindTheWindow: the holds of the card, filled in for a camera whose
// thresholds are about where the rig file says, bracket both; and the list of
// them is one that calibrate reads.
func TestTrialsFindTheWindow(t *testing.T) {
	for _, c := range []struct {
		name                  string
		minPress, longPress   sim.Interval // as the rig file says
		trueMin, trueLong     sim.Micros
		widestMin, widestLong sim.Micros // brackets
	}{
		{"as the rig file says", sim.Exactly(80 * ms), sim.Exactly(1500 * ms), 80 * ms, 1500 * ms, 8 * ms, 300 * ms},
		{"somewhat off", sim.Exactly(80 * ms), sim.Exactly(1500 * ms), 105 * ms, 1300 * ms, 16 * ms, 300 * ms},
		{"far off", sim.Exactly(80 * ms), sim.Exactly(1500 * ms), 130 * ms, 2 * sim.Second, 50 * ms, 500 * ms},
		{"known as ranges", sim.Interval{Low: 60 * ms, High: 110 * ms}, sim.Interval{Low: sim.Second, High: 2 * sim.Second}, 90 * ms, 1200 * ms, 25 * ms, 500 * ms},
	} {
		t.Run(c.name, func(t *testing.T) {
			card := cardOf(func(r *sim.Rig) { r.Camera.MinPress, r.Camera.LongPress = c.minPress, c.longPress })
			list := "hold,outcome\n"
			for _, p := range card.Parts {
				for _, trial := range p.Trials {
					outcome := fit.Toggled
					switch {
					case trial.Hold < c.trueMin:
						outcome = fit.Nothing
					case trial.Hold >= c.trueLong:
						outcome = fit.Long
					}
					list += fmt.Sprintf("%s,%s\n", trial.Hold, outcome)
				}
			}
			trials, err := lists.ReadTrials(strings.NewReader(list), "trials.csv")
			require.NoError(t, err)
			w, err := fit.Fit(trials, fit.Options{})
			require.NoError(t, err)
			for _, threshold := range []struct {
				found  fit.Threshold
				is     sim.Micros
				widest sim.Micros
			}{{w.MinPress, c.trueMin, c.widestMin}, {w.LongPress, c.trueLong, c.widestLong}} {
				bracket := threshold.found.Bracket
				assert.True(t, bracket.Low < threshold.is && threshold.is <= bracket.High, "%v", bracket)
				assert.LessOrEqual(t, bracket.High-bracket.Low, threshold.widest)
			}
		})
	}
}

// TestCardOfABrokenRig: a rig whose flicks do not arrive has a card too.
func TestCardOfABrokenRig(t *testing.T) {
	text := unwrapped(t, cardOf(func(r *sim.Rig) { r.Line.Active = sim.ActiveLow }))
	assert.Contains(t, text, "idle-press")
	assert.Contains(t, text, "Flick the switch: the light changes once")
}

func TestWriteRefusesOtherFormats(t *testing.T) {
	assert.Panics(t, func() { _ = cardOf(func(*sim.Rig) {}).Write(&bytes.Buffer{}, "braille") })
}

// The press window looks the same on the card as on charts and pages.
func TestTheCardShowsThePressWindow(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.MinPress = sim.Interval{Low: 60 * sim.Millisecond, High: 110 * sim.Millisecond}
	strip := stripOf(rig.Camera)
	zones := strip.Zones
	require.Len(t, zones, len(lanes.ZonesOf(rig.Camera)))
	for i, z := range lanes.StripOf(rig.Camera).Zones {
		require.Equal(t, lanes.Light.Fill(z.Look).Hex(), zones[i].Fill)
		require.InDelta(t, z.From*400, zones[i].X, 1e-9)
	}
	require.Len(t, strip.Marks, 2)
	require.Equal(t, "60 to 110 ms", strip.Marks[0].Words)
	require.InDelta(t, zones[1].Middle, strip.Marks[0].At, 1e-9)
}
