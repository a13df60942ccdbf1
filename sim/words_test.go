package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"flicktally/sim"
)

func TestPressesAreToldInWords(t *testing.T) {
	const ms = sim.Millisecond
	window := sim.Window{MinPress: 80 * ms, LongPress: 1500 * ms}
	held := func(hold sim.Micros, verdict sim.Verdict) sim.Press {
		return sim.Press{Down: 1000 * ms, Up: 1000*ms + hold, Verdict: verdict}
	}
	loose, fromStart := held(280*ms, sim.VerdictToggle), held(200*ms, sim.VerdictToggle)
	loose.DownUnseen, loose.UpUnseen = 20*ms, 10*ms
	fromStart.FromStart = true

	tests := []struct {
		name                 string
		press                sim.Press
		held, byHand, margin string
	}{
		{"short", held(60*ms, sim.VerdictShort), "60ms", "exact", "20ms too short"},
		{"nearer to the short end", held(300*ms, sim.VerdictToggle), "300ms", "exact", "220ms to spare"},
		{"nearer to the long end", held(1400*ms, sim.VerdictToggle), "1.4s", "exact", "100ms to spare"},
		{"long", held(2310*ms, sim.VerdictLong), "2.31s", "exact", "810ms too long"},
		{"a busy press has no margin", held(300*ms, sim.VerdictBusy), "300ms", "exact", "-"},
		{"samples leave room both ways", loose, "280ms", "270ms to 300ms", "200ms to spare"},
		{"down from the start", fromStart, "200ms from the start", "exact", "120ms to spare"},
		{"open", sim.Press{Up: sim.Never, Verdict: sim.VerdictOpen}, "still down", "-", "-"},
		{"long and still down", sim.Press{Up: sim.Never, Verdict: sim.VerdictLong}, "still down", "-", "-"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, test.held, test.press.HeldText())
			assert.Equal(t, test.byHand, test.press.ByHandText())
			assert.Equal(t, test.margin, window.MarginText(test.press))
		})
	}
}

func TestTakesTellWhatEndedThem(t *testing.T) {
	for ended, want := range map[sim.TakeEnd]string{
		sim.EndPress:    "press 4",
		sim.EndPowerOff: "press 4: switched off",
		sim.EndUnknown:  "press 4: not known",
		sim.EndLog:      "the log's end",
	} {
		assert.Equal(t, want, sim.Take{Ended: ended, EndedBy: 4}.EndedText())
	}
}
