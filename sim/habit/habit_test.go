package habit

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"flicktally/sim"
	"flicktally/sim/odds"
	"flicktally/sim/stat"
)

const ms = sim.Millisecond

// recorder observes holds as a log does: the moves show at the frames of a link,
// some of which are lost, and then at the rows of the log. A period of 0 shows a
// move at once.
type recorder struct {
	frame, row, loss float64
	inStep           bool         // rows keep step with the frames
	link             sim.LinkSpec // what the rig says of the link
}

// observe returns the hold as observed, 0 for one that nobody saw.
func (r recorder) observe(hold float64, rng *rand.Rand) sim.Micros {
	down := 1e6 * (1 + rng.Float64())
	up := r.arrives(down+hold, rng)
	down = r.arrives(down, rng)
	phase := 0.0
	if !r.inStep {
		phase = rng.Float64() * r.row
	}
	return sim.Micros(math.Round(shows(up+phase, r.row) - shows(down+phase, r.row)))
}

func (r recorder) arrives(at float64, rng *rand.Rand) float64 {
	at = shows(at, r.frame)
	for rng.Float64() < r.loss {
		at += r.frame
	}
	return at
}

func shows(at, period float64) float64 {
	if period == 0 {
		return at
	}
	return math.Ceil(at/period) * period
}

// session observes n holds of a hand.
func (r recorder) session(n int, mean, sd float64, seed uint64) []Held {
	rng := rand.New(rand.NewPCG(seed, 7))
	var all []Held
	for len(all) < n {
		if hold := r.observe(max(1, mean+sd*rng.NormFloat64()), rng); hold > 0 {
			all = append(all, Held{hold, sim.Micros(r.row), sim.Micros(r.row)})
		}
	}
	return all
}

// recorders are what holds come from.
var recorders = map[string]recorder{
	"exact":                          {},
	"rows of 20 ms":                  {row: 20e3},
	"frames of 20 ms, rows in step":  {frame: 20e3, row: 10e3, inStep: true, link: sim.LinkSpec{Frame: 20 * ms}},
	"frames of 22 ms, rows of 10 ms": {frame: 22e3, row: 10e3, link: sim.LinkSpec{Frame: 22 * ms}},
	"frames of 22 ms, rows of 2 ms":  {frame: 22e3, row: 2e3, link: sim.LinkSpec{Frame: 22 * ms}},
	"frames that are really 22.3 ms": {frame: 22.3e3, row: 2e3, link: sim.LinkSpec{Frame: 22 * ms}},
	"frames of 9 ms, rows of 50 ms":  {frame: 9e3, row: 50e3, link: sim.LinkSpec{Frame: 9 * ms}},
	"frames of 20 ms, 10 % lost":     {frame: 20e3, row: 10e3, loss: 0.1, inStep: true, link: sim.LinkSpec{Frame: 20 * ms, Loss: 0.1}},
}

// TestTheSpreadIsTheHands: of many holds the estimate is the hand's mean and
// spread, whatever the samples and the link made of them. (From the ends of what
// the samples allow alone, a spread of 5, 10 and 20 ms behind frames of 20 ms would
// read 0.3, 3.7 and 16.5.)
func TestTheSpreadIsTheHands(t *testing.T) {
	for name, r := range recorders {
		scatter := []float64{5e3, 15e3}
		if name == "frames of 20 ms, rows in step" {
			scatter = []float64{5e3, 10e3, 20e3}
		}
		for _, sd := range scatter {
			var means, spreads []float64
			for seed := range uint64(3) {
				h, err := Of(r.session(400, 157e3, sd, seed), r.link)
				require.NoError(t, err)
				means = append(means, float64(h.Hold))
				spreads = append(spreads, h.Spread.Relative*float64(h.Hold))
			}
			t.Logf("%s, %.0f ms: %.1f ms", name, sd/1e3, stat.Summarize(spreads).Mean/1e3)
			require.InDelta(t, 157e3, stat.Summarize(means).Mean, 1.5e3, "%s, %v", name, sd)
			require.InDelta(t, sd, stat.Summarize(spreads).Mean, 2e3, "%s", name)
		}
	}
}

// TestTheIntervalHoldsTheSpread: of few holds, in at least 90 % of the sessions.
func TestTheIntervalHoldsTheSpread(t *testing.T) {
	for name, r := range recorders {
		var holds stat.Rate
		for seed := range uint64(*sessions) {
			h, err := Of(r.session(14, 200e3, 15e3, seed), r.link)
			require.NoError(t, err)
			holds.Add(h.Within.Low <= 0.075 && 0.075 <= h.Within.High)
		}
		t.Logf("%s: %.3f", name, holds.Value())
		require.GreaterOrEqual(t, holds.Value(), 0.9-2*math.Sqrt(0.9*0.1/float64(*sessions)), name)
	}
}

// sessions is how many sessions are simulated for an interval.
var sessions = flag.Int("sessions", 25, "sessions that are simulated for the interval of the spread")

// TestExactHoldsGiveTheUsualSpread: without samples in between, mean and standard
// deviation are those of the sample (n − 1), and the interval is about that of χ²
// (NIST/SEMATECH e-Handbook 7.2.3.1).
func TestExactHoldsGiveTheUsualSpread(t *testing.T) {
	held := recorders["exact"].session(40, 200e3, 20e3, 3)
	var holds []sim.Micros
	for _, h := range held {
		holds = append(holds, h.Hold)
	}
	s := stat.Summarize(holds)
	h, err := Of(held, sim.LinkSpec{})
	require.NoError(t, err)
	require.InDelta(t, s.Mean, float64(h.Hold), 500)
	require.InEpsilon(t, s.SD/s.Mean, h.Spread.Relative, 1e-3)
	chi := distuv.ChiSquared{K: 39}
	require.InEpsilon(t, s.SD/s.Mean*math.Sqrt(39/chi.Quantile(0.975)), h.Within.Low, 0.02)
	require.InEpsilon(t, s.SD/s.Mean*math.Sqrt(39/chi.Quantile(0.025)), h.Within.High, 0.02)
}

// TestEstimateAgainstScipy: the values are those of scipy 1.10.1 for the same
// model written apart: the triangular error by Gauss-Legendre quadrature, the mean
// integrated over a fine grid, minimize_scalar for the standard deviation, brentq
// for the ends of its interval.
func TestEstimateAgainstScipy(t *testing.T) {
	var all []Held
	for _, hold := range []sim.Micros{180, 200, 200, 220, 180, 160, 200, 240, 220, 200, 180, 200} {
		all = append(all, Held{hold * ms, 20 * ms, 20 * ms})
	}
	mean, sd, within := newHandFit(all, sim.LinkSpec{}).best()
	require.InDelta(t, 198340.2, mean, 20)
	require.InDelta(t, 20063.2, sd, 20)
	require.InDelta(t, 12686.0, within.Low, 20)
	require.InDelta(t, 34230.8, within.High, 30)
}

// TestAHandThatHoldsTheSameEveryTime cannot be distinguished from one that never
// scatters, and
// a flight loses nothing: the link's frames are not the hand's.
func TestAHandThatHoldsTheSameEveryTime(t *testing.T) {
	r := recorders["frames of 20 ms, rows in step"]
	h, err := Of(r.session(12, 150e3, 0, 5), r.link)
	require.NoError(t, err)
	require.InDelta(t, 150e3, float64(h.Hold), 5e3)
	require.Less(t, h.Spread.Relative, 0.03)
	require.Zero(t, h.Within.Low)
	require.Less(t, h.Within.High, 0.1)
	rig := sim.DefaultRig()
	rig.Link.Frame, rig.Camera.MinPress = 20*ms, sim.Exactly(100*ms)
	c := odds.Case{Rig: rig, Pilot: odds.Pilot{Spread: h.Spread}}
	require.Greater(t, c.Flight(150*ms, 12), 0.9999)
}

// TestObservationsAgainstSimulation compares the likelihood of what is observed
// behind a link with how often it is, plainly simulated.
func TestObservationsAgainstSimulation(t *testing.T) {
	const flicks = 200_000
	for _, name := range []string{"rows of 20 ms", "frames of 22 ms, rows of 10 ms", "frames of 9 ms, rows of 50 ms", "frames of 20 ms, 10 % lost"} {
		r := recorders[name]
		counts := map[sim.Micros]float64{}
		held := r.session(flicks, 150e3, 30e3, 11)
		for _, h := range held {
			counts[h.Hold]++
		}
		f := newHandFit(held, r.link)
		n := stat.Normal{Mean: 150e3, SD: 30e3}
		frames := f.frames(n)
		for _, s := range f.seen {
			density := delayed(n, s.hold, s.downUnseen, s.upUnseen)
			if f.frame > 0 {
				density = f.behindFrames(n, s, frames)
			}
			p := density * r.row // rows are so far apart
			require.InDelta(t, p, counts[sim.Micros(s.hold)]/flicks, 0.004, "%s: %v", name, s.hold)
		}
	}
}

// TestAGapSaysLittle: a hold whose begin nobody saw for two seconds hardly counts.
func TestAGapSaysLittle(t *testing.T) {
	r := recorders["rows of 20 ms"]
	all := r.session(40, 200e3, 15e3, 9)
	want, err := Of(all, r.link)
	require.NoError(t, err)
	got, err := Of(append(all, Held{300 * ms, 20 * ms, 2000 * ms}), r.link)
	require.NoError(t, err)
	require.InDelta(t, float64(want.Hold), float64(got.Hold), 1e3)
	require.InEpsilon(t, want.Spread.Relative, got.Spread.Relative, 0.05)
}

func held(holds ...sim.Micros) (all []Held) {
	for _, hold := range holds {
		all = append(all, Held{Hold: hold})
	}
	return all
}

func TestHabitCountsSlips(t *testing.T) {
	h, err := Of(held(180*ms, 3200*ms, 200*ms, 40*ms, 220*ms, 190*ms, 210*ms), sim.LinkSpec{})
	require.NoError(t, err)
	require.Equal(t, 5, h.Flicks)
	require.Equal(t, stat.Rate{Hits: 2, Trials: 7}, h.SlipRate)
	require.Equal(t, odds.Slips{Rate: 2.0 / 7, Holds: []sim.Micros{40 * ms, 3200 * ms}}, h.Slips)
	require.Equal(t, 200*ms, h.Hold)
	require.InDelta(t, 15.811/200, h.Spread.Relative, 1e-4, "√(1000/4)")
	for _, holds := range [][]sim.Micros{nil, {180 * ms}} {
		_, err = Of(held(holds...), sim.LinkSpec{})
		require.ErrorContains(t, err, "at least two")
	}
}

// TestManySlipsAreStoodForByFew: the quantiles of all of them.
func TestManySlipsAreStoodForByFew(t *testing.T) {
	var holds []sim.Micros
	for i := range sim.Micros(160) {
		holds = append(holds, i)
	}
	s := newSlips(holds, 1600)
	require.InDelta(t, 0.1, s.Rate, 1e-12)
	require.Len(t, s.Holds, mostSlips)
	require.Equal(t, sim.Micros(5), s.Holds[0])
	require.Equal(t, sim.Micros(155), s.Holds[15])
}

// BenchmarkHabit is the estimate from a hundred holds behind a link.
func BenchmarkHabit(b *testing.B) {
	r := recorders["frames of 22 ms, rows of 2 ms"]
	held := r.session(100, 200e3, 20e3, 1)
	for range b.N {
		if _, err := Of(held, r.link); err != nil {
			b.Fatal(err)
		}
	}
}

// TestLogged: a flick that a lost signal made or hid, or that had not ended with the
// log, says nothing about the hand.
func TestLogged(t *testing.T) {
	flicks := []sim.Flick{
		{Down: sim.Second, Up: 1300 * sim.Millisecond, DownUnseen: 20 * sim.Millisecond, UpUnseen: 10 * sim.Millisecond},
		{Down: 2 * sim.Second, Up: 3 * sim.Second, Lossy: true},
		{Down: 4 * sim.Second, Up: sim.Never},
	}
	require.Equal(t, []Held{{Hold: 300 * sim.Millisecond, DownUnseen: 20 * sim.Millisecond, UpUnseen: 10 * sim.Millisecond}}, Logged(flicks))
}
