package odds

import (
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

func bouncing(c Case) Case {
	c.Pilot.Bounce = 6200 // µs, the worst switch of Ganssle's
	return c
}

// changes maps what can be changed to the best value and what it saves.
func changes(c Case, hold sim.Micros, flicks int) (best map[string]Change, ranked []Change) {
	s := Sampling{Flicks: flicks, Seed: 1}
	ranked = c.Changes(hold, []sim.Micros{c.Study(0.99, Sampling{Flicks: 100, Seed: 1}).Best.Hold}, s)
	best = map[string]Change{}
	for _, change := range ranked {
		best[change.What] = change
	}
	return best, ranked
}

// TestChangesAreRanked: a flick of 90 ms with a window from 80 ms on, a slow
// line and a long settle. What helps is known beforehand.
func TestChangesAreRanked(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) {
		r.Switch.Settle = 100 * ms
		r.Line.Update = 50 * ms
		r.Link = sim.LinkSpec{Frame: 22 * ms, Loss: 0.1}
	}), Pilot{Spread: Spread{Fixed: 25 * ms}, Travel: 30 * ms}}
	best, ranked := changes(c, 90*ms, 0)
	for _, what := range []string{"aim", "oneshot.trigger", "switch.settle"} {
		require.Contains(t, best, what)
	}
	require.Equal(t, "both, width 350ms", best["oneshot.trigger"].To, "√(80 ms · 1.5 s), in whole 10 ms")
	require.InDelta(t, 1, best["oneshot.trigger"].Answer.Chances[Toggles], 1e-9, "no hold can go wrong")
	require.NotContains(t, best, "switch.press", "a range that ends at the centre makes short flicks shorter")
	require.NotContains(t, best, "window", "the window is known")
	for i := 1; i < len(ranked); i++ {
		require.GreaterOrEqual(t, ranked[i-1].Saves, ranked[i].Saves)
	}
	for _, change := range ranked {
		require.True(t, change.Sure, "a closed form has no error")
		require.InDelta(t, change.Saves, change.Answer.Chances[Toggles]-c.Chances(90 * ms)[Toggles], 1e-12)
	}
}

// TestChangeOfPeriods: presses of 90 ms reach 80 ms in steps of 50 ms four times
// out of five, and in steps of 12.5 ms always (⌊90/12.5⌋ = 7 of them).
func TestChangeOfPeriods(t *testing.T) {
	for what, slow := range map[string]sim.Rig{
		"line.update": rig(func(r *sim.Rig) { r.Line.Update = 50 * ms }),
		"link.frame":  rig(func(r *sim.Rig) { r.Link.Frame = 50 * ms }),
	} {
		best, _ := changes(Case{slow, spread(ms / 2)}, 90*ms, 0)
		require.Equal(t, "12.5ms", best[what].To)
		require.InDelta(t, 0.2, best[what].Saves, 1e-3)
	}
}

// TestChangeOfRange: a lever that comes from the centre to the press range is in
// it for less time than one that presses from the centre on.
func TestChangeOfRange(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) { r.Switch.Press[0].Low = 1750 }),
		Pilot{Spread: Spread{Fixed: 10 * ms}, Travel: 30 * ms}}
	best, _ := changes(c, 60*ms, 0)
	require.Equal(t, "[[1250, 2250]]", best["switch.press"].To)
	longer := c.Chances(120 * ms)[Toggles]
	require.InDelta(t, longer, best["switch.press"].Answer.Chances[Toggles], 1e-12, "60 ms and twice the travel")
}

// TestMeasuringSaves: where min_press may be anywhere from 60 to 400 ms and
// long_press anywhere above, knowing it is worth something.
func TestMeasuringSaves(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) {
		r.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 400 * ms}
		r.Camera.LongPress = sim.Interval{Low: 410 * ms, High: 900 * ms}
	}), spread(30 * ms)}
	best, _ := changes(c, c.Study(0.99, Sampling{}).Best.Hold, 0)
	require.Contains(t, best, "window")
	require.Greater(t, best["window"].Answer.Chances[Toggles], 0.95)
	require.NotContains(t, best, "aim", "the hold is the best one already")
}

// TestSlipsInChanges: a one-shot makes a whole press of every slip; a steadier hand
// slips as often, and its middle stays where it is.
func TestSlipsInChanges(t *testing.T) {
	c := Case{rig(func(*sim.Rig) {}), slipping(spread(20 * ms))}
	best, ranked := changes(c, 300*ms, 0)
	require.Equal(t, "oneshot.trigger", ranked[0].What)
	require.InDelta(t, 0.15, best["oneshot.trigger"].Saves, 1e-6, "three slips in four are lost, one flick in five is a slip")
	require.NotContains(t, best, "spread")
	require.NotContains(t, best, "aim", "a slip does not care for the hold that was meant")
	near, _ := changes(Case{rig(func(*sim.Rig) {}), slipping(spread(20 * ms))}, 80*ms, 0)
	require.NotContains(t, near, "spread", "half of the flicks are too short, however little they scatter")
}

// TestNothingToChange: a flick that cannot go wrong has nothing to gain.
func TestNothingToChange(t *testing.T) {
	_, ranked := changes(Case{rig(func(*sim.Rig) {}), spread(ms)}, 400*ms, 0)
	require.Empty(t, ranked)
}

// TestBounceAndSettle: a switch that bounces on its way back fires a one-shot a
// second time once its pulse is over, and a settle longer than the bounce saves
// that.
func TestBounceAndSettle(t *testing.T) {
	c := bouncing(Case{rig(func(r *sim.Rig) {
		r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 100 * ms}
	}), spread(5 * ms)})
	require.False(t, c.Closed())
	now := c.Ask(200*ms, Sampling{Flicks: 1000, Seed: 2})
	require.Greater(t, now.Chances[Twice], 0.99, "every break ends within the bounce")
	best, _ := changes(c, 200*ms, 500)
	settle := best["switch.settle"]
	require.True(t, settle.Sure)
	require.InDelta(t, 1, settle.Answer.Chances[Toggles], 1e-12)
	require.Contains(t, []string{"5ms", "10ms", "20ms", "50ms"}, settle.To)
}

// TestOutages: where lost frames release the button in the middle of a flick,
// there is no closed form, and the remedy is named.
func TestOutages(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) {
		r.Link = sim.LinkSpec{Frame: 20 * ms, Loss: 0.5}
		r.SignalLoss = sim.SignalLossSpec{StaleAfter: 50 * ms, Then: sim.LossRelease}
	}), spread(20 * ms)}
	require.False(t, c.Closed())
	now := c.Ask(400*ms, Sampling{Flicks: 1000, Seed: 2})
	require.Greater(t, now.Chances[Twice], 0.05)
	require.Greater(t, now.StandardError(Twice), 0.001)
	best, _ := changes(c, 400*ms, 500)
	require.Equal(t, "hold", best["signal_loss.then"].To)
}

// TestClosed: a closed form needs contacts that do not bounce, and a link that is
// never lost in the middle of a flick, or holds the position while it is.
func TestClosed(t *testing.T) {
	lost := func(frame, stale sim.Micros, loss float64, then sim.LossPolicy) Case {
		return Case{rig(func(r *sim.Rig) {
			r.Link, r.SignalLoss = sim.LinkSpec{Frame: frame, Loss: loss}, sim.SignalLossSpec{StaleAfter: stale, Then: then}
		}), spread(20 * ms)}
	}
	require.False(t, lost(20*ms, 50*ms, 0.5, sim.LossRelease).Closed())
	require.True(t, lost(20*ms, 50*ms, 0.5, sim.LossHold).Closed())
	require.True(t, lost(0, 50*ms, 0.5, sim.LossRelease).Closed(), "no frames, none to lose")
	require.True(t, lost(20*ms, 500*ms, 0.01, sim.LossRelease).Closed(), "25 frames in a row are never lost: 10⁻⁵⁰")
	require.False(t, lost(100*ms, 500*ms, 0.01, sim.LossRelease).Closed(), "5 are: 10⁻¹⁰")
	require.True(t, lost(20*ms, 20*ms, 1e-12, sim.LossRelease).Closed(), "once in 10¹² is never")
	require.False(t, bouncing(Case{rig(func(*sim.Rig) {}), spread(20 * ms)}).Closed())
}
