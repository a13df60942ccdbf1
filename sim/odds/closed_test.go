package odds

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
	"flicktally/sim/stat"
)

const ms = sim.Millisecond

// rig returns the default rig with changes.
func rig(change func(*sim.Rig)) sim.Rig {
	r := sim.DefaultRig()
	change(&r)
	return r
}

func spread(fixed sim.Micros) Pilot { return Pilot{Spread: Spread{Fixed: fixed}} }

// one returns a normal width.
func one(mean, sd, cut float64) normals {
	return normals{[]normal{{stat.Normal{Mean: mean, SD: sd}, 1}}, cut}
}

// TestSampledPulse holds the distribution of a sampled pulse to its closed
// form: of a pulse of width w every T at a uniform phase, at least m samples
// lie inside with chance clamp(w/T − m + 1, 0, 1). Derived, no published source;
// the numbers were computed apart.
func TestSampledPulse(t *testing.T) {
	for _, c := range []struct {
		width, period sim.Micros
		atLeast       int
		chance        float64
	}{
		{15, 20, 1, 0.75}, {7, 9, 1, 7.0 / 9}, {280, 22, 12, 1}, {280, 22, 13, 0.7272727272727},
		{60, 22, 2, 1}, {60, 22, 3, 0.7272727272727}, {50, 20, 3, 0.5}, {50, 20, 4, 0},
	} {
		got := sampled(pulse(c.width, 1), float64(c.period))
		want := float64(c.atLeast) * float64(c.period)
		require.InDelta(t, c.chance, got.atLeast(want, want), 1e-12, "%d of %d every %d", c.atLeast, c.width, c.period)
	}
}

// TestNormalWindow: a pilot's normal spread alone gives Φ((b−μ)/σ) − Φ((a−μ)/σ).
// From the usual table of the normal distribution: ±1σ 0.6827, ±2σ 0.9545, ±3σ
// 0.9973.
func TestNormalWindow(t *testing.T) {
	for z, want := range map[sim.Micros]float64{1: 0.682689492, 2: 0.954499736, 3: 0.997300204} {
		c := Case{rig(func(r *sim.Rig) {
			r.Camera.MinPress = sim.Exactly(300*ms - z*50*ms)
			r.Camera.LongPress = sim.Exactly(300*ms + z*50*ms)
		}), spread(50 * ms)}
		require.InDelta(t, want, c.Chances(300 * ms)[Toggles], 1e-9)
	}
}

// TestTriangularError: with the spread wide against the period, the error of a
// sampled width is triangular with standard deviation T/√6 (derived, no
// published source), so sampling acts as a little more spread.
func TestTriangularError(t *testing.T) {
	hold := one(300, 80, 1)
	seen := sampled(hold, 20)
	mean := seen.step * seen.moment[1]
	var squares float64
	for k, p := range seen.mass {
		squares += p * float64(k) * float64(k) * seen.step * seen.step
	}
	require.InDelta(t, 300, mean, 0.02)
	require.InDelta(t, math.Sqrt(80*80+20*20/6.0), math.Sqrt(squares-mean*mean), 0.05)
}

// TestLossyFrames: with no formula but a walk over every pattern of late first
// and last frames.
func TestLossyFrames(t *testing.T) {
	const loss, n = 0.3, 4
	got := lossy(newLattice(10, []float64{0, 0, 0, 0, 1}), loss)
	want := make([]float64, 60)
	for first := 0; first < n; first++ {
		for last := range 50 {
			want[n-first+last] += (1 - loss) * math.Pow(loss, float64(first)) * (1 - loss) * math.Pow(loss, float64(last))
		}
	}
	for k := 1; k < 30; k++ {
		require.InDelta(t, want[k], got.mass[k], 1e-12, "%d frames", k)
	}
	require.InDelta(t, math.Pow(loss, n), got.mass[0], 1e-12, "all frames lost")
}

// TestUncertainThreshold: averaging over a range of thresholds agrees with the
// mean over its levels, for presses of any and of fixed widths.
func TestUncertainThreshold(t *testing.T) {
	interval := sim.Interval{Low: 60 * ms, High: 110 * ms}
	slips := Slips{1, []sim.Micros{30 * ms, 100 * ms}}.widths()
	for name, w := range map[string]widths{
		"with slips":    mixed(one(90_000, 15_000, 1), slips, 0.2),
		"normal":        one(90_000, 15_000, 1),
		"narrow normal": one(90_000, 10, 1),
		"cut normal":    one(90_000, 30_000, 85_000),
		"lattice":       sampled(one(90_000, 15_000, 1), 22_000),
		"short lattice": sampled(one(30_000, 5_000, 1), 22_000),
	} {
		sum, shares := 0.0, 0.0
		for _, l := range levels(w, interval) {
			sum += l.chance * l.share
			shares += l.share
		}
		require.InDelta(t, 1, shares, 1e-9, name)
		require.InDelta(t, w.atLeast(float64(interval.Low), float64(interval.High)), sum, 1e-6, name)
	}
}

// cases are rigs of every kind that has a closed form.
var cases = map[string]Case{
	"nothing in between": {rig(func(*sim.Rig) {}), spread(40 * ms)},
	"frames":             {rig(func(r *sim.Rig) { r.Link.Frame = 22 * ms }), spread(40 * ms)},
	"lossy frames":       {rig(func(r *sim.Rig) { r.Link = sim.LinkSpec{Frame: 22 * ms, Loss: 0.2} }), spread(40 * ms)},
	"refresh":            {rig(func(r *sim.Rig) { r.Line.Update = 20 * ms }), spread(40 * ms)},
	"frames and refresh": {rig(func(r *sim.Rig) { r.Link = sim.LinkSpec{Frame: 9 * ms, Loss: 0.05}; r.Line.Update = 20 * ms }), spread(40 * ms)},
	"settle":             {rig(func(r *sim.Rig) { r.Switch.Settle = 110 * ms }), spread(40 * ms)},
	"settle and frames":  {rig(func(r *sim.Rig) { r.Switch.Settle = 110 * ms; r.Link.Frame = 22 * ms }), spread(40 * ms)},
	"one-shot": {rig(func(r *sim.Rig) {
		r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 85 * ms}
		r.Line.Update = 20 * ms
		r.Link.Frame = 150 * ms
	}), spread(40 * ms)},
	"one-shot on both": {rig(func(r *sim.Rig) {
		r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerBoth, Width: 85 * ms}
		r.Line.Update = 20 * ms
	}), spread(40 * ms)},
	"relative spread": {rig(func(*sim.Rig) {}), Pilot{Spread: Spread{Fixed: 10 * ms, Relative: 0.3}, Shift: -10 * ms}},
	"toggle on press": {rig(func(r *sim.Rig) { r.Camera.ToggleOn = sim.ToggleOnPress; r.Camera.LongAction = sim.ActionNone }), spread(40 * ms)},
	"uncertain window": {rig(func(r *sim.Rig) {
		r.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
		r.Camera.LongPress = sim.Interval{Low: 120 * ms, High: 200 * ms}
		r.Line.Update = 20 * ms
	}), spread(40 * ms)},
	"slips": {rig(func(r *sim.Rig) { r.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms} }), slipping(spread(20 * ms))},
	"slips behind frames": {rig(func(r *sim.Rig) {
		r.Link = sim.LinkSpec{Frame: 9 * ms, Loss: 0.05}
		r.Line.Update = 20 * ms
		r.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
	}), slipping(spread(20 * ms))},
	"slips before a one-shot": {rig(func(r *sim.Rig) {
		r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 85 * ms}
		r.Link.Frame = 60 * ms
	}), slipping(spread(20 * ms))},
	"uncertain and smooth": {rig(func(r *sim.Rig) {
		r.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
		r.Camera.LongPress = sim.Interval{Low: 120 * ms, High: 200 * ms}
	}), spread(20 * ms)},
}

// slipping adds slips to a pilot: one flick in five.
func slipping(p Pilot) Pilot {
	p.Slips = Slips{0.2, []sim.Micros{40 * ms, 45 * ms, 90 * ms, 3200 * ms}}
	return p
}

// TestClosedFormAgainstSimulation checks the closed forms and the simulation
// against each other: within 4.5 standard errors, for every outcome.
func TestClosedFormAgainstSimulation(t *testing.T) {
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			require.True(t, c.Closed())
			for _, hold := range []sim.Micros{100 * ms, 130 * ms} {
				exact := c.Chances(hold)
				requireRates(t, exact, c.Simulate(hold, Sampling{Flicks: 100_000, Seed: 7}))
				total := 0.0
				for _, p := range exact {
					total += p
				}
				require.InDelta(t, 1, total, 1e-9)
			}
		})
	}
}

// requireRates holds what was counted to the chances, within 4.5 standard errors.
func requireRates(t *testing.T, exact Chances, tally tally) {
	t.Helper()
	for _, o := range Outcomes {
		p := exact[o]
		tolerance := 4.5*math.Sqrt(p*(1-p)/float64(tally.Flicks())) + 1e-5
		require.InDelta(t, p, tally.Rate(o).Value(), tolerance, "%s", o)
	}
}

// TestFlightAgainstSimulation does so for flights: the window is one for all
// flicks of a flight.
func TestFlightAgainstSimulation(t *testing.T) {
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			const flights = 20_000
			p := c.Flight(130*ms, 6)
			rate := c.SimulateFlights(130*ms, flights, 6, Sampling{Seed: 8})
			require.InDelta(t, p, rate.Value(), 4.5*math.Sqrt(p*(1-p)/flights)+2e-5)
			require.InDelta(t, c.Chances(130 * ms)[Toggles], c.Flight(130*ms, 1), 1e-6)
		})
	}
}

// TestRehearsalAgainstPath: where both ways are right, the real chain and the
// short way give the same chances.
func TestRehearsalAgainstPath(t *testing.T) {
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			const flicks = 3000
			r, l := newRehearsal(c, 110*ms), newLuck(9, 0)
			var tally tally
			for range flicks {
				tally[r.flick(l, l.window(&c.Rig.Camera))]++
			}
			exact := c.Chances(110 * ms)
			for _, o := range Outcomes {
				p := max(0, exact[o])
				require.InDelta(t, p, tally.Rate(o).Value(), 4.5*math.Sqrt(p*(1-p)/flicks)+1e-4, "%s", o)
			}
		})
	}
}

// inMillis makes milliseconds of a random rig's microseconds, so that whole µs
// are as good as real numbers.
func inMillis(r sim.Rig) sim.Rig {
	for _, d := range []*sim.Micros{
		&r.Switch.Settle, &r.Link.Frame, &r.OneShot.Width, &r.OneShot.Rest, &r.Line.Update, &r.Line.Delay,
		&r.Camera.MinPress.Low, &r.Camera.MinPress.High, &r.Camera.LongPress.Low, &r.Camera.LongPress.High,
		&r.Camera.MinGap, &r.Camera.StartDelay,
	} {
		*d *= ms
	}
	return r
}

// TestClosedFormOnRandomRigs holds the closed form to the simulation within five
// standard errors, on random rigs, pilots and holds.
func TestClosedFormOnRandomRigs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Case{Rig: inMillis(drawRig(t)), Pilot: Pilot{
			Spread: Spread{Fixed: drawShort(t, "spread", 2, 40) * ms},
			Shift:  drawShort(t, "shift", -20, 20) * ms,
		}}
		c.Rig.Camera.LongPress.High += drawShort(t, "long_press range", 0, 40) * ms
		hold := drawShort(t, "hold", 1, 150) * ms
		exact := c.Chances(hold)
		const flicks = 5000
		tally := c.Simulate(hold, Sampling{Flicks: flicks, Seed: rapid.Uint64().Draw(t, "seed")})
		for _, o := range Outcomes {
			p := exact[o]
			require.InDelta(t, p, tally.Rate(o).Value(), 5*math.Sqrt(p*(1-p)/flicks)+5.0/flicks, "%s", o)
		}
		require.InDelta(t, exact[Toggles], c.Flight(hold, 1), 1e-4)
	})
}
