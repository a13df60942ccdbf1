package tell_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/tell"
)

func TestPressesAreToldInWords(t *testing.T) {
	const ms = sim.Millisecond
	rig := sim.DefaultRig()
	rig.Camera.MinPress, rig.Camera.LongPress = sim.Exactly(80*ms), sim.Exactly(1500*ms)
	held := func(hold sim.Micros, verdict sim.Verdict) sim.Press {
		return sim.Press{Down: 1000 * ms, Up: 1000*ms + hold, Verdict: verdict}
	}
	loose, fromStart := held(280*ms, sim.VerdictToggle), held(200*ms, sim.VerdictToggle)
	loose.DownUnseen, loose.UpUnseen = 20*ms, 10*ms
	tight := loose
	tight.DownUnseen, tight.UpUnseen = 1, 1
	wide := loose
	wide.DownUnseen, wide.UpUnseen = 20*ms+160, 10*ms+110
	fromStart.FromStart = true

	tests := []struct {
		name                 string
		press                sim.Press
		held, byHand, margin string
	}{
		{"short", held(60*ms, sim.VerdictShort), "60 ms", "exact", "20 ms too short"},
		{"nearer to the short end", held(300*ms, sim.VerdictToggle), "300 ms", "exact", "220 ms to spare"},
		{"nearer to the long end", held(1400*ms, sim.VerdictToggle), "1400 ms", "exact", "100 ms to spare"},
		{"long", held(2310*ms, sim.VerdictLong), "2310 ms", "exact", "810 ms too long"},
		{"a busy press has no margin", held(300*ms, sim.VerdictBusy), "300 ms", "exact", "-"},
		{"samples leave room both ways", loose, "280 ms", "270 to 300 ms", "200 ms to spare"},
		{"samples leave next to no room", tight, "280 ms", "279.999 to 280.001 ms", "200 ms to spare"},
		{"samples leave room that rounds well", wide, "280 ms", "270 to 300 ms", "200 ms to spare"},
		{"down from the start", fromStart, "200 ms from the start", "exact", "120 ms to spare"},
		{"open", sim.Press{Up: sim.Never, Verdict: sim.VerdictOpen}, "still down", "-", "-"},
		{"long and still down", sim.Press{Up: sim.Never, Verdict: sim.VerdictLong}, "still down", "-", "-"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, test.held, tell.Held(test.press))
			p := test.press
			flick := sim.Flick{N: 1, Down: p.Down, Up: p.Up, DownUnseen: p.DownUnseen, UpUnseen: p.UpUnseen}
			p.Flick = 1
			r := &sim.Replay{Rig: rig, Window: rig.Camera.Window(), Flicks: []sim.Flick{flick}}
			assert.Equal(t, test.byHand, tell.ByHand(r, p))
			assert.Equal(t, test.margin, tell.Margin(r, p))
		})
	}
}

// TestMarginsOfRanges: the margin to a threshold that is known as a range.
func TestMarginsOfRanges(t *testing.T) {
	const ms = sim.Millisecond
	rig := sim.DefaultRig()
	rig.Camera.MinPress, rig.Camera.LongPress = sim.Interval{Low: 60 * ms, High: 220 * ms}, sim.Interval{Low: 1200 * ms, High: 1800 * ms}
	r := &sim.Replay{Rig: rig, Window: rig.Camera.Window()}
	for _, c := range []struct {
		hold    sim.Micros
		verdict sim.Verdict
		want    string
	}{
		{40 * ms, sim.VerdictShort, "20 to 180 ms too short"},
		{100 * ms, sim.VerdictShort, "up to 120 ms too short"},
		{200 * ms, sim.VerdictToggle, "up to 140 ms to spare"},
		{300 * ms, sim.VerdictToggle, "80 to 240 ms to spare"},
		{1150 * ms, sim.VerdictToggle, "50 to 650 ms to spare"},
		{1300 * ms, sim.VerdictToggle, "up to 500 ms to spare"},
		{1600 * ms, sim.VerdictLong, "up to 400 ms too long"},
		{2000 * ms, sim.VerdictLong, "200 to 800 ms too long"},
	} {
		require.Equal(t, c.want, tell.Margin(r, sim.Press{Up: c.hold, Verdict: c.verdict}))
	}
}

// TestMarginsWithoutATooLongHold (zones): if a long press toggles for good,
// long_press is no threshold to keep away from.
func TestMarginsWithoutATooLongHold(t *testing.T) {
	const ms = sim.Millisecond
	rig := sim.DefaultRig()
	rig.Camera.ToggleOn, rig.Camera.LongAction = sim.ToggleOnPress, sim.ActionNone
	r := &sim.Replay{Rig: rig, Window: rig.Camera.Window()}
	for hold, want := range map[sim.Micros]string{60 * ms: "20 ms too short", 1400 * ms: "1320 ms to spare", 2000 * ms: "1920 ms to spare"} {
		verdict := sim.VerdictShort
		switch {
		case hold >= r.Window.LongPress:
			verdict = sim.VerdictLong
		case hold >= r.Window.MinPress:
			verdict = sim.VerdictToggle
		}
		require.Equal(t, want, tell.Margin(r, sim.Press{Up: hold, Verdict: verdict}))
	}
}

func TestTakesTellWhatEndedThem(t *testing.T) {
	for ended, want := range map[sim.TakeEnd]string{
		sim.EndPress:    "press 4",
		sim.EndPowerOff: "press 4: switched off",
		sim.EndUnknown:  "press 4: not known",
		sim.EndLog:      "the end of the log",
	} {
		assert.Equal(t, want, tell.Ended(sim.Take{Ended: ended, EndedBy: 4}))
	}
}

func TestOnlyWhatIsCertainIsZeroOrAHundredPercent(t *testing.T) {
	for want, chances := range map[string][]float64{
		"0 %":            {0},
		"less than 1 %":  {1e-9, 0.0049},
		"1 %":            {0.006, 0.0149},
		"50 %":           {0.5},
		"99 %":           {0.99, 0.9949},
		"more than 99 %": {0.9951, 1 - 1e-9},
		"100 %":          {1},
	} {
		for _, chance := range chances {
			assert.Equal(t, want, tell.Chance(chance), "%v", chance)
		}
	}
}

func TestAStretchOfBeliefTellsItsChanceOnce(t *testing.T) {
	assert.Equal(t, "0 % to 50 %", tell.ChanceOver(sim.BeliefStretch{RecordingTo: 0.5}))
	assert.Equal(t, "50 %", tell.ChanceOver(sim.BeliefStretch{Recording: 0.5, RecordingTo: 0.5}))
	assert.Equal(t, "more than 99 %", tell.ChanceOver(sim.BeliefStretch{Recording: 0.997, RecordingTo: 0.999}))
}

func TestCounted(t *testing.T) {
	assert.Equal(t, "0 presses", tell.Counted(0, "press", "presses"))
	assert.Equal(t, "1 press", tell.Counted(1, "press", "presses"))
	assert.Equal(t, "2 presses", tell.Counted(2, "press", "presses"))
}

func TestRangesText(t *testing.T) {
	far := sim.PulseRange{Low: 1700, High: 2250}
	assert.Equal(t, "1700 to below 2250 µs", tell.Ranges([]sim.PulseRange{far}))
	assert.Equal(t, "900 to below 1287.5 and 1700 to below 2250 µs", tell.Ranges([]sim.PulseRange{{Low: 900, High: 1287.5}, far}))
}

func TestToggleTextTellsOpenThresholdsNoFinerThanTheyAre(t *testing.T) {
	r := sim.Replay{Rig: sim.DefaultRig(), Window: sim.Window{MinPress: 119_971, LongPress: 1_450_049}}
	assert.Equal(t, "a hold from 119.971 ms to less than 1450.049 ms toggles", tell.Toggles(&r), "as the rig says")
	r.Rig.Camera.LongPress.High += sim.Second
	assert.Equal(t, "most likely a hold from 120 ms to less than 1450 ms toggles", tell.Toggles(&r))
}
