package main

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/lanes"
	"flicktally/sim/live"
	"flicktally/sim/odds"
	"flicktally/sim/tell"
	"flicktally/trainer"
	"flicktally/trainer/liveview"
)

// TestOneAnswerToWhatAHoldDoes flicks once, with random cameras and holds, and
// asks every part of the program whether that toggled for good. The zones decide.
func TestOneAnswerToWhatAHoldDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rig := rigOfAnyCamera(t)
		edges := []sim.Micros{rig.Camera.MinPress.Low, rig.Camera.LongPress.Low}
		hold := rapid.OneOf(rapid.Map(rapid.IntRange(1, 3000), func(ms int) sim.Micros { return sim.Micros(ms) * sim.Millisecond }),
			rapid.SampledFrom(edges)).Draw(t, "hold")
		toggles := rig.Camera.Zones().Of(hold).Effect == sim.EffectToggles

		r := oneFlick(rig, hold)
		p := r.Presses[0]
		require.Equal(t, toggles, r.Flicks[0].Outcome == sim.FlickToggled, "the flick's outcome")
		require.Equal(t, toggles, lanes.PressLook(r, p) == lanes.Toggled, "look")
		require.Equal(t, toggles, lanes.StripOf(rig.Camera).At(lanes.StripOf(rig.Camera).X(hold)).Look == lanes.Toggled, "strip")
		require.Regexp(t, map[bool]string{true: "to spare$", false: "too (short|long)$"}[toggles], tell.Margin(r, p))
		require.Equal(t, toggles, tell.TotalOf(r).Flicks[0].Outcome == sim.FlickToggled, "summary")
		for _, f := range tell.Findings(r, tell.DefaultLimits()) {
			if toggles {
				require.NotContains(t, []tell.Code{"short-press", "long-press"}, f.Code)
			}
		}

		view, warned := flickLive(rig, hold)
		require.Equal(t, toggles, !liveview.Failed(view.Replay, view.Last()), "live")
		require.False(t, warned && rig.Camera.Zones().Endless(), "live warns of a hold that cannot be too long")

		require.Equal(t, toggles, flickInDrill(t, rig, hold).Toggled(), "practice")

		if !slices.Contains(edges, hold) { // odds take widths as real numbers: an edge belongs to both sides
			chances := odds.Case{Rig: rig}.Chances(hold)
			require.InDelta(t, map[bool]float64{true: 1, false: 0}[toggles], chances[odds.Toggles], 1e-9, "odds")
		}
	})
}

// rigOfAnyCamera draws a rig that passes the switch on at once, with exact
// thresholds in whole ms.
func rigOfAnyCamera(t *rapid.T) sim.Rig {
	rig := sim.DefaultRig()
	rig.Camera.ToggleOn = rapid.SampledFrom([]sim.ToggleEdge{sim.ToggleOnPress, sim.ToggleOnRelease}).Draw(t, "toggle_on")
	rig.Camera.LongAction = rapid.SampledFrom([]sim.Action{sim.ActionNone, sim.ActionPowerOff, sim.ActionUnknown}).Draw(t, "long_action")
	rig.Camera.LongFires = rapid.SampledFrom([]sim.LongMoment{sim.LongAtThreshold, sim.LongOnRelease}).Draw(t, "long_fires")
	rig.Camera.MinPress = sim.Exactly(sim.Micros(rapid.IntRange(20, 300).Draw(t, "min_press")) * sim.Millisecond)
	rig.Camera.LongPress = sim.Exactly(sim.Micros(rapid.IntRange(400, 2500).Draw(t, "long_press")) * sim.Millisecond)
	if rig.Camera.ToggleOn == sim.ToggleOnRelease && rapid.Bool().Draw(t, "pairs") {
		rig.Camera.DoubleWithin = 400 * sim.Millisecond
	}
	return rig
}

const flickAt, flickOver = 10 * sim.Second, 20 * sim.Second

// positions calls feed each ms of a flight with one flick.
func positions(hold sim.Micros, feed func(sim.Sample)) {
	for at := sim.Micros(0); at < flickOver; at += sim.Millisecond {
		value := sim.PulseWidth(1000)
		if at >= flickAt && at < flickAt+hold {
			value = 2000
		}
		feed(sim.Sample{At: at, Channel: value, Armed: sim.Absent})
	}
}

func oneFlick(rig sim.Rig, hold sim.Micros) *sim.Replay {
	chain := sim.NewChain(sim.TapChannel, rig)
	positions(hold, func(s sim.Sample) { chain.Feed(s) })
	return chain.Finish()
}

// flickLive returns the view after the flick, and whether the tally warned
// shortly before the release.
func flickLive(rig sim.Rig, hold sim.Micros) (view live.View, warned bool) {
	tally := live.New(sim.TapChannel, rig)
	positions(hold, func(s sim.Sample) {
		tally.Feed(s.At, 1, []sim.Sample{s})
		if s.At == flickAt+hold-sim.Millisecond {
			phase := tally.Look(s.At).View().Phase
			warned = phase == live.LetGo || phase == live.MayLong || phase == live.IsLong
		}
	})
	return tally.Look(flickOver).View(), warned
}

// flickInDrill returns the first flick of a drill.
func flickInDrill(t *rapid.T, rig sim.Rig, hold sim.Micros) trainer.Flick {
	drill, err := trainer.New(trainer.Setup{Kind: trainer.KindFlick, Rig: rig, Seed: 1})
	require.NoError(t, err)
	now := sim.Micros(0)
	pass := func(until func() bool) {
		for !until() && !drill.Over() {
			now += 5 * sim.Millisecond
			drill.Tick(now)
		}
	}
	rest, press, _ := rig.RestAndPress()
	drill.Start(now, rest)
	pass(func() bool { return drill.View(now).Phase == trainer.PhaseAct })
	down := now
	drill.Move(down, press)
	pass(func() bool { return now >= down+hold-5*sim.Millisecond })
	now = down + hold
	drill.Move(now, rest)
	pass(func() bool { return len(drill.Flicks()) > 0 })
	return drill.Flicks()[0]
}
