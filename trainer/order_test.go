package trainer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// Odd orders: events that come while something else is not over yet.

// delayed is a rig whose camera sees everything late, so that the hand is ahead
// of the verdicts.
func delayed() sim.Rig {
	rig := sim.DefaultRig()
	rig.Line.Delay = 200 * ms
	return rig
}

// TestNextTakeBeforeTheVerdict: a take that starts before the previous one has been
// judged is early.
func TestNextTakeBeforeTheVerdict(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindTake, Rig: delayed(), Seed: 3})
	p.waitFor(PhaseAct)
	p.flick(300 * ms)
	length := p.drill.trial.(*takeTrial).length
	p.wait(length - 300*ms)
	p.flick(300 * ms)
	p.wait(50 * ms)
	require.Empty(t, p.drill.Results())
	p.flick(300 * ms)
	p.wait(sec)
	require.Equal(t, []Outcome{OutcomeRight, OutcomeEarly}, p.outcomes())
	require.Equal(t, length, p.drill.Flicks()[1].Took)
}

// TestFlickAtACameraThatIsOff: the flick is early, and the camera is switched on
// again afterwards.
func TestFlickAtACameraThatIsOff(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Rig: delayed(), Seed: 3})
	p.waitFor(PhaseAct)
	p.flick(1600 * ms)
	p.wait(50 * ms)
	p.flick(300 * ms) // before the verdict: the camera has switched off
	p.wait(sec)
	require.Equal(t, []Outcome{OutcomeMissed, OutcomeEarly}, p.outcomes())
	require.Equal(t, sim.VerdictOff, p.drill.Flicks()[1].Verdict)
	p.waitFor(PhaseAct)
	p.flick(300 * ms)
	p.wait(sec)
	require.Len(t, p.drill.Results(), 3)
	require.True(t, p.lastResult().Right)
	require.Len(t, p.drill.Runs(), 2)
}

// TestMoveFarTooLate: a move stamped in the past counts as one made now.
func TestMoveFarTooLate(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	p.waitFor(PhaseAct)
	p.drill.Move(p.at-sec, 2000)
	from := p.at
	p.wait(300 * ms)
	p.drill.Move(p.at, 1000)
	p.wait(100 * ms)
	require.Equal(t, p.at-100*ms-from+Lateness, p.drill.Flicks()[0].Hold())
}

// TestTouchWhileTheVerdictShows: it fails the next trial like any other touch.
func TestTouchWhileTheVerdictShows(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindHandsOff, Seed: 2})
	p.wait(3 * sec)
	p.flick(300 * ms)
	p.wait(200 * ms)
	p.flick(300 * ms)
	p.wait(sec)
	require.Len(t, p.drill.Results(), 2)
	require.Len(t, p.drill.Flicks(), 2)
	require.Equal(t, "touched", p.lastResult().Words)
}

// TestSecondPulseAfterTheSettle: the pulse on a release starts once the release has
// settled, and the flick is not over before.
func TestSecondPulseAfterTheSettle(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Switch.Settle = 400 * ms
	rig.OneShot = sim.OneShotSpec{Trigger: sim.TriggerBoth, Width: 100 * ms}
	p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
	p.waitFor(PhaseAct)
	p.flick(sec)
	p.wait(2 * sec)
	for i, f := range p.drill.Flicks() {
		require.Len(t, f.Presses, 1, "flick %d", i)
	}
	require.Len(t, p.drill.Flicks(), 2, "each move is a flick")
}

// TestPracticeBeginsAfterPowerOn: the level at boot presses nothing (M6, M10).
func TestPracticeBeginsAfterPowerOn(t *testing.T) {
	rig := delayed()
	rig.Line.Boot = sim.BootPressed
	p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
	p.waitFor(PhaseAct)
	require.Equal(t, sim.StateStandby, p.view().Tally)
	p.flick(300 * ms)
	p.wait(sec)
	require.Equal(t, sim.StateRecording, p.view().Tally)
	require.Len(t, p.drill.Flicks()[0].Presses, 1)
}

// TestWithoutLinkTheCameraSeesTheHand: the camera then sees the hand's own hold.
func TestWithoutLinkTheCameraSeesTheHand(t *testing.T) {
	rig := delayed()
	rig.Link.Frame, rig.Line.Update = 22*ms, 20*ms
	p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1, WithoutLink: true})
	p.waitFor(PhaseAct)
	p.flick(300 * ms)
	p.wait(sec)
	f := p.drill.Flicks()[0]
	require.Equal(t, []sim.Micros{f.Down, f.Up}, []sim.Micros{f.Presses[0].Down, f.Presses[0].Up})
}

// TestBlindCountWhileStarting: a camera that is about to record counts as
// recording, since the flick has done its work.
func TestBlindCountWhileStarting(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.StartDelay = 60 * sec
	p := startDrill(t, Setup{Kind: KindBlind, Rig: rig, Seed: 8})
	for p.view().Phase != PhaseAsk {
		if p.view().Phase == PhaseAct {
			p.flick(300 * ms)
		}
		p.wait(50 * ms)
	}
	p.drill.Answer(p.at, true)
	require.True(t, p.lastResult().Right)
	require.Contains(t, p.lastResult().Words, "it is recording: 1 of ")
}

// TestCutOfAFastCamera: for a fast camera, the hand decides how short a cut can be.
func TestCutOfAFastCamera(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindCut, Seed: 3})
	p.waitFor(PhaseAct)
	p.flick(200 * ms)
	p.wait(200 * ms)
	p.flick(200 * ms)
	p.wait(100 * ms)
	require.Equal(t, 400*ms-sim.ShortestHold-80*ms, p.lastResult().Off)
}

// TestPauseAtTheEndJudgesTheLastFlick: the flick ends the drill, as its time is
// up, while the pause waits for the camera to see its release.
func TestPauseAtTheEndJudgesTheLastFlick(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Rig: delayed(), Seed: 1})
	for p.view().Left > 100*ms {
		p.wait(10 * ms)
	}
	trials := len(p.drill.Results())
	p.flick(200 * ms)
	p.drill.Pause(p.at)
	require.True(t, p.drill.Over())
	require.Len(t, p.drill.Results(), trials+1)
}
