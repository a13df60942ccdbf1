package odds

import (
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// TestBestHoldOfEvenSpread: with a spread that does not depend on the hold, the
// best hold is the middle of the window, by symmetry.
func TestBestHoldOfEvenSpread(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) {
		r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(100*ms), sim.Exactly(500*ms)
	}), spread(60 * ms)}
	study := c.Study(0.99, Sampling{})
	require.InDelta(t, float64(300*ms), float64(study.Best.Hold), 0.02*300e3)
}

// TestAnotherHoldIsNamedOnlyWhereItSaves: the aim is the rig's, the geometric
// middle of what toggles for certain; a hand whose scatter does not grow with the
// hold does better in the plain middle.
func TestAnotherHoldIsNamedOnlyWhereItSaves(t *testing.T) {
	narrow := rig(func(r *sim.Rig) { r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(80*ms), sim.Exactly(400*ms) })
	wide := Case{narrow, spread(50 * ms)}.Study(0.99, Sampling{})
	require.Equal(t, 180*ms, wide.Aim.Hold, "√(80 · 400) = 178.9")
	require.InDelta(t, 240e3, float64(wide.Best.Hold), 3e3)
	require.InDelta(t, wide.Best.Chances[Toggles]-wide.Aim.Chances[Toggles], wide.Saves(), 1e-12)
	require.InDelta(t, 0.0214, wide.Saves(), 0.001, "2·Φ(3.2) − 1 less Φ(4.4) + Φ(2) − 1")
	steady := Case{narrow, spread(20 * ms)}.Study(0.99, Sampling{})
	require.Zero(t, steady.Saves(), "both lose less than a flick in a thousand")
	both := cases["one-shot on both"].Study(0.99, Sampling{})
	require.Equal(t, both.Best, both.Aim, "no hold counts")
}

// TestBandAgainstQuantiles: far from the other threshold the band of 99 % ends
// 2.3263 standard deviations from a threshold (the 1 % quantile of the normal
// distribution, from its usual table).
func TestBandAgainstQuantiles(t *testing.T) {
	c := Case{rig(func(*sim.Rig) {}), spread(30 * ms)}
	band := c.Study(0.99, Sampling{}).Band
	require.InDelta(t, 80e3+2.3263*30e3, float64(band.Low), 100)
	require.InDelta(t, 1500e3-2.3263*30e3, float64(band.High), 100)
}

// TestNobodyAimsBelowAHand: if shorter is better, the hold to aim for is one
// that a hand can make.
func TestNobodyAimsBelowAHand(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) {
		r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(5*ms), sim.Exactly(60*ms)
	}), spread(10 * ms)}
	study := c.Study(0.99, Sampling{})
	require.GreaterOrEqual(t, study.Best.Hold, sim.ShortestHold)
	require.Less(t, study.Best.Hold, sim.ShortestHold+5*ms)
	require.Less(t, study.Best.Chances[Toggles], 0.3)
}

// TestNoBand: where no hold is safe enough, there is no band.
func TestNoBand(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) { r.Camera.LongPress = sim.Exactly(120 * ms) }), spread(40 * ms)}
	study := c.Study(0.99, Sampling{})
	require.Nil(t, study.Band)
	low, high := study.OpenEnded()
	require.False(t, low || high)
}

// TestHoldDoesNotMatter: with a one-shot on both edges every move toggles.
func TestHoldDoesNotMatter(t *testing.T) {
	c := cases["one-shot on both"]
	c.Rig.OneShot.Width = 200 * ms
	require.False(t, c.HoldMatters())
	study := c.Study(0.99, Sampling{})
	low, high := study.OpenEnded()
	require.True(t, low && high)
	for _, at := range study.Curve {
		require.InDelta(t, 1, at.Chances[Toggles], 1e-12)
	}
}

// onWorkers runs pieces on so many workers at once.
func onWorkers(workers int) func(int, func(int)) {
	return func(n int, do func(int)) {
		var all sync.WaitGroup
		for w := range workers {
			all.Go(func() {
				for i := w; i < n; i += workers {
					do(i)
				}
			})
		}
		all.Wait()
	}
}

// TestWorkersChangeNothing: equal seeds give equal counts, whoever counts.
func TestWorkersChangeNothing(t *testing.T) {
	for name, c := range map[string]Case{"path": cases["lossy frames"], "rehearsal": bouncing(cases["frames"])} {
		s := Sampling{Flicks: 3*blockFlicks + 17, Seed: 5}
		if !c.Closed() {
			s.Flicks = blockFlicks + 17
		}
		want := c.Simulate(150*ms, s)
		require.Equal(t, s.Flicks, want.Flicks())
		flights := c.SimulateFlights(150*ms, 100, 12, s)
		s.Each = onWorkers(3)
		require.Equal(t, want, c.Simulate(150*ms, s), name)
		require.Equal(t, flights, c.SimulateFlights(150*ms, 100, 12, s), name)
		s.Seed++
		require.NotEqual(t, want, c.Simulate(150*ms, s), "%s: another seed is other luck", name)
	}
}

// TestSameSeedSameFlicks: rigs are compared on the same flicks, so a rig that is
// better for every flick is never worse by luck.
func TestSameSeedSameFlicks(t *testing.T) {
	worse := cases["lossy frames"]
	better := worse
	better.Rig.Camera.LongPress = sim.Exactly(1600 * ms)
	s := Sampling{Flicks: 20_000, Seed: 3}
	for _, hold := range []sim.Micros{400 * ms, 1500 * ms} {
		require.GreaterOrEqual(t, better.Simulate(hold, s)[Toggles], worse.Simulate(hold, s)[Toggles])
		require.Equal(t, better.Simulate(hold, s)[Missed], worse.Simulate(hold, s)[Missed])
	}
}

func TestSpreadAdds(t *testing.T) {
	require.InDelta(t, 50e3, Spread{Fixed: 30 * ms, Relative: 0.1}.at(400*ms), 1e-6)
	require.Equal(t, "30ms and 10% of the hold", Spread{Fixed: 30 * ms, Relative: 0.1}.String())
	require.Equal(t, "12.5% of the hold", Spread{Relative: 0.125}.String())
	require.Equal(t, "30ms", Spread{Fixed: 30 * ms}.String())
	require.InDelta(t, 1, Spread{}.at(400*ms), 0, "a hand that hardly errs")
}

// TestCheck: rigs that no flick can work on are refused.
func TestCheck(t *testing.T) {
	require.NoError(t, Case{Rig: sim.DefaultRig()}.Check())
	require.ErrorContains(t, Case{Rig: rig(func(r *sim.Rig) { r.Line.Active = sim.ActiveLow })}.Check(), "down while the switch rests")
	require.ErrorContains(t, Case{Rig: rig(func(r *sim.Rig) { r.Switch.Press[0] = sim.PulseRange{Low: 0, High: 3000} })}.Check(), "no position")
	require.ErrorContains(t, Case{}.Check(), "log.time")
	require.ErrorContains(t, Case{Rig: rig(func(r *sim.Rig) { r.Link.Loss = 0.999 })}.Check(), "carries no flick")
	fine := Case{Rig: rig(func(r *sim.Rig) { r.Link.Frame = 40; r.Link.Loss = 0.5 })}
	require.NoError(t, fine.Check())
	require.EqualError(t, bouncing(fine).Check(), "found link.frame 40us, want at least 300us for a camera whose long press takes 1.5s, or 0s for none")
}

// TestUncertainWindowIsShared: two flicks of a flight share the window, so a
// flight is likelier than the power of one flick's chance (Jensen's inequality).
func TestUncertainWindowIsShared(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) { r.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 140 * ms} }), spread(5 * ms)}
	one := c.Chances(100 * ms)[Toggles]
	require.InDelta(t, 0.5, one, 0.001)
	require.Greater(t, c.Flight(100*ms, 10), 0.4)
	require.Less(t, math.Pow(one, 10), 0.01)
}
