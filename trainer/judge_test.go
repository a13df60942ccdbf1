package trainer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// Robots: what does not do the task is never right.

// outcomes returns what the trials came to.
func (p *pilot) outcomes() (outcomes []Outcome) {
	for _, r := range p.drill.Results() {
		outcomes = append(outcomes, r.Outcome)
	}
	return outcomes
}

// TestTakeThatIsStoppedAtOnce is off, however neat its flicks are.
func TestTakeThatIsStoppedAtOnce(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindTake, Seed: 3})
	for !p.drill.Over() {
		p.wait(50 * ms)
		if p.view().Phase == PhaseAct {
			p.flick(300 * ms)
			p.wait(300 * ms)
			p.flick(300 * ms)
		}
	}
	require.Greater(t, len(p.outcomes()), 20)
	for _, r := range p.drill.Results() {
		require.Equal(t, OutcomeOff, r.Outcome)
		require.False(t, r.Within)
		require.Contains(t, r.Number(), "−")
	}
	past := p.drill.Past()
	require.Zero(t, past.Reliability(KindTake).All.Hits)
	require.Zero(t, past.Level(KindTake))
}

// TestHammering a key is no way to follow a pattern.
func TestHammering(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindPattern, Seed: 3})
	for !p.drill.Over() {
		p.flick(100 * ms)
		p.wait(100 * ms)
	}
	require.Greater(t, len(p.outcomes()), 100)
	require.NotContains(t, p.outcomes(), OutcomeRight)
	require.Contains(t, p.outcomes(), OutcomeEarly)
}

// TestLongSteadyHoldsAreOff and do not move the target.
func TestLongSteadyHoldsAreOff(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindSteady, Seed: 5})
	for range 8 {
		p.waitFor(PhaseAct)
		require.Equal(t, 350*ms, p.view().Hold.Aim)
		p.flick(1040 * ms)
		p.wait(2 * sec)
	}
	for _, r := range p.drill.Results() {
		require.Equal(t, OutcomeOff, r.Outcome)
		require.Equal(t, 690*ms, r.Off)
		require.Equal(t, "+690 ms", r.Number())
	}
}

// TestSteadyTolerance is a fifth of the aim on every level.
func TestSteadyTolerance(t *testing.T) {
	var skilled Past
	for range 3 * topLevel {
		skilled.Add(Result{Kind: KindSteady, Outcome: OutcomeRight, Right: true, Within: true})
	}
	require.Equal(t, topLevel, skilled.Level(KindSteady))
	for hold, want := range map[sim.Micros]Outcome{
		279 * ms: OutcomeOff, 280 * ms: OutcomeRight, 420 * ms: OutcomeRight, 421 * ms: OutcomeOff, 40 * ms: OutcomeMissed,
	} {
		for _, past := range []Past{{}, skilled} {
			p := startDrill(t, Setup{Kind: KindSteady, Seed: 5, Past: past})
			p.waitFor(PhaseAct)
			p.flick(hold)
			p.wait(100 * ms)
			require.Equal(t, want, p.lastResult().Outcome, "%s", hold)
		}
	}
}

// TestNoActionIsMissed in every drill that asks for a flick.
func TestNoActionIsMissed(t *testing.T) {
	for _, kind := range []Kind{KindFlick, KindSteady, KindTake, KindCut, KindPattern, KindBlind} {
		p := startDrill(t, Setup{Kind: kind, Seed: 3})
		for !p.drill.Over() {
			p.wait(sec)
		}
		require.Greater(t, len(p.outcomes()), 15, kind)
		for _, o := range p.outcomes() {
			require.Equal(t, OutcomeMissed, o, kind)
		}
	}
}

// TestHalfDoneIsMissed: the second flick of a trial has its time too.
func TestHalfDoneIsMissed(t *testing.T) {
	for _, kind := range []Kind{KindTake, KindCut, KindPattern, KindBlind} {
		p := startDrill(t, Setup{Kind: kind, Seed: 3})
		p.waitFor(PhaseAct)
		p.flick(300 * ms)
		p.wait(12 * sec)
		require.NotEmpty(t, p.outcomes(), kind)
		require.Equal(t, OutcomeMissed, p.outcomes()[0], kind)
	}
}

// TestFlicksWithoutACueAreEarly in every drill.
func TestFlicksWithoutACueAreEarly(t *testing.T) {
	for _, kind := range tracks {
		p := startDrill(t, Setup{Kind: kind, Seed: 3})
		for range 20 {
			p.wait(300 * ms)
			if p.view().Phase != PhaseAct {
				p.flick(350 * ms)
			}
		}
		p.wait(100 * ms)
		require.NotEmpty(t, p.outcomes(), kind)
		for _, o := range p.outcomes() {
			require.Equal(t, OutcomeEarly, o, kind)
		}
	}
}

// TestCutHasASecond after the earliest moment.
func TestCutHasASecond(t *testing.T) {
	for wait, want := range map[sim.Micros]Outcome{300 * ms: OutcomeRight, 1500 * ms: OutcomeOff, 4 * sec: OutcomeMissed} {
		p := startDrill(t, Setup{Kind: KindCut, Seed: 3})
		p.waitFor(PhaseAct)
		p.flick(200 * ms)
		p.wait(wait)
		if want != OutcomeMissed {
			p.flick(200 * ms)
			p.wait(100 * ms)
		}
		require.Equal(t, want, p.outcomes()[0], "%s", wait)
	}
}

// TestHandsOffWantsTheSwitchAtRest: one that is left pressed is not left alone.
func TestHandsOffWantsTheSwitchAtRest(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindHandsOff, Seed: 2})
	p.wait(sec)
	p.drill.Move(p.at, 2000)
	p.wait(60 * sec)
	require.Greater(t, len(p.outcomes()), 2)
	require.NotContains(t, p.outcomes(), OutcomeRight)
}

// TestPauseKeepsAMistake: what the hand has begun counts.
func TestPauseKeepsAMistake(t *testing.T) {
	for _, onCue := range []bool{false, true} {
		p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
		want := OutcomeEarly
		if onCue {
			p.waitFor(PhaseAct)
			want = OutcomeMissed
		}
		p.drill.Move(p.at, 2000)
		p.wait(100 * ms)
		p.drill.Pause(p.at)
		require.Equal(t, []Outcome{want}, p.outcomes())
		require.Equal(t, PhasePaused, p.view().Phase)
	}
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	p.waitFor(PhaseAct)
	p.drill.Move(p.at, 2000)
	p.drill.Interrupt(p.at)
	require.Empty(t, p.outcomes(), "what is not the pilot's doing counts nowhere")
}

// TestZonesDecide: where no long action takes it back, a long hold toggles.
func TestZonesDecide(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.ToggleOn = sim.ToggleOnPress
	for action, want := range map[sim.LongAction]Outcome{sim.LongNone: OutcomeRight, sim.LongPowerOff: OutcomeMissed} {
		rig.Camera.LongAction = action
		p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
		p.waitFor(PhaseAct)
		p.flick(1800 * ms)
		p.wait(sec)
		require.Equal(t, want, p.lastResult().Outcome, action)
	}
}

// TestTakeBackUndoesAll that came of the moves since a moment.
func TestTakeBackUndoesAll(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	q := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	for _, pilot := range []*pilot{p, q} {
		pilot.waitFor(PhaseAct)
		pilot.flick(300 * ms)
		pilot.wait(sec)
		pilot.waitFor(PhaseAct)
	}
	from := p.at
	p.flick(50 * ms)
	p.wait(3 * sec)
	require.Equal(t, []Outcome{OutcomeRight, OutcomeMissed}, p.outcomes()[:2])
	p.drill.TakeBack(from)
	p.drill.Tick(p.at)
	q.wait(p.at - q.at)
	require.Equal(t, q.drill.Results(), p.drill.Results())
	require.Equal(t, q.drill.Flicks(), p.drill.Flicks())
	require.Equal(t, q.drill.Runs(), p.drill.Runs())
}
