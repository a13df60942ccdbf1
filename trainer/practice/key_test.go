package practice

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

// holding starts practice on a terminal that reports releases.
func holding(t *testing.T) *pilot {
	p := practising(t, trainer.KindFlick, 80, 24)
	p.Handle(term.KeyboardEvent{Releases: true})
	p.waitFor(trainer.PhaseAct)
	return p
}

// space sends an event of the key that is the switch.
func (p *pilot) space(kind term.KeyKind) {
	p.Handle(term.KeyEvent{At: p.now, Name: "space", Kind: kind})
}

// If the terminal reports releases, holding the key is the press, and its repeats do
// nothing.
func TestHoldingTheKeyIsThePress(t *testing.T) {
	p := holding(t)
	p.shows("hold space to press")
	p.space(term.KeyPressed)
	for range 10 {
		p.wait(33 * ms)
		p.space(term.KeyRepeated)
	}
	p.shows("switch: pressed")
	p.space(term.KeyReleased)
	p.shows("switch: rest")
	p.wait(100 * ms)
	flicks := p.book.drill.Flicks()
	require.Len(t, flicks, 1)
	require.Equal(t, 330*ms, flicks[0].Hold())
	require.Equal(t, trainer.OutcomeRight, p.book.drill.Results()[0].Outcome)
	require.NotContains(t, p.picture(screentest.Unicode), p.input.tapHint())
}

// If both edges start a pulse, a stroke of the key is one flick, whether or not the
// terminal reports releases.
func TestAStrokeIsOneFlickWhereEveryMoveIs(t *testing.T) {
	for _, releases := range []bool{false, true} {
		p := practising(t, trainer.KindFlick, 80, 24, func(o *Options) {
			o.Setup.Rig.OneShot = sim.OneShotSpec{Trigger: sim.TriggerBoth, Width: 300 * ms}
		})
		p.Handle(term.KeyboardEvent{Releases: releases})
		p.shows("tap space = flick")
		for n := range 3 {
			p.waitFor(trainer.PhaseAct)
			p.space(term.KeyPressed)
			p.wait(200 * ms)
			if releases {
				p.space(term.KeyRepeated)
				p.space(term.KeyReleased)
			}
			p.wait(400 * ms)
			require.Len(t, p.book.drill.Flicks(), n+1)
			require.Equal(t, trainer.OutcomeRight, p.book.drill.Results()[n].Outcome)
		}
	}
}

// If a release never comes, because the window lost the keyboard, the next press and
// release put it right.
func TestALostReleaseIsMended(t *testing.T) {
	p := holding(t)
	p.space(term.KeyPressed)
	p.wait(300 * ms)
	p.space(term.KeyPressed)
	p.shows("switch: pressed")
	p.wait(100 * ms)
	p.space(term.KeyReleased)
	p.shows("switch: rest")
}

// A key that is held through the end of a drill types nothing on the next page.
func TestRepeatsAreNoKeysElsewhere(t *testing.T) {
	p := holding(t)
	p.press("?")
	p.space(term.KeyReleased)
	p.shows("this help")
	p.press("q", "q")
	p.shows("Practise Heron")
	for _, name := range []string{"q", "enter", "1", "m"} {
		require.True(t, p.Handle(term.KeyEvent{At: p.now, Name: name, Kind: term.KeyRepeated}))
		p.shows("Practise Heron")
	}
}

// One key leaves a trial that is stuck. If the hand has begun it, it counts.
func TestATrialIsLeftWithOneKey(t *testing.T) {
	p := practising(t, trainer.KindTake, 80, 24)
	p.waitFor(trainer.PhaseAct)
	p.flick(300 * ms)
	p.wait(sim.Second)
	p.press("enter")
	require.Len(t, p.book.drill.Results(), 1, "a take that was started and not stopped")
	require.NotEqual(t, trainer.OutcomeRight, p.book.drill.Results()[0].Outcome)
	p.waitFor(trainer.PhaseAct)
	p.press("enter")
	require.Len(t, p.book.drill.Results(), 1, "one that was not begun is dropped")
}

// A press during a pause, or with the help open, resumes the drill and counts for the
// cue before it.
func TestAPressInAPauseOrHelpResumes(t *testing.T) {
	for _, key := range []string{"p", "?"} {
		p := practising(t, trainer.KindFlick, 80, 24)
		p.waitFor(trainer.PhaseAct)
		p.press(key)
		p.wait(5 * sec)
		p.flick(300 * ms)
		p.wait(100 * ms)
		p.shows("switch: rest")
		require.Equal(t, trainer.OutcomeRight, p.book.drill.Results()[0].Outcome, key)
	}
}

// A press that is held when the time stops counts as it is.
func TestAPressUnderAPauseCounts(t *testing.T) {
	for _, key := range []string{"p", "?"} {
		p := practising(t, trainer.KindFlick, 80, 24)
		p.waitFor(trainer.PhaseAct)
		p.press("space")
		p.wait(200 * ms)
		p.press(key)
		require.Len(t, p.book.drill.Results(), 1, key)
		require.Equal(t, trainer.OutcomeMissed, p.book.drill.Results()[0].Outcome, key)
	}
}
