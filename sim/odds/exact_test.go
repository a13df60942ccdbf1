package odds

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
	"flicktally/sim/stat"
)

// Small cases that can be worked out by hand; the derivation stands beside each.

// TestLimitsOfWork: what is just allowed, and what is just too much. A default
// camera's longest press takes 1.5 s, so holds of 3 s are looked at.
func TestLimitsOfWork(t *testing.T) {
	require.NoError(t, Case{Rig: rig(func(r *sim.Rig) { r.Link.Loss = 0.99 })}.Check())
	require.NoError(t, Case{Rig: rig(func(r *sim.Rig) { r.Line.Update = 30 })}.Check(), "3 s / 30 µs = 100,000 looks")
	require.ErrorContains(t, Case{Rig: rig(func(r *sim.Rig) { r.Line.Update = 29 })}.Check(), "want at least 30us")
}

// TestValuesToTry lists for each setting what is tried instead of what is there.
func TestValuesToTry(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) {
		r.Switch.Settle = 5 * ms
		r.Line.Update, r.Link = 20*ms, sim.LinkSpec{Frame: 8 * ms, Loss: 0.2}
		r.SignalLoss = sim.SignalLossSpec{StaleAfter: 40 * ms, Then: sim.LossRelease}
	}), Pilot{Spread: Spread{30 * ms, 0.2}, Travel: 10 * ms}}
	tried := func(c Case) map[string][]string {
		to := map[string][]string{}
		for _, values := range c.settings(100*ms, []sim.Micros{100 * ms, 300 * ms}) {
			for _, v := range values {
				to[v.what] = append(to[v.what], v.to)
			}
		}
		return to
	}
	require.Equal(t, map[string][]string{
		"switch.settle":    {"0s", "2ms", "10ms", "20ms", "50ms"},
		"switch.press":     {"[[1750, 2250]]"},
		"oneshot.trigger":  {"rising, width 350ms", "both, width 350ms"},
		"line.update":      {"10ms", "5ms"},
		"link.frame":       {"4ms", "2ms"},
		"link.loss":        {"0.1"},
		"signal_loss.then": {"hold"},
		"aim":              {"300 ms"},
		"spread":           {"15ms and 10% of the hold"},
	}, tried(c))
	nothing := tried(Case{rig(func(*sim.Rig) {}), spread(30 * ms)})
	require.NotContains(t, nothing, "link.loss")
	require.NotContains(t, nothing, "switch.press", "no travel, no centre")
}

// TestRangesToTry: the edge between centre and end goes to the other side of the
// centre. Two ways of the lever are then longer by its travel, or shorter.
func TestRangesToTry(t *testing.T) {
	for _, c := range []struct {
		now, to sim.PulseRange
		shift   sim.Micros
	}{
		{sim.PulseRange{Low: 1250, High: 2250}, sim.PulseRange{Low: 1750, High: 2250}, -20 * ms},
		{sim.PulseRange{Low: 1750, High: 2250}, sim.PulseRange{Low: 1250, High: 2250}, 20 * ms},
		{sim.PulseRange{Low: 750, High: 1750}, sim.PulseRange{Low: 750, High: 1250}, -20 * ms},
		{sim.PulseRange{Low: 750, High: 1250}, sim.PulseRange{Low: 750, High: 1750}, 20 * ms},
	} {
		from := Case{rig(func(r *sim.Rig) { r.Switch.Press = []sim.PulseRange{c.now} }), Pilot{Spread: Spread{Fixed: 30 * ms}, Travel: 10 * ms, Shift: ms}}
		to := from
		to.Rig.Switch.Press, to.Pilot.Shift = []sim.PulseRange{c.to}, ms+c.shift
		all := trial{from, 90 * ms}.presses()
		require.Len(t, all, 1)
		require.Equal(t, rangeText(c.to), all[0].to)
		require.Equal(t, to.Chances(90*ms), all[0].ask(Sampling{}).Chances)
	}
	for name, press := range map[string][]sim.PulseRange{
		"both ends":  {{Low: 750, High: 2250}},
		"neither":    {{Low: 1300, High: 1700}},
		"two ranges": {{Low: 750, High: 1250}, {Low: 1750, High: 2250}},
	} {
		c := Case{rig(func(r *sim.Rig) { r.Switch.Press = press }), Pilot{Travel: 10 * ms}}
		require.Empty(t, trial{c, 90 * ms}.presses(), name)
	}
}

// TestSureIsMoreThanTwoErrors: p = 0.2 of 100 flicks has a standard error of
// √(0.2·0.8/100) = 0.04, and p = 0.5 of 100 one of 0.05; nothing saved is never
// sure.
func TestSureIsMoreThanTwoErrors(t *testing.T) {
	simulated := func(p float64) Answer { return Answer{Chances{Toggles: p}, 100} }
	require.InDelta(t, 0.04, simulated(0.2).StandardError(Toggles), 1e-12)
	compare := func(now, then Answer) bool { return variant{}.compare(now, then).Sure }
	require.False(t, compare(Answer{}, Answer{}))
	require.True(t, compare(Answer{}, Answer{Chances: Chances{Toggles: 1e-5}}))
	require.False(t, compare(simulated(0.5), simulated(0.62)), "√(0.05² + 0.0485²) = 0.07")
	require.True(t, compare(simulated(0.5), simulated(0.65)), "√(0.05² + 0.0477²) = 0.069")
}

// TestMeasuredIsAMeanOverWindows: a press without scatter is seen as a multiple of
// 50 ms, so there is a good hold if such a multiple lies in the window. Of
// min_press at 40, 80, 120 and 160 ms (the middles of quarters of 20 to 180),
// with long_press between 182 and 194 ms, one does for three: 150.
func TestMeasuredIsAMeanOverWindows(t *testing.T) {
	c := Case{rig(func(r *sim.Rig) {
		r.Line.Update = 50 * ms
		r.Camera.MinPress = sim.Interval{Low: 20 * ms, High: 180 * ms}
		r.Camera.LongPress = sim.Interval{Low: 180 * ms, High: 196 * ms}
	}), Pilot{}}
	all := trial{c, 150 * ms}.measured()
	require.Len(t, all, 1)
	require.InDelta(t, 0.75, all[0].ask(Sampling{}).Chances[Toggles], 1e-3)
}

// TestHoldsAreRounded: a hold is the nearest whole µs, and a greater draw is a
// longer hold.
func TestHoldsAreRounded(t *testing.T) {
	require.EqualValues(t, 10, newLuck(1, 0).hold(&Pilot{}, 10, 0))
	for seed := range uint64(20) {
		drawn := newLuck(seed, 0).holds.NormFloat64()
		require.InDelta(t, 1000+100*drawn, float64(newLuck(seed, 0).hold(&Pilot{}, 1000, 100)), 0.5001)
	}
}

// TestThresholdsAreNextWholes: a real number between 10 and 12 is judged like 11
// or 12.
func TestThresholdsAreNextWholes(t *testing.T) {
	l, met := newLuck(1, 0), map[sim.Micros]bool{}
	for range 100 {
		met[l.threshold(sim.Interval{Low: 10, High: 12})] = true
	}
	require.Equal(t, map[sim.Micros]bool{11: true, 12: true}, met)
	require.EqualValues(t, 1, l.threshold(sim.Exactly(0)), "a press lasts 1 µs at least")
}

// TestRehearsalWaitsForTheEnd: a flick counts however long the rig takes to pass it
// on, so the log goes on for long enough after it.
func TestRehearsalWaitsForTheEnd(t *testing.T) {
	for name, change := range map[string]func(*sim.Rig){
		"settle":        func(r *sim.Rig) { r.Switch.Settle = 150 * ms },
		"one-shot":      func(r *sim.Rig) { r.OneShot = sim.OneShotSpec{Trigger: sim.TriggerRising, Width: 900 * ms} },
		"update":        func(r *sim.Rig) { r.Line.Update = 150 * ms },
		"delay":         func(r *sim.Rig) { r.Line.Delay = 150 * ms },
		"min_gap":       func(r *sim.Rig) { r.Camera.MinGap = 150 * ms },
		"start_delay":   func(r *sim.Rig) { r.Camera.StartDelay = 900 * ms },
		"double_within": func(r *sim.Rig) { r.Camera.DoubleWithin = 400 * ms },
		"frames":        func(r *sim.Rig) { r.Link.Frame = 150 * ms },
		"lost frames":   func(r *sim.Rig) { r.Link = sim.LinkSpec{Frame: 30 * ms, Loss: 0.3} },
	} {
		base := rig(func(r *sim.Rig) {
			r.Switch.Settle, r.OneShot, r.Line.Update, r.Line.Delay = 0, sim.OneShotSpec{Trigger: sim.TriggerOff}, 0, 0
			r.Link, r.Camera.MinGap, r.Camera.StartDelay, r.Camera.DoubleWithin = sim.LinkSpec{}, 0, 0, 0
		})
		change(&base)
		c := Case{base, Pilot{}}
		r := newRehearsal(c, 400*ms)
		for seed := range uint64(20) {
			require.Equal(t, Toggles, r.flick(newLuck(seed, 0), base.Camera.Window()), name)
		}
	}
}

// TestMoves: a hold is two moves, a bounce two more of each; no hold is none.
func TestMoves(t *testing.T) {
	moves := func(c Case, hold sim.Micros) []sim.Micros { return newRehearsal(c, hold).moves(hold, newLuck(3, 0)) }
	plain, both := Case{rig(func(*sim.Rig) {}), Pilot{}}, cases["one-shot on both"]
	require.Equal(t, []sim.Micros{0, 100}, moves(plain, 100))
	require.Empty(t, moves(plain, 0))
	require.Empty(t, moves(bouncing(plain), 0))
	require.Equal(t, []sim.Micros{0}, moves(both, 100), "one move of the switch toggles")
	require.Len(t, moves(bouncing(both), 100), 3)
	bounced := moves(bouncing(plain), 100*ms)
	require.Len(t, bounced, 6)
	require.IsNonDecreasing(t, bounced)
	for i, from := range []sim.Micros{0, 0, 0, 100 * ms, 100 * ms, 100 * ms} {
		require.GreaterOrEqual(t, bounced[i], from)
		require.LessOrEqual(t, bounced[i], from+6200)
	}
}

// TestOpens: a bounce of 1 µs ends at 0 or at 1, and never before it began.
func TestOpens(t *testing.T) {
	l, met := newLuck(1, 0), map[string]bool{}
	for range 200 {
		met[fmt.Sprint(opens(1, l.bounces))] = true
	}
	require.Equal(t, map[string]bool{"[0s 0s]": true, "[0s 1us]": true, "[1us 1us]": true}, met)
}

func TestOutcomeOf(t *testing.T) {
	replay := func(final sim.State, toggles int, verdicts ...sim.Verdict) *sim.Replay {
		r := &sim.Replay{}
		r.States = []sim.StateChange{{State: final}}
		r.Toggles = make([]sim.Toggle, toggles)
		for _, v := range verdicts {
			r.Presses = append(r.Presses, sim.Press{Verdict: v})
		}
		return r
	}
	require.Equal(t, Missed, outcomeOf(replay(sim.StateStandby, 0)))
	require.Equal(t, Short, outcomeOf(replay(sim.StateStandby, 0, sim.VerdictShort)))
	require.Equal(t, Toggles, outcomeOf(replay(sim.StateRecording, 1, sim.VerdictToggle)))
	require.Equal(t, Short, outcomeOf(replay(sim.StateStarting, 1, sim.VerdictToggle)), "it has not begun to record")
	require.Equal(t, Twice, outcomeOf(replay(sim.StateStandby, 2, sim.VerdictToggle, sim.VerdictToggle)))
	require.Equal(t, Long, outcomeOf(replay(sim.StateOff, 2, sim.VerdictToggle, sim.VerdictLong)))
}

// TestReport: a query's whole answer, where a formula gives it.
func TestReport(t *testing.T) {
	q := Query{
		Case:   Case{rig(func(r *sim.Rig) { r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(80*ms), sim.Exactly(400*ms) }), spread(50 * ms)},
		Flicks: 6, Wanted: 0.99, Sampling: Sampling{Flicks: 9000, Seed: 1},
	}
	o := q.Report()
	require.Equal(t, 180*ms, o.Now.Hold, "the rig's aim, √(80 · 400)")
	require.Equal(t, o.Study.Saves(), o.Saves)
	require.Equal(t, []sim.Micros{180 * ms, o.Study.Best.Hold}, o.aims(), "TestAnotherHoldIsNamedOnlyWhereItSaves")
	var holds []sim.Micros
	for i, at := range o.Table {
		holds = append(holds, at.Hold)
		require.Equal(t, q.Case.Chances(at.Hold), at.Chances)
		require.Equal(t, FlightChance{Chance: q.Case.Flight(at.Hold, 6)}, o.Flights[i])
		require.Equal(t, 9000/len(o.Table), o.Check[i].Simulated)
		require.Equal(t, i, o.Index(at.Hold))
	}
	round := []sim.Micros{50 * ms, 100 * ms, 150 * ms, 180 * ms, 200 * ms, o.Study.Best.Hold, 300 * ms, 400 * ms, 500 * ms}
	require.Equal(t, round, holds, "the curve goes from 80/4 to 1.3 · 400 ms")
	off, flicks := o.WorstCheck()
	require.Less(t, off, 4.5)
	require.Equal(t, 9000/len(o.Table)*len(o.Table), flicks)

	q.Hold = 130 * ms
	o = q.Report()
	require.Equal(t, At{130 * ms, Answer{Chances: q.Case.Chances(130 * ms)}}, o.Now)
	o.Saves = 0
	require.Equal(t, []sim.Micros{180 * ms}, o.aims())
}

// TestTheTableEndsWithTheCurve: a round hold that is the first or the last of the
// curve is shown.
func TestTheTableEndsWithTheCurve(t *testing.T) {
	o := Report{Study: Study{Curve: []At{{Hold: 100 * ms}, {Hold: 120 * ms}, {Hold: 200 * ms}}}}
	require.Equal(t, []sim.Micros{0, 100 * ms, 150 * ms, 200 * ms}, o.holdsToShow())
}

// TestFlightsAreSimulated where there is no formula: as many as the flicks make,
// 200 at least.
func TestFlightsAreSimulated(t *testing.T) {
	q := Query{Case: bouncing(Case{rig(func(*sim.Rig) {}), spread(ms)}), Flicks: 5, Sampling: Sampling{Flicks: 1500}}
	require.Equal(t, FlightChance{1, 300}, q.flight(400*ms))
	q.Sampling.Flicks = 10
	require.Equal(t, FlightChance{1, 200}, q.flight(400*ms))
}

// TestWorstCheck: p = ¼ of 40 flicks has a standard error of √(¼·¾/40), and 10 of
// them are expected, which is just enough.
func TestWorstCheck(t *testing.T) {
	worst := func(n int, formula, counted Chances) float64 {
		o := Report{Table: []At{{Answer: Answer{Chances: formula}}}, Check: []At{{Answer: Answer{counted, n}}}}
		off, flicks := o.WorstCheck()
		require.Equal(t, n, flicks)
		return off
	}
	formula := Chances{Toggles: 0.75, Missed: 0.25}
	require.InDelta(t, 0.15/0.06846532, worst(40, formula, Chances{Toggles: 0.9, Missed: 0.25}), 1e-6)
	require.InDelta(t, 0.15/0.06846532, worst(40, formula, Chances{Toggles: 0.75, Missed: 0.1}), 1e-6)
	require.Zero(t, worst(39, formula, Chances{Toggles: 0.9, Missed: 0.1}), "too few to tell")
	require.Zero(t, worst(100, Chances{Toggles: 0.99}, Chances{Toggles: 0.5}), "one is expected to fail")
}

// TestBlocks: each block draws from a source of its own; the last holds the rest.
func TestBlocks(t *testing.T) {
	blocks := func(n int) (all [][2]int) {
		Sampling{}.blocks(n, 5, func(block, pieces int, _ *luck) { all = append(all, [2]int{block, pieces}) })
		return all
	}
	require.Equal(t, [][2]int{{0, 5}, {1, 5}}, blocks(10))
	require.Equal(t, [][2]int{{0, 5}, {1, 5}, {2, 1}}, blocks(11))
	require.Empty(t, blocks(0))

	pieces := 0
	count := Sampling{Each: func(n int, _ func(int)) { pieces = n }}
	cases["settle"].SimulateFlights(0, 100, blockFlicks/2, count)
	require.Equal(t, 50, pieces, "two flights a block")
	cases["settle"].SimulateFlights(0, 100, 2*blockFlicks, count)
	require.Equal(t, 100, pieces, "one at least")
}

// TestPiecesOfWidths: a normal width is cut at whole standard deviations and where
// what is too short ends, a lattice at its steps.
func TestPiecesOfWidths(t *testing.T) {
	cuts, nodes := one(100, 10, 65).pieces(50, 180)
	require.Equal(t, []float64{50, 60, 65, 80, 90, 100, 110, 120, 140, 180}, cuts)
	require.Equal(t, 8, nodes)
	cuts, nodes = newLattice(20, []float64{0, 0.5, 0.25, 0.25}).pieces(30, 200)
	require.Equal(t, []float64{30, 40, 60, 200}, cuts)
	require.Equal(t, 1, nodes)
	cuts, _ = newLattice(20, []float64{0, 0.5, 0.25, 0.25}).pieces(20, 60)
	require.Equal(t, []float64{20, 40, 60}, cuts)
}

// TestWhatIsLeftOut: 22 frames in a row that are lost with a chance of one fifth
// each, and 50 of one half, are less than 10⁻¹⁵; a press as long as the settling time
// is none.
func TestWhatIsLeftOut(t *testing.T) {
	require.Equal(t, []int{0, 22, 50}, []int{lateFrames(0), lateFrames(0.2), lateFrames(0.5)})
	require.Equal(t, 101.0, longerThan(one(200, 10, 1), 100).(normals).cut)
	require.Equal(t, 300.0, longerThan(one(200, 10, 300), 100).(normals).cut)
	require.Equal(t, []float64{0.5, 0, 0, 0.5}, longerThan(newLattice(10, []float64{0, 0.25, 0.25, 0.5}), 20).(lattice).mass)
}

// studyOf returns a study of a curve whose holds toggle with these chances, and
// whose chance between them is the last one's before.
func studyOf(wanted float64, chances map[sim.Micros]float64, holds ...sim.Micros) *Study {
	s := &Study{Case: cases["settle"], Wanted: wanted}
	s.ask = func(hold sim.Micros) (a Answer) {
		for _, at := range holds {
			if at <= hold {
				a.Chances[Toggles] = chances[at]
			}
		}
		return a
	}
	for _, hold := range holds {
		s.Curve = append(s.Curve, s.at(hold))
	}
	return s
}

// TestSavesFromOneInAThousand: at the bounds of what is shown.
func TestSavesFromOneInAThousand(t *testing.T) {
	saves := func(best, aim Answer) float64 { return (&Study{Best: At{0, best}, Aim: At{0, aim}}).Saves() }
	require.Zero(t, saves(Answer{Chances: Chances{Toggles: 0.999e-3}}, Answer{}))
	require.InDelta(t, 1e-3, saves(Answer{Chances: Chances{Toggles: 1e-3}}, Answer{}), 1e-15)
	require.Zero(t, saves(Answer{Chances{Toggles: 0.5}, 4}, Answer{}), "2·√(0.25/4) = 0.5")
	require.InDelta(t, 0.5, saves(Answer{Chances{Toggles: 0.5}, 5}, Answer{}), 1e-15)
}

// TestHoldsOfACurve go from a quarter of the window's low end, 10 ms at least, to
// 1.3 times its high end, and over a factor of 4 at least.
func TestHoldsOfACurve(t *testing.T) {
	ends := func(least, long sim.Micros) [2]sim.Micros {
		holds := Case{Rig: rig(func(r *sim.Rig) { r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(least), sim.Exactly(long) })}.holds()
		require.Len(t, holds, closedHolds)
		return [2]sim.Micros{holds[0], holds[len(holds)-1]}
	}
	require.Equal(t, [2]sim.Micros{20 * ms, 1300 * ms}, ends(80*ms, 1000*ms))
	require.Equal(t, [2]sim.Micros{10 * ms, 40 * ms}, ends(ms, 5*ms))
}

// TestTop: of holds as good as each other the shortest that a hand can make.
func TestTop(t *testing.T) {
	s := studyOf(0.99, map[sim.Micros]float64{50 * ms: 0.95, 70 * ms: 0.9, 90 * ms: 0.9, 110 * ms: 0.5}, 50*ms, 70*ms, 90*ms, 110*ms)
	require.Equal(t, 1, s.top())
}

// TestBestIsTheRoundMiddle of the holds that are as good as the top one, unless
// rounding costs a flick in ten thousand.
func TestBestIsTheRoundMiddle(t *testing.T) {
	best := func(chances map[sim.Micros]float64) sim.Micros {
		s := studyOf(0.99, chances, 100*ms, 200*ms, 302*ms, 406*ms, 500*ms)
		return s.best(2).Hold
	}
	flat := map[sim.Micros]float64{200 * ms: 1, 302 * ms: 1, 406 * ms: 1}
	require.Equal(t, 300*ms, best(flat), "(200 + 406) / 2 = 303")
	flat[200*ms] = 1 - 9e-7
	require.Equal(t, 300*ms, best(flat), "alike")
	flat[200*ms] = 1 - 2e-6
	require.Equal(t, 350*ms, best(flat), "(302 + 406) / 2 = 354, and 350 is as good")

	const cost = roundingCosts
	step := studyOf(0.99, map[sim.Micros]float64{301 * ms: cost}, 100*ms, 301*ms, 305*ms)
	step.Curve[2].Chances[Toggles] = cost
	require.Equal(t, 303*ms, step.best(1).Hold, "300 would toggle one flick in ten thousand less")
}

// TestBandsOfSteps: a band ends where the chance crosses the wanted one, and holds
// that have just the wanted chance belong to it.
func TestBandsOfSteps(t *testing.T) {
	chances := map[sim.Micros]float64{100 * ms: 0.5, 200 * ms: 0.9, 300 * ms: 0.95, 400 * ms: 0.9, 500 * ms: 0.4}
	holds := []sim.Micros{100 * ms, 200 * ms, 300 * ms, 400 * ms, 500 * ms}
	s := studyOf(0.9, chances, holds...)
	from, to := s.stretch(2, 0.9)
	require.Equal(t, [2]int{1, 3}, [2]int{from, to})
	band := s.bandAround(2)
	require.InDelta(t, 200e3, float64(band.Low), 100, "the step up")
	require.InDelta(t, 500e3, float64(band.High), 100, "the step down")
	between := studyOf(0.7, chances, holds...).bandAround(2)
	require.InDelta(t, 200e3, float64(between.Low), 100)
	require.InDelta(t, 500e3, float64(between.High), 100)
	require.Nil(t, studyOf(0.96, chances, holds...).bandAround(2))
	only := studyOf(0.95, chances, holds...).bandAround(2)
	require.InDelta(t, 300e3, float64(only.Low), 100)
	require.InDelta(t, 400e3, float64(only.High), 100)
	s = studyOf(0.3, chances, holds...)
	require.Equal(t, &sim.Interval{Low: 100 * ms, High: 500 * ms}, s.bandAround(2), "the whole curve")
	s.Band = s.bandAround(2)
	low, high := s.OpenEnded()
	require.True(t, low && high)
}

// TestCrossing: a step is found by halving; neighbours a tenth of a millisecond
// apart, and simulated ones, are joined by a straight line.
func TestCrossing(t *testing.T) {
	at := func(hold sim.Micros, p float64) At { return At{hold, Answer{Chances: Chances{Toggles: p}}} }
	up := studyOf(0.9, map[sim.Micros]float64{100 * ms: 0.5, 150 * ms: 0.9}, 100*ms, 150*ms)
	require.InDelta(t, 150e3, float64(up.crossing(at(100*ms, 0.5), at(200*ms, 0.95))), 100)
	down := studyOf(0.9, map[sim.Micros]float64{100 * ms: 0.9, 150 * ms: 0.5}, 100*ms, 150*ms)
	require.InDelta(t, 150e3, float64(down.crossing(at(100*ms, 0.9), at(200*ms, 0.5))), 100)

	line := &Study{Case: cases["settle"], Wanted: 0.55, ask: func(sim.Micros) Answer { panic("near enough") }}
	require.Equal(t, 100*ms+25, line.crossing(at(100*ms, 0.5), at(100*ms+100, 0.7)), "a quarter of the way")
	line.Case = bouncing(line.Case)
	require.Equal(t, 125*ms, line.crossing(at(100*ms, 0.5), at(200*ms, 0.7)))
	require.Equal(t, 175*ms, line.crossing(at(100*ms, 0.7), at(200*ms, 0.5)))
}

// TestSlipsShare: a mixture has each part with its share.
func TestSlipsShare(t *testing.T) {
	w := mixed(one(100, 1, 1), Slips{0.25, []sim.Micros{20, 200}}.widths(), 0.25)
	require.InDelta(t, 0.75+0.125, w.atLeast(50, 50), 1e-12, "all but the slips of 20 µs")
	require.InDelta(t, 0.125, w.atLeast(150, 150), 1e-12)
	require.Equal(t, stat.Rate{Hits: 3, Trials: 4}, tally{Toggles: 3, Long: 1}.Rate(Toggles))
}
