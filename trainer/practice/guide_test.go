package practice

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/trainer"
	"flicktally/trainer/term"
	"flicktally/trainer/term/screentest"
)

// beginning is a first run, in which no drill is named.
func beginning(t *testing.T, width, height int, more ...func(*Options)) *pilot {
	return practising(t, "", width, height, append(more, func(o *Options) {
		o.Setup.Resolution = 0
		o.Notebook.(*memory).known.Practised = false
	})...)
}

// The first run starts with a drill. Once a hold has reached the aim, the screen says
// how to release.
func TestTheFirstRunIsGuided(t *testing.T) {
	p := beginning(t, 80, 24)
	p.shows("The first minute  1:00 left", "on cue: space = press, again = release", "example: measure yours")
	screentest.Golden(t, "guided-80x24", p.picture(screentest.Unicode))
	p.waitFor(trainer.PhaseAct)
	p.press("space")
	aim := p.book.drill.Aim()
	p.wait(aim - 20*ms)
	word := func() string { return p.page.(*drillPage).word(p.Screen, p.book.drill.View(p.now)) }
	require.Equal(t, "Flick", word())
	p.wait(30 * ms)
	require.Equal(t, "Tap again", word())
	screentest.Golden(t, "guided-tap-again-80x24", p.picture(screentest.Unicode))
	p.press("space")
	p.wait(100 * ms)
	require.Equal(t, trainer.OutcomeRight, p.book.drill.Results()[0].Outcome)
	p.wait(guideLasts)
	p.shows("Done: One flick")
	p.press("m")
	p.shows("input resolution not measured yet: m measures it")
	p.press("enter")
	p.shows("The input: keyboard") // asked before the first drill that counts on it
	p.press("enter")
	require.Equal(t, assumedResolution, p.input.resolution)
	p.waitFor(trainer.PhaseAct)
}

func TestTheGuideSpeaksOfTheSwitchInHand(t *testing.T) {
	p := beginning(t, 40, 12)
	p.shows("on cue: space = press, again = release", "example")
	p.Handle(term.KeyboardEvent{Releases: true})
	p.shows("on cue: hold space, then let go")
	require.Equal(t, "Let go", p.input.releaseWords())
}

// A pilot who names a drill, has practised before or reviews a flight is not guided.
func TestTheGuideIsForBeginners(t *testing.T) {
	practising(t, trainer.KindSteady, 80, 24).shows("Steady hold")
	practising(t, "", 80, 24).shows("Practise Heron")
	beginning(t, 80, 24, func(o *Options) { o.Setup.Review = trainer.Mistakes(heldTooLong()) }).shows("The input: keyboard")
	p := beginning(t, 80, 24)
	p.press("q")
	p.shows("Practise Heron") // nothing was done in it, and it does not come again
	p.press("1")
	p.shows("The input: keyboard")
}

// Any other window than the default is the pilot's own.
func TestAWindowOfOnesOwnIsNoExample(t *testing.T) {
	p := practising(t, trainer.KindFlick, 80, 24, func(o *Options) { o.Setup.Rig.Camera.MinPress = sim.Exactly(90 * ms) })
	require.NotContains(t, p.picture(screentest.Unicode), "example")
}

// The resolution of the input is measured once for each device.
func TestTheResolutionIsKept(t *testing.T) {
	p := practising(t, "", 80, 24, func(o *Options) {
		o.Setup.Resolution = 0
		o.Notebook.(*memory).known.Resolution = 7 * ms
	})
	p.shows("Practise Heron", "input resolution 7 ms (as before; m measures again)")
	p.press("1")
	require.Equal(t, 7*ms, p.book.drill.Setup().Resolution)
}

// The strip shows each of the last holds at its place in the window, with the outcome
// of its trial.
func TestTheStripShowsTheLastHolds(t *testing.T) {
	p := practising(t, trainer.KindSteady, 75, 24)
	p.onCue(300*ms, 700*ms, 40*ms)
	p.wait(100 * ms)
	v := p.book.drill.View(p.now)
	c := term.NewCanvas(75, 3, screentest.Unicode)
	p.page.(*drillPage).drawStrip(c, v)
	for hold, want := range map[sim.Micros]string{300 * ms: "●", 700 * ms: "◆", 40 * ms: "×"} {
		require.Equal(t, want, c.At(term.HoldColumns(c, v.Hold)(hold), 0).Text, "%s", hold)
	}
	seen := map[string]bool{}
	for _, m := range marks {
		require.False(t, seen[m.shape] || seen[m.ascii], "two outcomes of one shape")
		seen[m.shape], seen[m.ascii] = true, true
	}
}

// A mark on the bar shows the previous hold while the next one runs.
func TestThePreviousHoldIsMarked(t *testing.T) {
	p := practising(t, trainer.KindFlick, 75, 24)
	p.onCue(600 * ms)
	require.NotContains(t, p.picture(screentest.Unicode), "┊")
	p.waitFor(trainer.PhaseAct)
	p.press("space")
	p.wait(100 * ms)
	p.shows("┊")
}

// A take, a cut and a pattern have a timeline, which fills as time passes. From some
// level on, the pilot counts a take without it.
func TestTheTimelineFills(t *testing.T) {
	for _, kind := range []trainer.Kind{trainer.KindTake, trainer.KindCut, trainer.KindPattern} {
		p := practising(t, kind, 80, 24)
		p.waitFor(trainer.PhaseAct)
		p.shows("task ", "yours ")
		line := p.book.drill.View(p.now).Timeline
		require.Zero(t, line.At)
		require.Greater(t, len(line.Wanted), 1)
		p.flick(300 * ms)
		p.wait(200 * ms)
		line = p.book.drill.View(p.now).Timeline
		require.Equal(t, 500*ms, line.At, "%s", kind)
		require.Equal(t, []sim.Span{{From: 0, To: 300 * ms}}, line.Made)
	}
}
