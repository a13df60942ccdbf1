package trainer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// Robots: whoever does not do the task is never right.

// outcomes returns the outcomes of the trials so far.
func (p *pilot) outcomes() (outcomes []Outcome) {
	for _, r := range p.drill.Results() {
		outcomes = append(outcomes, r.Outcome)
	}
	return outcomes
}

// TestTakeThatIsStoppedAtOnce: such a take is off, however good its flicks are.
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

// TestHammering: hammering a key does not follow a pattern.
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

// TestLongSteadyHoldsAreOff: steady holds that are too long are off, and do not move
// the aim.
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

// TestSteadyTolerance: the tolerance is a fifth of the aim at every level.
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

// TestNoActionIsMissed: doing nothing misses every trial that asks for a flick.
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

// TestHalfDoneIsMissed: the second flick of a trial also expires.
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

// TestFlicksWithoutACueAreEarly checks every drill.
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

// TestCutHasASecond: a cut may take a second longer than the camera needs.
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

// TestHandsOffWantsTheSwitchAtRest: a switch that is left pressed fails the trial.
func TestHandsOffWantsTheSwitchAtRest(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindHandsOff, Seed: 2})
	p.wait(sec)
	p.drill.Move(p.at, 2000)
	p.wait(60 * sec)
	require.Greater(t, len(p.outcomes()), 2)
	require.NotContains(t, p.outcomes(), OutcomeRight)
}

// TestPauseKeepsAMistake: a trial that the hand has begun counts.
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
	require.Empty(t, p.outcomes(), "an interruption counts nowhere")
}

// TestAPressInAPauseCounts for the cue before the pause, or as early, and restarts
// the time. After an interruption there is no such cue.
func TestAPressInAPauseCounts(t *testing.T) {
	for name, c := range map[string]struct {
		until Phase
		stop  func(*Drill, sim.Micros)
		want  []Outcome
	}{
		"on the cue":            {PhaseAct, (*Drill).Pause, []Outcome{OutcomeRight}},
		"before the cue":        {PhaseWait, (*Drill).Pause, []Outcome{OutcomeEarly}},
		"after an interruption": {PhaseAct, (*Drill).Interrupt, nil},
	} {
		p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
		p.waitFor(c.until)
		c.stop(p.drill, p.at)
		left := p.view().Left
		p.wait(20 * sec)
		require.Equal(t, left, p.view().Left, name)
		p.drill.Move(p.at, 1240) // no press
		require.Equal(t, PhasePaused, p.view().Phase, name)
		p.flick(300 * ms)
		p.wait(100 * ms)
		require.Equal(t, c.want, p.outcomes(), name)
	}
}

// TestASwitchPressedThroughAPause: a press that lasts into a pause does not resume
// the drill; the next one does.
func TestASwitchPressedThroughAPause(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindFlick, Seed: 1})
	p.waitFor(PhaseAct)
	p.drill.Move(p.at, 2000)
	p.wait(100 * ms)
	p.drill.Pause(p.at)
	require.Equal(t, []Outcome{OutcomeMissed}, p.outcomes())
	p.drill.Move(p.at, 1000)
	require.Equal(t, PhasePaused, p.view().Phase)
	p.flick(300 * ms)
	p.wait(100 * ms)
	require.Equal(t, []Outcome{OutcomeMissed, OutcomeEarly}, p.outcomes())
}

// TestZonesDecide: if no long action takes the toggle back, a long hold toggles.
func TestZonesDecide(t *testing.T) {
	rig := sim.DefaultRig()
	rig.Camera.ToggleOn = sim.ToggleOnPress
	for action, want := range map[sim.Action]Outcome{sim.ActionNone: OutcomeRight, sim.ActionPowerOff: OutcomeMissed} {
		rig.Camera.LongAction = action
		p := startDrill(t, Setup{Kind: KindFlick, Rig: rig, Seed: 1})
		p.waitFor(PhaseAct)
		p.flick(1800 * ms)
		p.wait(sec)
		require.Equal(t, want, p.lastResult().Outcome, action)
	}
}

// TestTakeBackUndoesAll: taking back undoes all consequences of the moves.
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

// TestBlindAnswers: a wrong answer is off, and none in time is missed.
func TestBlindAnswers(t *testing.T) {
	for _, c := range []struct {
		answer func(p *pilot, records bool)
		want   Outcome
	}{
		{func(p *pilot, records bool) { p.drill.Answer(p.at, records) }, OutcomeRight},
		{func(p *pilot, records bool) { p.drill.Answer(p.at, !records) }, OutcomeOff},
		{func(p *pilot, _ bool) { p.wait(answerWithin + 200*ms) }, OutcomeMissed},
	} {
		p := startDrill(t, Setup{Kind: KindBlind, Seed: 8})
		flicks := 0
		for p.view().Phase != PhaseAsk {
			if p.view().Phase == PhaseAct {
				p.flick(300 * ms)
				flicks++
			}
			p.wait(50 * ms)
		}
		c.answer(p, flicks%2 == 1)
		require.Equal(t, []Outcome{c.want}, p.outcomes())
	}
}

// TestHeldSwitchExpires: in every drill, a press that is not released ends its
// trial, which is not right, and no cue comes while the switch presses.
func TestHeldSwitchExpires(t *testing.T) {
	for _, kind := range tracks {
		p := startDrill(t, Setup{Kind: kind, Seed: 3})
		p.waitFor(PhaseAct)
		before := len(p.outcomes())
		p.drill.Move(p.at, 2000)
		p.wait(10 * sec)
		require.Greater(t, len(p.outcomes()), before, kind)
		for _, o := range p.outcomes()[before:] {
			require.NotEqual(t, OutcomeRight, o, kind)
		}
		for p.wait(sec); !p.drill.Over(); p.wait(sec) {
			require.NotEqual(t, PhaseAct, p.view().Phase, kind)
		}
		for _, o := range p.outcomes()[before:] {
			require.NotEqual(t, OutcomeRight, o, kind)
		}
	}
}

// TestHandsOffSeesEveryMove, also one without a press. The wavering of an axis at
// rest is no move, and a switch on its way back does not count.
func TestHandsOffSeesEveryMove(t *testing.T) {
	p := startDrill(t, Setup{Kind: KindHandsOff, Seed: 2})
	p.wait(3 * sec)
	for _, wavering := range []sim.PulseWidth{1003, 998, 1020} {
		p.drill.Move(p.at, wavering)
	}
	require.Empty(t, p.outcomes())
	p.drill.Move(p.at, 1240)
	require.Equal(t, []Outcome{OutcomeEarly}, p.outcomes())
	p.wait(100 * ms)
	p.drill.Move(p.at, 1000)
	require.Len(t, p.outcomes(), 1)
}

// TestEveryMoveCounts: if both edges start a pulse, each move is a flick, and a
// pilot who knows that can be right in every drill.
func TestEveryMoveCounts(t *testing.T) {
	rig := sim.DefaultRig()
	rig.OneShot = sim.OneShotSpec{Trigger: sim.TriggerBoth, Width: 200 * ms}
	for _, kind := range tracks {
		p := startDrill(t, Setup{Kind: kind, Rig: rig, Seed: 6})
		values, moves := [2]sim.PulseWidth{2000, 1000}, 0
		move := func() {
			p.drill.Move(p.at, values[moves%2])
			moves++
		}
		started := sim.Micros(0)
		for !p.drill.Over() {
			v := p.view()
			switch {
			case v.Phase == PhaseAsk:
				p.drill.Answer(p.at, v.Tally == sim.StateRecording)
			case v.Kind == KindPattern && v.Phase == PhaseAct:
				n := len(v.Timeline.Made)
				if n == 0 || n < len(v.Timeline.Wanted) && v.Timeline.At >= v.Timeline.Wanted[n].From {
					move()
				}
			case v.Cue == "Stop it":
				if p.at >= started+p.drill.trial.(*takeTrial).length {
					move()
					p.wait(250 * ms)
				}
			case v.Phase == PhaseAct && p.at > started+sec, v.Cue == "Start again":
				move()
				started = p.at
				p.wait(250 * ms)
				continue
			}
			p.wait(20 * ms)
		}
		rate := NewScore(nil, p.drill.Results()).Kinds[0].Right
		require.Greater(t, rate.Trials, 8, "%s: %v", kind, p.drill.Results())
		require.Equal(t, rate.Trials, rate.Hits, "%s: %v", kind, p.drill.Results())
	}
}
