package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The rules of the model one by one. A story is a list of moments in ms and the
// channel value from then on; the value of the end is the last.

type moment struct {
	ms    float64
	value PulseWidth
}

const (
	rest   PulseWidth = 1000
	centre PulseWidth = 1500
	up     PulseWidth = 2000
)

// flick is a press from one time in ms to another.
func flick(from, to float64) []moment { return []moment{{from, up}, {to, rest}} }

func story(parts ...[]moment) []moment {
	all := []moment{{0, rest}}
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

func micros(ms float64) Micros { return Micros(ms * 1000) }

// play feeds a story; the signal is never lost unless the rig says so.
func play(rig Rig, moments []moment, endMs float64) *Replay {
	c := NewChain(TapChannel, rig)
	for _, m := range moments {
		c.Feed(Sample{At: micros(m.ms), Channel: m.value, Armed: Absent})
	}
	return c.FinishAt(micros(endMs))
}

// rigWith returns the default rig, for which no gap between samples is a lost
// signal, with changes.
func rigWith(change func(*Rig)) Rig {
	r := DefaultRig()
	r.SignalLoss.StaleAfter = Hour
	if change != nil {
		change(&r)
	}
	return r
}

type spanMs struct{ from, to float64 }

func pressedSpans(r *Replay, lane *Lane) []spanMs {
	var spans []spanMs
	for s := range lane.Presses(r.End) {
		spans = append(spans, spanMs{float64(s.From) / 1000, float64(s.To) / 1000})
	}
	return spans
}

func TestM1ValidSamples(t *testing.T) {
	s := DefaultRig().Switch
	for v, want := range map[PulseWidth]bool{749.99: false, 750: true, 1500: true, 2250: true, 2250.01: false, Absent: false} {
		assert.Equal(t, want, s.IsValid(v), "%v", v)
	}
	t.Run("an invalid sample counts as absent", func(t *testing.T) {
		r := play(rigWith(nil), []moment{{0, rest}, {10, 65535}, {20, up}, {30, 0}, {40, rest}}, 100)
		assert.Equal(t, []spanMs{{20, 40}}, pressedSpans(r, &r.Lanes.Position))
		assert.Equal(t, Samples{Count: 5, Valid: 3, End: micros(40), Steps: Steps{Median: micros(10)}}, r.Samples)
	})
	t.Run("of equal times the last value counts", func(t *testing.T) {
		r := play(rigWith(nil), []moment{{0, up}, {0, rest}, {10, up}, {10, rest}, {20, rest}, {20, up}}, 100)
		assert.Equal(t, []spanMs{{20, 100}}, pressedSpans(r, &r.Lanes.Position))
	})
}

func TestM2SignalLoss(t *testing.T) {
	lossy := func(then LossPolicy) Rig {
		return rigWith(func(r *Rig) { r.SignalLoss = SignalLossSpec{StaleAfter: micros(50), Then: then} })
	}
	gap := []moment{{0, rest}, {40, up}, {190, up}, {200, rest}}
	for _, c := range []struct {
		then LossPolicy
		want []spanMs
	}{
		{LossHold, []spanMs{{40, 200}}},
		{LossRelease, []spanMs{{40, 90}, {190, 200}}},
		{LossPress, []spanMs{{40, 200}, {250, 300}}},
	} {
		t.Run(string(c.then), func(t *testing.T) {
			r := play(lossy(c.then), gap, 300)
			assert.Equal(t, c.want, pressedSpans(r, &r.Lanes.Position))
			assert.Equal(t, []Span{{micros(90), micros(190)}, {micros(250), micros(300)}}, r.Lost)
		})
	}
	t.Run("a sample at the very moment keeps the signal alive", func(t *testing.T) {
		r := play(lossy(LossRelease), []moment{{0, up}, {50, up}, {100, up}}, 120)
		assert.Empty(t, r.Lost)
		assert.Equal(t, []spanMs{{0, 120}}, pressedSpans(r, &r.Lanes.Position))
	})
	t.Run("before the first valid sample", func(t *testing.T) {
		for then, want := range map[LossPolicy][]spanMs{LossHold: nil, LossRelease: nil, LossPress: {{0, 30}}} {
			r := play(lossy(then), []moment{{0, Absent}, {30, rest}}, 60)
			assert.Equal(t, want, pressedSpans(r, &r.Lanes.Position), then)
			assert.Equal(t, []Span{{0, micros(30)}}, r.Lost)
		}
	})
	t.Run("lost at once where the receiver says so", func(t *testing.T) {
		r := play(lossy(LossRelease), []moment{{0, rest}, {20, up}, {40, Lost}, {60, Lost}, {80, up}}, 120)
		assert.Equal(t, []Span{{micros(40), micros(80)}}, r.Lost)
		assert.Equal(t, []spanMs{{20, 40}, {80, 120}}, pressedSpans(r, &r.Lanes.Position))
	})
	t.Run("a forced position passes through settle", func(t *testing.T) {
		rig := lossy(LossRelease)
		rig.Switch.Settle = micros(20)
		r := play(rig, []moment{{0, up}}, 100)
		assert.Equal(t, []spanMs{{0, 70}}, pressedSpans(r, &r.Lanes.Settled))
	})
}

func TestM3Hysteresis(t *testing.T) {
	rig := rigWith(func(r *Rig) {
		r.Switch.Press = []PulseRange{{1700, 2100}}
		r.Switch.Hysteresis = 50
	})
	r := play(rig, []moment{{0, 1660}, {10, 1700}, {20, 1650}, {30, 1649}, {40, 1660}, {50, 2099}, {60, 2149}, {70, 2150}, {80, 2100}}, 100)
	assert.Equal(t, []spanMs{{10, 30}, {50, 70}}, pressedSpans(r, &r.Lanes.Position),
		"half-open ranges, widened on both sides only for a switch that is in one")
}

func TestM4Settle(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Switch.Settle = micros(10) })
	for name, c := range map[string]struct {
		moments []moment
		want    []spanMs
	}{
		"counts at the end of the time":    {story(flick(20, 60)), []spanMs{{30, 70}}},
		"shorter does not count":           {story(flick(20, 29.999)), nil},
		"back at that very moment":         {story(flick(20, 30)), nil},
		"a break starts the time anew":     {[]moment{{0, rest}, {20, up}, {25, rest}, {26, up}, {50, rest}}, []spanMs{{36, 60}}},
		"the position at 0 counts at once": {[]moment{{0, up}, {30, rest}}, []spanMs{{0, 40}}},
	} {
		t.Run(name, func(t *testing.T) {
			r := play(rig, c.moments, 100)
			assert.Equal(t, c.want, pressedSpans(r, &r.Lanes.Settled))
		})
	}
}

func TestM5OneShot(t *testing.T) {
	shot := func(trigger Trigger, restMs float64) Rig {
		return rigWith(func(r *Rig) { r.OneShot = OneShotSpec{trigger, micros(30), micros(restMs)} })
	}
	for name, c := range map[string]struct {
		rig     Rig
		moments []moment
		want    []spanMs
	}{
		"off follows":                         {shot(TriggerOff, 0), story(flick(10, 15)), []spanMs{{10, 15}}},
		"rising: one pulse a press":           {shot(TriggerRising, 0), story(flick(10, 100)), []spanMs{{10, 40}}},
		"both: one pulse an edge":             {shot(TriggerBoth, 0), story(flick(10, 100)), []spanMs{{10, 40}, {100, 130}}},
		"edges during a pulse are ignored":    {shot(TriggerBoth, 0), story(flick(10, 39.999)), []spanMs{{10, 40}}},
		"an edge at the end starts the next":  {shot(TriggerBoth, 0), story(flick(10, 40)), []spanMs{{10, 70}}},
		"edges during the rest are ignored":   {shot(TriggerBoth, 20), story(flick(10, 59.999)), []spanMs{{10, 40}}},
		"an edge at the end of the rest":      {shot(TriggerBoth, 20), story(flick(10, 60)), []spanMs{{10, 40}, {60, 90}}},
		"the position at t = 0 is no edge":    {shot(TriggerRising, 0), []moment{{0, up}, {50, rest}}, nil},
		"a press in the rest leaves no trace": {shot(TriggerRising, 100), story(flick(10, 20), flick(60, 150)), []spanMs{{10, 40}}},
	} {
		t.Run(name, func(t *testing.T) {
			r := play(c.rig, c.moments, 200)
			assert.Equal(t, c.want, pressedSpans(r, &r.Lanes.Pulse))
		})
	}
}

func TestM6Line(t *testing.T) {
	t.Run("keeps its level between refreshes", func(t *testing.T) {
		rig := rigWith(func(r *Rig) { r.Line.Update = micros(20) })
		r := play(rig, story(flick(5, 19), flick(25, 45), flick(60, 80)), 100)
		assert.Equal(t, []spanMs{{40, 80}}, pressedSpans(r, &r.Lanes.Line),
			"5 to 19 falls between two refreshes; the release at 45 to 60 is back by the refresh at 60")
	})
	t.Run("reaches the camera after the delay, boot level before", func(t *testing.T) {
		for boot, want := range map[BootLevel][]spanMs{BootReleased: {{40, 60}}, BootPressed: {{0, 30}, {40, 60}}} {
			rig := rigWith(func(r *Rig) { r.Line.Delay, r.Line.Boot = micros(30), boot })
			r := play(rig, story(flick(10, 30)), 100)
			assert.Equal(t, want, pressedSpans(r, &r.Lanes.Wire), boot)
		}
	})
	t.Run("where the levels differ, the camera sees the inverse", func(t *testing.T) {
		for _, active := range Polarities {
			for _, pressed := range Polarities {
				rig := rigWith(func(r *Rig) { r.Line.Active, r.Camera.PressedLevel = active, pressed })
				r := play(rig, story(flick(10, 30)), 100)
				want := []spanMs{{10, 30}}
				if active != pressed {
					want = []spanMs{{0, 10}, {30, 100}}
				}
				assert.Equal(t, want, pressedSpans(r, &r.Lanes.Wire), "%s, %s", active, pressed)
			}
		}
	})
	t.Run("boot does not count without a delay", func(t *testing.T) {
		rig := rigWith(func(r *Rig) { r.Line.Boot = BootPressed })
		r := play(rig, story(), 100)
		assert.Empty(t, pressedSpans(r, &r.Lanes.Wire))
	})
}

func verdicts(r *Replay) []Verdict {
	var list []Verdict
	for _, p := range r.Presses {
		list = append(list, p.Verdict)
	}
	return list
}

func TestM7Holds(t *testing.T) {
	// The window of the default rig: 80 ms to 1.5 s.
	for name, c := range map[string]struct {
		hold    float64
		verdict Verdict
		acts    float64 // -1: nothing happens
	}{
		"below min_press":              {79.999, VerdictShort, -1},
		"min_press reached exactly":    {80, VerdictToggle, 180},
		"just below long_press":        {1499.999, VerdictToggle, 1599.999},
		"long_press reached exactly":   {1500, VerdictLong, 1600},
		"long past, acts at threshold": {1700, VerdictLong, 1600},
	} {
		t.Run(name, func(t *testing.T) {
			r := play(rigWith(nil), story(flick(100, 100+c.hold)), 5000)
			require.Len(t, r.Presses, 1)
			p := r.Presses[0]
			assert.Equal(t, c.verdict, p.Verdict)
			assert.Equal(t, micros(c.hold), p.Hold())
			if c.acts < 0 {
				assert.Equal(t, Never, p.Acts)
			} else {
				assert.Equal(t, micros(c.acts), p.Acts)
			}
		})
	}
	t.Run("long on release acts when the release counts", func(t *testing.T) {
		rig := rigWith(func(r *Rig) { r.Camera.LongFires, r.Camera.MinGap = LongOnRelease, micros(20) })
		r := play(rig, story(flick(100, 1800)), 5000)
		assert.Equal(t, micros(1820), r.Presses[0].Acts)
		assert.Equal(t, micros(1700), r.Presses[0].Hold())
	})
}

func TestM7Gap(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Camera.MinGap = micros(20) })
	t.Run("a shorter break is no release", func(t *testing.T) {
		r := play(rig, story(flick(100, 200), flick(219.999, 300)), 1000)
		require.Len(t, r.Presses, 1)
		assert.Equal(t, micros(200), r.Presses[0].Hold())
		assert.Equal(t, micros(320), r.Presses[0].Effect)
	})
	t.Run("a break of exactly the gap is one", func(t *testing.T) {
		r := play(rig, story(flick(100, 200), flick(220, 300)), 1000)
		require.Len(t, r.Presses, 2)
		assert.Equal(t, []Toggle{{micros(220), StateRecording, 1}, {micros(320), StateStandby, 2}}, r.Toggles)
	})
	t.Run("a threshold reached during a break acts at its end", func(t *testing.T) {
		r := play(rig, story(flick(100, 1595), flick(1610, 1700)), 3000)
		require.Len(t, r.Presses, 1)
		assert.Equal(t, micros(1610), r.Presses[0].Acts, "due at 1600, in the break from 1595 to 1610")
	})
	t.Run("a release that has not counted leaves the press open", func(t *testing.T) {
		r := play(rig, story(flick(100, 200)), 219.999)
		require.Len(t, r.Presses, 1)
		assert.Equal(t, VerdictOpen, r.Presses[0].Verdict)
		assert.True(t, r.Presses[0].Open())
		assert.Equal(t, []Verdict{VerdictToggle}, verdicts(play(rig, story(flick(100, 200)), 220)))
	})
}

func TestM7ToggleOnPress(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Camera.ToggleOn = ToggleOnPress })
	t.Run("acts at min_press", func(t *testing.T) {
		r := play(rig, story(flick(100, 400)), 1000)
		assert.Equal(t, []Toggle{{micros(180), StateRecording, 1}}, r.Toggles)
	})
	t.Run("a long press acts twice", func(t *testing.T) {
		r := play(rig, story(flick(100, 1800)), 3000)
		assert.Equal(t, []Verdict{VerdictLong}, verdicts(r))
		assert.Equal(t, micros(1600), r.Presses[0].Acts)
		assert.Equal(t, []Take{{1, micros(180), micros(1600), EndPowerOff, 1}}, r.Takes)
	})
	t.Run("an open press has toggled already", func(t *testing.T) {
		r := play(rig, story([]moment{{100, up}}), 500)
		assert.Equal(t, VerdictOpen, r.Presses[0].Verdict)
		assert.Equal(t, micros(180), r.Presses[0].Acts)
	})
}

func TestM7DownFromStart(t *testing.T) {
	r := play(rigWith(nil), []moment{{0, up}, {200, rest}}, 1000)
	require.Len(t, r.Presses, 1)
	assert.True(t, r.Presses[0].FromStart)
	assert.Equal(t, micros(200), r.Presses[0].Hold())
	assert.Equal(t, VerdictToggle, r.Presses[0].Verdict)
}

func TestM8Busy(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Camera.StartDelay, r.Camera.StopDelay = micros(400), micros(600) })
	r := play(rig, story(flick(100, 200), flick(599.999, 700), flick(1000, 1100), flick(1700, 1800)), 3000)
	assert.Equal(t, []Verdict{VerdictToggle, VerdictBusy, VerdictToggle, VerdictToggle}, verdicts(r),
		"starting lasts from 200 to 600, stopping from 1100 to 1700; a busy time that ends at the press has ended")
	assert.Equal(t, []Take{
		{1, micros(600), micros(1100), EndPress, 3},
		{2, micros(2200), micros(3000), EndLog, 0},
	}, r.Takes)
	assert.Equal(t, []StateChange{
		{0, StateStandby}, {micros(200), StateStarting}, {micros(600), StateRecording}, {micros(1100), StateStopping},
		{micros(1700), StateStandby}, {micros(1800), StateStarting}, {micros(2200), StateRecording},
	}, r.States)
}

func TestM8LongActions(t *testing.T) {
	recordThenLong := story(flick(100, 200), flick(1000, 3000), flick(4000, 4100))
	for action, want := range map[Action]struct {
		takes    []Take
		verdicts []Verdict
		last     State
	}{
		ActionPowerOff: {[]Take{{1, micros(200), micros(2500), EndPowerOff, 2}}, []Verdict{VerdictToggle, VerdictLong, VerdictOff}, StateOff},
		ActionUnknown:  {[]Take{{1, micros(200), micros(2500), EndUnknown, 2}}, []Verdict{VerdictToggle, VerdictLong, VerdictUnknown}, StateUnknown},
		ActionNone:     {[]Take{{1, micros(200), micros(4100), EndPress, 3}}, []Verdict{VerdictToggle, VerdictLong, VerdictToggle}, StateStandby},
	} {
		t.Run(string(action), func(t *testing.T) {
			r := play(rigWith(func(r *Rig) { r.Camera.LongAction = action }), recordThenLong, 6000)
			assert.Equal(t, want.takes, r.Takes)
			assert.Equal(t, want.verdicts, verdicts(r))
			assert.Equal(t, want.last, r.States[len(r.States)-1].State)
			assert.Equal(t, micros(2500), r.Presses[1].Acts, "a long press acts when its action is due, even none")
		})
	}
}

func TestM8Wake(t *testing.T) {
	rig := rigWith(func(r *Rig) {
		r.Camera.Start = StartOff
		r.Camera.WakePress = micros(500)
		r.Camera.Boot = micros(1000)
		r.Camera.WakeInto = WakeRecording
	})
	r := play(rig, story(flick(100, 300), flick(1000, 1800), flick(2000, 2200)), 4000)
	assert.Equal(t, []Verdict{VerdictOff, VerdictWake, VerdictBusy}, verdicts(r))
	assert.Equal(t, []StateChange{{0, StateOff}, {micros(1500), StateBooting}, {micros(2500), StateRecording}}, r.States)
	assert.Equal(t, []Take{{1, micros(2500), micros(4000), EndLog, 0}}, r.Takes)
	assert.Empty(t, r.Toggles, "waking is no toggle")
}

func TestM8Starts(t *testing.T) {
	for start, want := range map[StartState]struct {
		verdict Verdict
		takes   []Take
	}{
		StartStandby:   {VerdictToggle, []Take{{1, micros(200), micros(1000), EndLog, 0}}},
		StartRecording: {VerdictToggle, []Take{{1, 0, micros(200), EndPress, 1}}},
		StartOff:       {VerdictOff, nil},
		StartUnknown:   {VerdictUnknown, nil},
	} {
		r := play(rigWith(func(r *Rig) { r.Camera.Start = start }), story(flick(100, 200)), 1000)
		assert.Equal(t, []Verdict{want.verdict}, verdicts(r), start)
		assert.Equal(t, want.takes, r.Takes, start)
	}
}

func TestArmedTime(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Log.Armed = "arm" })
	c := NewChain(TapChannel, rig)
	for _, s := range []Sample{
		{0, rest, 1000}, {micros(100), rest, 1800}, {micros(200), up, 1800}, {micros(300), rest, Absent},
		{micros(600), rest, 1000}, {micros(700), rest, 1800}, {micros(800), rest, 1800},
	} {
		c.Feed(s)
	}
	r := c.Finish()
	assert.Equal(t, []Span{{micros(100), micros(600)}, {micros(700), micros(800)}}, r.Armed.Windows,
		"a value that is not there keeps the state")
	assert.Equal(t, micros(600), r.Armed.Armed)
	assert.Equal(t, micros(400), r.Armed.Recorded)
	assert.Equal(t, []Span{{micros(100), micros(300)}}, r.Armed.Missed(r.Takes))
}

// M8: auto_off. The idle time counts from the later of standby and the release
// of the line; a press at its very end finds the camera off.
func TestM8AutoOff(t *testing.T) {
	rig := rigWith(func(r *Rig) { r.Camera.AutoOff = 2 * Second })
	for _, c := range []struct {
		name    string
		moments []moment
		state   State // at 5 s
		first   Verdict
	}{
		{"left alone", story(), StateOff, ""},
		{"a press just before the end", story(flick(1999.999, 2300)), StateRecording, VerdictToggle},
		{"a press at the very end finds it off", story(flick(2000, 2300)), StateOff, VerdictOff},
		{"a short press begins the time anew", story(flick(1900, 1950)), StateOff, VerdictShort},
		{"not while it records", story(flick(1000, 1300)), StateRecording, VerdictToggle},
		{"from the stop on", story(flick(1000, 1300), flick(2500, 2800)), StateOff, VerdictToggle},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := play(rig, c.moments, 5000)
			assert.Equal(t, c.state, r.StateAt(r.End))
			if c.first != "" {
				require.NotEmpty(t, r.Presses)
				assert.Equal(t, c.first, r.Presses[0].Verdict)
			}
		})
	}
	r := play(rig, story(flick(1900, 1950)), 5000)
	assert.Equal(t, StateChange{micros(3950), StateOff}, r.States[1])
}
