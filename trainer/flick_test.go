package trainer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func TestFlickWords(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	rig.Camera.LongPress = sim.Interval{Low: 1400 * ms, High: 1600 * ms}
	press := func(verdict sim.Verdict, hold sim.Micros) []sim.Press {
		return []sim.Press{{Down: sec, Up: sec + hold, Verdict: verdict, Acts: sim.Never}}
	}
	for _, c := range []struct {
		flick Flick
		want  string
	}{
		{Flick{Presses: press(sim.VerdictToggle, 310*ms)}, "310 ms: toggles, 225 ms to spare"},
		{Flick{Presses: press(sim.VerdictToggle, 1480*ms)}, "1480 ms: toggles, 20 ms to spare, if the press window is as assumed"},
		{Flick{Presses: press(sim.VerdictShort, 50*ms)}, "50 ms: too short by 35 ms"},
		{Flick{Presses: press(sim.VerdictShort, 70*ms)}, "70 ms: too short by 15 ms, if the press window is as assumed"},
		{Flick{Presses: press(sim.VerdictLong, 2*sec)}, "2000 ms: too long by 500 ms"},
		{Flick{Presses: press(sim.VerdictToggle, 86*ms)}, "86 ms: at the edge of the press window, too close to call with this input"},
		{Flick{Presses: press(sim.VerdictBusy, 300*ms), Wait: 420 * ms}, "300 ms: too soon by 420 ms, the camera was busy"},
		{Flick{Presses: press(sim.VerdictOff, 300*ms)}, "300 ms: the camera was off"},
		{Flick{Presses: press(sim.VerdictUnknown, 300*ms)}, "300 ms: what the camera did is unknown"},
		{Flick{Down: sec, Up: 1010 * ms}, "10 ms: the camera never saw it"},
		{Flick{Down: sec, Up: 1300 * ms, Presses: append(press(sim.VerdictToggle, 100*ms), press(sim.VerdictToggle, 100*ms)...)}, "300 ms: the camera saw 2 presses"},
	} {
		c.flick.judge(rig.Camera, 2*ms)
		require.Equal(t, c.want, c.flick.Words())
	}
}

// TestEdgeOfTheWindowToggles: a hold of exactly min_press toggles, one of
// exactly long_press does not (M7).
func TestEdgeOfTheWindowToggles(t *testing.T) {
	for hold, want := range map[sim.Micros]sim.Verdict{
		80*ms - 1: sim.VerdictShort, 80 * ms: sim.VerdictToggle, 1500*ms - 1: sim.VerdictToggle, 1500 * ms: sim.VerdictLong,
	} {
		p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
		p.waitFor(PhaseAct)
		p.flick(hold)
		p.wait(100 * ms)
		require.Equal(t, want, p.drill.Flicks()[0].Verdict, hold)
	}
}

// TestFlickThatMakesTwoPresses: one flick that makes two presses is not right.
func TestFlickThatMakesTwoPresses(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Link = sim.LinkSpec{Frame: 20 * ms, Loss: 0.9}
	rig.SignalLoss = sim.SignalLossSpec{Then: sim.LossRelease, StaleAfter: 100 * ms}
	p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
	p.waitFor(PhaseAct)
	p.flick(1900 * ms)
	p.wait(sec)
	require.Equal(t, verdictSeveral, p.drill.Flicks()[0].Verdict)
	require.False(t, p.lastResult().Right)
}

// TestOneShotMakesTheHold: with a one-shot, the hand's hold is not scored.
func TestOneShotMakesTheHold(t *testing.T) {
	rig := sim.DefaultRig()
	rig.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 300 * ms}
	p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
	p.waitFor(PhaseAct)
	require.Zero(t, p.view().Hold.Aim)
	p.flick(40 * ms)
	p.wait(sec)
	r := p.lastResult()
	require.Equal(t, "300 ms: toggles, 220 ms to spare", r.Words)
	require.True(t, r.Within)
	require.False(t, r.Scored)
}

// TestCueWaitsForTheCamera: no cue comes while the camera would not accept a press.
func TestCueWaitsForTheCamera(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.StartDelay = 10 * sec
	p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
	p.waitFor(PhaseAct)
	p.flick(300 * ms)
	p.wait(9 * sec)
	require.Equal(t, sim.StateStarting, p.view().Tally)
	require.Equal(t, PhaseWait, p.view().Phase)
	p.wait(2 * sec)
	require.Equal(t, PhaseAct, p.view().Phase)
	require.Equal(t, sim.StateRecording, p.view().Tally)
	require.InDelta(t, float64(sec), float64(p.view().TakeFor), float64(sec))
}

// TestDeadlineIsEnough: it is enough to call Tick at the deadlines.
func TestDeadlineIsEnough(t *testing.T) {
	for _, kind := range tracks {
		d, err := New(Setup{Kind: kind, Rig: sim.DefaultRig(), Seed: 6})
		require.NoError(t, err)
		d.Start(0, 1000)
		now := sim.Micros(0)
		for calls := 0; !d.Over(); calls++ {
			require.Less(t, calls, 20000)
			switch v := d.View(now); {
			case v.Phase == PhaseAct && !v.Hold.Holding:
				d.Move(now, 2000)
				now += 300 * ms
				d.Move(now, 1000)
			case v.Phase == PhaseAsk:
				d.Answer(now, true)
			}
			due := d.Deadline()
			require.True(t, d.Over() || due > now, "the deadline lies ahead")
			now = due
			d.Tick(now)
		}
		require.Greater(t, len(d.Results()), 5, kind)
	}
}

// TestFailuresSayWhichFlick: the verdict on a trial of two flicks names the one that
// failed.
func TestFailuresSayWhichFlick(t *testing.T) {
	for _, c := range []struct {
		kind          Kind
		first, second sim.Micros
		want          string
	}{
		{KindTake, 300 * ms, 40 * ms, "the take did not stop: 40 ms: too short by 40 ms"},
		{KindCut, 40 * ms, 0, "the take did not stop: 40 ms: too short by 40 ms"},
		{KindCut, 300 * ms, 40 * ms, "no new take: 40 ms: too short by 40 ms"},
		{KindTake, 300 * ms, 79 * ms, "79 ms: at the edge of the press window, too close to call with this input"},
		{KindCut, 300 * ms, 79 * ms, "79 ms: at the edge of the press window, too close to call with this input"},
	} {
		p := startDrill(t, Setup{Kind: c.kind, Seed: 1, Resolution: 2 * ms})
		p.waitFor(PhaseAct)
		p.flick(c.first)
		p.wait(sec)
		if c.second > 0 {
			p.flick(c.second)
			p.wait(sec)
		}
		require.Len(t, p.drill.Results(), 1)
		require.Equal(t, c.want, p.lastResult().Words)
	}
}

// BenchmarkDrill runs a whole drill of two minutes on a rig with a frame every 4 ms,
// with a tick and a view at 60 Hz.
func BenchmarkDrill(b *testing.B) {
	rig := sim.DefaultRig()
	rig.Link = sim.LinkSpec{Frame: 4 * ms, Loss: 0.01}
	rig.Line.Update = 10 * ms
	b.ReportAllocs()
	for b.Loop() {
		d, err := New(Setup{Kind: KindFlick, Rig: rig, Seed: 1})
		if err != nil {
			b.Fatal(err)
		}
		d.Start(0, 1000)
		for now := sim.Micros(0); !d.Over(); now += 16667 {
			d.Tick(now)
			if d.View(now).Phase == PhaseAct {
				d.Move(now, 2000)
				now += 300 * ms
				d.Move(now, 1000)
			}
		}
	}
}
