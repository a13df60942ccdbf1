package belief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// Small cases that can be worked out by hand; the derivation stands beside each.

// flightWith is a flight of a rig whose wire is pressed and released at these
// moments, in turn.
func flightWith(rig sim.Rig, end sim.Micros, moves ...sim.Micros) *sim.Replay {
	r := &sim.Replay{Rig: rig, End: end, Window: rig.Camera.Window()}
	for i, at := range moves {
		r.Lanes.Wire.Edges = append(r.Lanes.Wire.Edges, sim.Edge{At: at, Pressed: i%2 == 0})
	}
	r.Record = sim.RunCamera(rig.Camera, r.Window, r.Lanes.Wire, end, nil)
	return r
}

// narrow is a rig without doubt, whose min_press is 60 to 160 ms and whose camera
// begins to record at once.
func narrow(change ...func(*sim.Rig)) sim.Rig {
	rig := sure()
	rig.Camera.MinPress = interval(60*ms, 160*ms)
	rig.Camera.StartDelay, rig.Camera.StopDelay = 0, 0
	for _, c := range change {
		c(&rig)
	}
	return rig
}

// TestWorkIsBounded: fewer points for more presses, and what is just allowed.
func TestWorkIsBounded(t *testing.T) {
	for presses, points := range map[int]int{0: 25_000, 999: 4000, 1599: 2500, 4999: 2500} {
		require.Equal(t, points, pairsFor(presses))
	}
	require.Equal(t, []int{2, 200, maxCells}, []int{exactCells(1), exactCells(100), exactCells(maxCells)})
	outing := func(presses, clips int) *Outing {
		r := &sim.Replay{Rig: narrow()}
		r.Presses = make([]sim.Press, presses)
		return &Outing{Flights: []Flight{{Replay: r}}, Clips: make([]Clip, clips)}
	}
	require.NoError(t, outing(5000, 100).tooMuch())
	require.NoError(t, outing(1000, 500).tooMuch())
	known := outing(5001, 1)
	known.Flights[0].Replay.Rig = sure()
	require.NoError(t, known.tooMuch())
}

// TestBoundsOfObservations: the ends of a log, of a length and of a clock are
// allowed.
func TestBoundsOfObservations(t *testing.T) {
	require.NoError(t, Observations{Seen: []Glance{{0, LightOff}, {s, LightOff}}}.check(s))
	clip := func(length, start sim.Micros) error {
		return Observations{Clips: []Clip{{Length: length, Start: start}}}.check(s)
	}
	require.NoError(t, clip(0, -maxClock))
	require.NoError(t, clip(sim.MaxDuration, maxClock))
	require.Error(t, clip(sim.MaxDuration+1, 0))
	require.Error(t, clip(0, maxClock+1))
	require.Error(t, clip(0, -maxClock-1))
}

// TestHoldsInDoubt: a logged hold of 100, whose edges came earlier by up to 10 and
// 20, is 100 + U − V. P(U < V) = 1 − E[U]/20 = 0.75, P(U + 10 < V) = (10 − E[U])/20 =
// 0.25, and P(U ≥ V + 5) is a triangle of 5 by 5 in a rectangle of 10 by 20.
func TestHoldsInDoubt(t *testing.T) {
	for _, c := range []struct {
		hold            holdDistribution
		threshold, want float64
	}{
		{holdDistribution{100, 10, 20}, 80, 0}, {holdDistribution{100, 10, 20}, 90, 0.25}, {holdDistribution{100, 10, 20}, 100, 0.75},
		{holdDistribution{100, 10, 20}, 105, 1 - 12.5/200}, {holdDistribution{100, 10, 20}, 110, 1}, {holdDistribution{100, 10, 20}, 120, 1},
		{holdDistribution{100, 0, 20}, 80, 0}, {holdDistribution{100, 0, 20}, 90, 0.5}, {holdDistribution{100, 0, 20}, 100, 1},
		{holdDistribution{100, 10, 0}, 100, 0}, {holdDistribution{100, 10, 0}, 105, 0.5}, {holdDistribution{100, 10, 0}, 110, 1},
		{holdDistribution{100, 0, 0}, 100, 0}, {holdDistribution{100, 0, 0}, 100.5, 1},
	} {
		require.InDelta(t, c.want, c.hold.cdf(c.threshold), 1e-12, "%v below %v", c.hold, c.threshold)
	}
	require.Equal(t, [4]float64{80, 100, 110, 90}, holdDistribution{100, 10, 20}.breakpoints())

	press := sim.Press{Down: 5, Up: 105, Verdict: sim.VerdictToggle, DownUnseen: 10, UpUnseen: 1}
	require.Equal(t, holdDistribution{100, 10, 0}, newHoldDistribution(press, 1000, true), "1 µs is no doubt")
	require.Equal(t, holdDistribution{100, 0, 0}, newHoldDistribution(press, 1000, false))
	press.FromStart = true
	require.Equal(t, holdDistribution{100, 0, 0}, newHoldDistribution(press, 1000, true))
}

// TestOutcomesOfAPress: the chances of the outcomes, of which the camera ignores some.
func TestOutcomesOfAPress(t *testing.T) {
	press := section{shortAt: []float64{0.2, 0.4}, longAt: []float64{0.3, 0.1}, ignored: 0.1, chance: [8]float64{predetermined: 1, ignored: 0.1, wakes: 0.7, staysOff: 0.3}}
	inDelta := func(want, got [8]float64) {
		t.Helper()
		require.InDeltaSlice(t, want[:], got[:], 1e-12)
	}
	inDelta([8]float64{predetermined: 1, short: 0.18, toggles: 0.45, long: 0.27, ignored: 0.1, wakes: 0.7, staysOff: 0.3}, *press.chances(0, 0))
	inDelta([8]float64{predetermined: 1, short: 0.36, toggles: 0.63, long: 0.27, ignored: 0.1, wakes: 0.7, staysOff: 0.3}, press.maxChances(0, 2))
	for i, want := range [][2]bool{predetermined: {}, short: {true, false}, toggles: {true, true}, long: {false, true}, ignored: {}} {
		onMin, onLong := (&section{minMatters: true, longMatters: true}).dependsOn(outcome(i))
		require.Equal(t, want, [2]bool{onMin, onLong})
	}
}

// TestFlightsAreCutAtPresses: a glance at the very moment of a press belongs to
// its section.
func TestFlightsAreCutAtPresses(t *testing.T) {
	rig := narrow(func(r *sim.Rig) { r.Camera.MinGap = 50 * ms })
	glances := []Glance{{5*s - 1, LightOff}, {5 * s, LightOff}, {10 * s, LightOff}}
	f := newSectionedFlight(flightWith(rig, 20*s, 5*s, 5*s+100*ms, 9*s, 9*s+100*ms, 9*s+110*ms, 9*s+200*ms), glances)
	require.Len(t, f.sections, 3)
	for i, part := range f.sections {
		require.Equal(t, glances[i:i+1], part.seen)
		require.Equal(t, i == 2, part.last)
	}

	points := func(at ...float64) (all []gridPoint) {
		for _, x := range at {
			all = append(all, gridPoint{at: x})
		}
		return all
	}
	judged := func(fires sim.LongMoment, open bool, mins, longs []gridPoint) *section {
		f.replay.Rig.Camera.LongFires, f.replay.Rig.Camera.WakePress = fires, 80*ms
		f.sections[1].open = open
		f.setHoldChances(mins, longs)
		return &f.sections[1]
	}
	press := judged(sim.LongAtThreshold, false, points(50e3, 150e3), points(1500e3))
	require.Equal(t, []float64{0, 1}, press.shortAt)
	require.Equal(t, []float64{0}, press.longAt)
	require.True(t, press.minMatters)
	require.False(t, press.longMatters)
	require.Equal(t, 1.0, press.chance[wakes])
	press = judged(sim.LongOnRelease, false, points(50e3, 80e3), points(90e3, 1500e3))
	require.Equal(t, []float64{1, 0}, press.longAt)
	require.False(t, press.minMatters)
	require.True(t, press.longMatters)
	require.Equal(t, []float64{1}, judged(sim.LongAtThreshold, true, points(50e3), points(90e3)).longAt)
	require.Equal(t, []float64{0}, judged(sim.LongOnRelease, true, points(50e3), points(90e3)).longAt, "it is not released")
}

// TestKnots: a glance 3 s after a press shows whether a threshold, or a busy time
// that started with it, had passed; a later press comes before or after such a time.
func TestKnots(t *testing.T) {
	rig := narrow(func(r *sim.Rig) {
		r.Camera.MinPress.High = 100 * ms
		r.Camera.StartDelay, r.Camera.StopDelay, r.Camera.AutoOff = 400*ms, 800*ms, 5*s
	})
	knots := func(rig sim.Rig) (least, longs []sim.Micros) {
		replay := flightWith(rig, 20*s, 5*s, 5*s+90*ms, 5500*ms, 5590*ms, 9*s, 9*s+90*ms)
		return newSectionedFlight(replay, []Glance{{12 * s, LightOff}}).breakpoints()
	}
	hold := 90 * ms
	least, longs := knots(rig)
	each := []sim.Micros{hold, hold, hold, hold}
	glance := []sim.Micros{3 * s, 2600 * ms, 2200 * ms, -2800 * ms}
	require.Equal(t, append(append(append([]sim.Micros{}, each...), each...), append(glance, each...)...), least)
	require.Equal(t, append(append(append([]sim.Micros{}, each...), each...), append([]sim.Micros{3 * s}, each...)...), longs)

	rig.Camera.ToggleOn = sim.ToggleOnPress
	least, _ = knots(rig)
	// From 5 s on: 5.5 s is 500 ms later, less 400, 800 and 5800; 9 s less 5800 too.
	first := []sim.Micros{100 * ms, -300 * ms, -5300 * ms, -1800 * ms}
	// From 5.5 s on: 9 s is 3.5 s later, which is too far but for the last.
	second := []sim.Micros{-2300 * ms}
	want := append(append(append([]sim.Micros{}, each...), first...), append(append([]sim.Micros{}, each...), second...)...)
	require.Equal(t, append(want, append(glance, each...)...), least)
}

// TestAxisGrids: a range is cut at the breakpoints within it, at so many at most.
func TestAxisGrids(t *testing.T) {
	whole := interval(0, 100)
	got := newAxisGrid(whole, []sim.Micros{70, -5, 0, 30, 30, 100, 120}, false).coarser(10)
	require.Equal(t, axisGrid{whole, []sim.Micros{30, 70}, true}, got)
	require.Equal(t, []sim.Micros{0, 30, 70, 100}, got.ends())
	require.Equal(t, []sim.Micros{10, 30}, newAxisGrid(whole, []sim.Micros{10, 20, 30, 40}, true).coarser(3).cuts)
	require.Equal(t, []sim.Micros{10}, newAxisGrid(whole, []sim.Micros{10, 20}, true).coarser(1).cuts)
	require.False(t, newAxisGrid(whole, nil, false).matters)
	require.True(t, newAxisGrid(whole, nil, true).matters)
	require.False(t, newAxisGrid(sim.Exactly(80), nil, true).matters)

	parts := axisGrid{whole, []sim.Micros{40}, true}
	require.Equal(t, 0.25, parts.lengthShare(25, 50))
	starts := func(g axisGrid, share func(from, to sim.Micros) float64) (all []sim.Micros) {
		for _, p := range g.points(10, share) {
			all = append(all, p.low)
		}
		return all
	}
	require.Equal(t, []sim.Micros{0, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95}, starts(parts, parts.lengthShare))
	require.Equal(t, []sim.Micros{0, 20, 40, 70}, starts(parts, func(_, _ sim.Micros) float64 { return 0.01 }), "one part at least")
	require.Equal(t, []sim.Micros{40, 70}, starts(parts, func(from, _ sim.Micros) float64 { return 0.01 * float64(from) / 40 }), "no share")
	short := axisGrid{interval(10, 12), nil, true}
	require.Equal(t, []sim.Micros{10, 10, 11, 11}, starts(short, short.lengthShare), "none shorter than 1 µs")
	require.Equal(t, []sim.Micros{0}, starts(axisGrid{whole: whole}, parts.lengthShare))
}

// TestPoints: two for each piece, which sum a cubic exactly: the mean of x³ from 0
// to 12 is 12³/4.
func TestPoints(t *testing.T) {
	one := func(_, _ sim.Micros) float64 { return 1 }
	all := axisGrid{interval(0, 12), nil, true}.points(1, one)
	require.Len(t, all, 2)
	require.InDelta(t, 6-6/math.Sqrt(3), all[0].at, 1e-12)
	mean := 0.0
	for _, p := range all {
		mean += p.prior * p.at * p.at * p.at
	}
	require.InDelta(t, 432, mean, 1e-9)
	require.Equal(t, [4]sim.Micros{0, 6, 6, 12}, [4]sim.Micros{all[0].low, all[0].high, all[1].low, all[1].high})
	require.Equal(t, []gridPoint{{low: 10, high: 13, at: 11.5, prior: 1}}, axisGrid{whole: interval(10, 13)}.points(1, one))
}

// TestLookingCloser: pieces get points by what they weigh, 0.7, and by their
// length, 0.3.
func TestLookingCloser(t *testing.T) {
	halves := axisGrid{interval(0, 12), []sim.Micros{6}, true}
	points := []gridPoint{{at: 1}, {at: 5}, {at: 6}, {at: 9}}
	share := halves.focused(points, []float64{0.1, 0.2, 0.3, 0.4})
	require.InDelta(t, 0.7*0.3+0.3*0.5, share(0, 6), 1e-12)
	require.InDelta(t, 0.7*0.7+0.3*0.5, share(6, 12), 1e-12)
	require.Zero(t, halves.focused(points, []float64{0, 0.9 * negligible, 0.5, 0.5})(0, 6))
}

// TestPieces: how finely the ranges are cut, for so many pairs of grid points.
func TestPieces(t *testing.T) {
	pieces := func(pairs, presses int, minMatters, longMatters, onPress bool, list *card) [2]int {
		r := &sim.Replay{Rig: narrow()}
		r.Presses = make([]sim.Press, presses)
		e := estimator{rig: r.Rig, pairs: pairs}
		e.flights, e.card = []*sectionedFlight{{replay: r}}, list
		if onPress {
			e.rig.Camera.ToggleOn = sim.ToggleOnPress
		}
		a, b := e.pieces(minMatters, longMatters)
		return [2]int{a, b}
	}
	require.Equal(t, [2]int{1, 1}, pieces(100, 1, false, false, false, nil))
	require.Equal(t, [2]int{50, 1}, pieces(100, 1, true, false, false, nil))
	require.Equal(t, [2]int{1, 50}, pieces(100, 1, false, true, false, nil))
	require.Equal(t, [2]int{4, 1}, pieces(4, 1, true, false, false, nil))
	require.Equal(t, [2]int{300, 1}, pieces(25_000, 1, true, false, false, nil))
	require.Equal(t, [2]int{25, 25}, pieces(2500, 1, true, true, false, nil), "√2500 / 2")
	require.Equal(t, [2]int{4, 4}, pieces(16, 1, true, true, false, nil))
	require.Equal(t, [2]int{20, 25}, pieces(2500, 699, true, true, true, nil), "14,000 / 700")
	require.Equal(t, [2]int{12, 25}, pieces(2500, 699, true, true, true, &card{}), "9,000 / 700")
	require.Equal(t, [2]int{4, 25}, pieces(2500, 13_999, true, true, true, nil))
}

// TestAffordable: four points for each pair of pieces, times the branches, are 20
// million at most; but six pieces.
func TestAffordable(t *testing.T) {
	affordable := func(branches, mins, longs int, perMin bool) [2]int {
		e := &estimator{kept: []*trellis{{stages: []stage{{common: make([]branch, branches)}}}}}
		e.rig.Camera.MinPress.High = ms
		if perMin {
			e.rig.Camera.ToggleOn = sim.ToggleOnPress
		}
		mins, longs = e.affordable(mins, longs)
		return [2]int{mins, longs}
	}
	require.Equal(t, [2]int{50, 50}, affordable(1999, 50, 50, false), "4 · 50² = 20,000,000 / 2000")
	require.Equal(t, [2]int{50, 1}, affordable(1999, 100, 1, false))
	require.Equal(t, [2]int{6, 6}, affordable(1_000_000, 100, 100, false))
	require.Equal(t, [2]int{100, 90}, affordable(0, 100, 90, false))
	require.Equal(t, [2]int{20, 125}, affordable(1999, 20, 200, true), "4 · 20 · 125 = 10,000")
	require.Equal(t, [2]int{20, 6}, affordable(1_000_000, 20, 200, true))
}

// TestWhatIsLeft: thresholds at least a hundredth as likely as the likeliest are
// still possible, and whole µs are shown.
func TestWhatIsLeft(t *testing.T) {
	points := []gridPoint{{low: 0, high: 50, prior: 0.5}, {low: 50, high: 100, prior: 0.5}}
	require.Equal(t, interval(0, 100), stillPossible(interval(0, 100), points, []float64{1, 0.01}))
	require.Equal(t, interval(0, 50), stillPossible(interval(0, 100), points, []float64{1, 0.0099}))
	require.Equal(t, interval(50, 100), stillPossible(interval(0, 100), points, []float64{0, 1}))
	for at, want := range map[float64]sim.Micros{99.5: 100, 100 + 1e-7: 100, 100.1: 101, 59: 60, 161: 160} {
		require.Equal(t, want, wholeWithin(interval(60, 160), at))
	}
}

// TestSumsOfLogarithms: e⁰ + 3·e⁰ is e^ln 4, and the means are a quarter and three
// quarters of the way.
func TestSumsOfLogarithms(t *testing.T) {
	all := weightedMean{log: math.Inf(-1)}
	all.add(0, 10, 100)
	all.add(math.Log(3), 20, 200)
	all.add(math.Inf(-1), 1e9, 1e9)
	require.InDelta(t, math.Log(4), all.log, 1e-12)
	require.InDelta(t, 17.5, all.minPress, 1e-12)
	require.InDelta(t, 175, all.longPress, 1e-12)
	require.Equal(t, 1, largest(3, func(i int) float64 { return []float64{1, 3, 3}[i] }), "the first")
	require.Equal(t, 0, largest(2, func(i int) float64 { return []float64{2, 1}[i] }))
}

// TestNodesThatAreFollowed: the 200 that may weigh most, and none a billionth of a
// thousandth as likely as the best.
func TestNodesThatAreFollowed(t *testing.T) {
	kept := func(weights ...float64) (bounds []float64, branches int) {
		b := builder{nodes: []node{{}}, bounds: []float64{1}}
		b.startStage(0, 0, nil)
		for i, w := range weights {
			b.addBranch(branch{weight: w}, node{camera: int32(i)}, -1)
		}
		b.finishStage()
		return b.bounds, len(b.trellis.stages[0].common)
	}
	bounds, branches := kept(1, pruneBelow, 0.9*pruneBelow, 0)
	require.Equal(t, []float64{1, pruneBelow}, bounds)
	require.Equal(t, 2, branches)
	many := make([]float64, defaultBeamWidth+50)
	for i := range many {
		many[i] = float64(i + 1)
	}
	bounds, branches = kept(many...)
	require.Len(t, bounds, defaultBeamWidth)
	require.Equal(t, defaultBeamWidth, branches)
	require.InDelta(t, 51./250, bounds[0], 1e-12)
	bounds, _ = kept(many[:defaultBeamWidth]...)
	require.Len(t, bounds, defaultBeamWidth)
}

// TestALongPressIsOneWay: nothing but its moment depends on long_press, unless a
// glance in between distinguishes grid points.
func TestALongPressIsOneWay(t *testing.T) {
	rig := narrow(func(r *sim.Rig) {
		r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(60*ms), interval(700*ms, 1200*ms)
		r.Camera.LongAction, r.Camera.LongFires, r.Camera.Start = sim.ActionPowerOff, sim.LongAtThreshold, sim.StartRecording
		r.Doubt.Ignored = 0.1
	})
	apart := func(seen ...Glance) bool {
		e := newEstimator([]*sectionedFlight{newSectionedFlight(flightWith(rig, 20*s, 5*s, 7*s), seen)}, seen != nil, nil, 2500)
		e.weigh()
		return e.kept[0].stages[1].byLong != nil
	}
	require.False(t, apart())
	require.False(t, apart(Glance{8 * s, LightOff}))
	require.True(t, apart(Glance{5900 * ms, LightOff}))
	e := newEstimator([]*sectionedFlight{newSectionedFlight(flightWith(rig, 20*s, 5*s, 7*s), nil)}, true, &card{clips: lengths(6), err: s}, 2500)
	e.weigh()
	require.NotNil(t, e.kept[0].stages[1].byLong, "the length of the take moves with it")
}

// TestClipsTellLongPress: the length of a take that a long press ended grows with
// long_press, so its clip shows the threshold, even if every press is in doubt.
func TestClipsTellLongPress(t *testing.T) {
	for long := 700 * ms; long <= 1200*ms; long += 50 * ms {
		rig := narrow(func(r *sim.Rig) {
			r.Doubt = sim.DefaultRig().Doubt
			r.Camera.LongPress, r.Camera.LongAction, r.Camera.LongFires = interval(700*ms, 1200*ms), sim.ActionPowerOff, sim.LongAtThreshold
		})
		replay := flightWith(rig, 30*s, s, 1300*ms, 5*s, 7*s)
		result, err := Resolve(replay, Observations{Clips: []Clip{{Length: 3700*ms + long}}, ClipError: 50 * ms})
		require.NoError(t, err)
		require.Zero(t, result.Unexplained)
		require.Equal(t, []Pair{{1, 1}}, result.Pairs)
		require.InDelta(t, float64(max(700*ms, long-50*ms)), float64(result.LongPress.Low), float64(10*ms))
		require.InDelta(t, float64(min(1200*ms, long+50*ms)), float64(result.LongPress.High), float64(10*ms))
	}
}

// TestAGlanceAtTheMomentOfAChange shows what comes after it.
func TestAGlanceAtTheMomentOfAChange(t *testing.T) {
	b := builder{model: model{doubt: sim.DoubtSpec{Misread: 0.2}, mins: []gridPoint{{at: 100}}, longs: []gridPoint{{at: 900}}}}
	weight := func(at sim.Micros, l Light, m moment) float64 {
		return b.weighGlances([]Glance{{at, l}}, &behaviour{changes: []change{{m, sim.StateOff}}}, sim.StateRecording, 0)
	}
	for at, m := range map[sim.Micros]moment{500: {base: 500}, 600: {500, alongMin}, 1400: {500, alongLong}} {
		require.InDelta(t, 0.8, weight(at, LightOff, m), 1e-12)
		require.InDelta(t, 0.1, weight(at, LightRecording, m), 1e-12, "misread, as one of two")
		require.InDelta(t, 0.8, weight(at-1, LightRecording, m), 1e-12)
	}
}

// TestRamp: a change anywhere in a piece of a threshold is a slope; in a piece of
// no length it is a step.
func TestRamp(t *testing.T) {
	c := newCurve()
	c.ramp(100, chord{from: 5, to: 5}, 1, 0, 0.5)
	c.ramp(200, chord{from: 5, to: 15}, 1, 0, 0.5)
	require.Equal(t, map[sim.Micros]lights{105: {0.5, -0.5}}, c.jumps)
	require.Equal(t, map[sim.Micros]lights{205: {0.05, -0.05}, 215: {-0.05, 0.05}}, c.bends)
}

// TestLoggedOutcomes: the outcomes by the logged edges alone.
func TestLoggedOutcomes(t *testing.T) {
	outcomes := func(start sim.StartState, wake sim.Micros) (all []outcome) {
		rig := narrow(func(r *sim.Rig) {
			r.Camera.MinPress, r.Camera.LongPress, r.Camera.LongAction = sim.Exactly(100*ms), sim.Exactly(s), sim.ActionNone
			r.Camera.Start, r.Camera.WakePress = start, wake
		})
		f := newSectionedFlight(flightWith(rig, 20*s, s, s+90*ms, 5*s, 5*s+100*ms, 7*s, 8*s), nil)
		for i := range f.sections[1:] {
			all = append(all, f.loggedOutcome(i))
		}
		return all
	}
	require.Equal(t, []outcome{short, toggles, long}, outcomes(sim.StartStandby, sim.Never))
	require.Equal(t, []outcome{predetermined, predetermined, predetermined}, outcomes(sim.StartOff, sim.Never))
	require.Equal(t, []outcome{staysOff, wakes}, outcomes(sim.StartOff, 95*ms)[:2])
}

// TestEndingsOfCells: a press of 100 ms toggles where min_press of 60 to 160 ms is
// shorter; one that is down at the end is in hand.
func TestEndingsOfCells(t *testing.T) {
	result, err := Resolve(flightWith(narrow(), 10*s, 5*s, 5*s+100*ms), Observations{})
	require.NoError(t, err)
	require.InDelta(t, 0.6, result.Endings()[0].Chance, exact)
	require.Equal(t, sim.StateStandby, result.Endings()[0].State)
	require.InDelta(t, 0.4, result.Endings()[1].Chance, exact)
	for start, want := range map[sim.StartState]float64{sim.StartStandby: 1, sim.StartOff: 0} {
		held, err := Resolve(flightWith(narrow(func(r *sim.Rig) { r.Camera.Start = start }), 10*s, 9900*ms), Observations{})
		require.NoError(t, err)
		require.Equal(t, want, held.InHand())
	}
}

// TestTheLikeliestStart: a glance before the first press shows the start.
func TestTheLikeliestStart(t *testing.T) {
	rig := narrow(func(r *sim.Rig) { r.Camera.Start, r.Doubt.Misread = sim.StartUnknown, 0.1 })
	for light, want := range map[Light]outcome{LightStandby: 0, LightRecording: 1} {
		e := newEstimator([]*sectionedFlight{newSectionedFlight(flightWith(rig, 10*s), []Glance{{s, light}})}, true, nil, 100)
		e.weigh()
		require.Equal(t, []outcome{want, 0}, e.kept[0].viterbi(0, 0))
		require.InDelta(t, 0.9/(0.9+0.05), e.best([][]outcome{{want, 0}}).weight, 1e-9, "right, or wrong and one of two")
	}
}

// TestPointsWorthTrying: the likeliest long_press of each likely min_press, by how
// likely it is for its length, and the other way round.
func TestPointsWorthTrying(t *testing.T) {
	e := estimator{weights: [][]float64{{0.1, 0.2}, {0, 0}, {0.4, 0.3}}}
	e.mins = []gridPoint{{prior: 0.25}, {prior: 0.25}, {prior: 0.5}}
	e.longs = []gridPoint{{prior: 0.2}, {prior: 0.8}}
	// Beside their length the first row has 0.5 and 0.25, the third 2 and 0.375, the
	// first column 0.4, 0, 0.8, and the second 0.8, 0, 0.6.
	require.Equal(t, [][2]int{{0, 0}, {2, 0}, {2, 0}, {0, 1}}, e.worthTrying(0, 3))
	require.Equal(t, [][2]int{{2, 0}, {2, 0}}, e.worthTrying(1, 3), "the best of the second column is not among them")
	for n, want := range map[int]int{48: 48, 49: 25} {
		many := estimator{weights: make([][]float64, n)}
		many.mins, many.longs = make([]gridPoint, n), []gridPoint{{prior: 1}}
		for i := range n {
			many.mins[i], many.weights[i] = gridPoint{prior: 1 / float64(n)}, []float64{1 / float64(n)}
		}
		require.Len(t, many.worthTrying(0, n), want+1, "48 at most, and the best of all")
		turned := estimator{weights: [][]float64{make([]float64, n)}}
		turned.mins, turned.longs = many.longs, many.mins
		for i := range n {
			turned.weights[0][i] = 1 / float64(n)
		}
		require.Len(t, turned.worthTrying(0, 1), want+1)
	}
	require.Len(t, neighbours([]outcome{short, 0}), 2*(int(outcomes)-1))
	for _, c := range neighbours([]outcome{short, 0}) {
		require.NotEqual(t, []outcome{short, 0}, c)
	}
}

// TestWhatAsksLongPress: a long press that acts while it is held, and does something
// or ends the wait for a second one.
func TestWhatAsksLongPress(t *testing.T) {
	asks := func(fires sim.LongMoment, action sim.Action, within sim.Micros, x outcome) bool {
		return dependsOnLong(sim.CameraSpec{LongFires: fires, LongAction: action, DoubleWithin: within}, x)
	}
	require.True(t, asks(sim.LongAtThreshold, sim.ActionPowerOff, 0, long))
	require.True(t, asks(sim.LongAtThreshold, sim.ActionNone, 1, long))
	require.False(t, asks(sim.LongAtThreshold, sim.ActionNone, 0, long))
	require.False(t, asks(sim.LongOnRelease, sim.ActionPowerOff, 1, long))
	require.False(t, asks(sim.LongAtThreshold, sim.ActionPowerOff, 1, toggles))
}

// TestHistoriesThatNeedLongPress: only those with the long press have branches that
// differ between grid points.
func TestHistoriesThatNeedLongPress(t *testing.T) {
	tr := trellis{stages: []stage{{}, {byLong: [][]branch{nil, {{outcome: long}}}}, {}}}
	require.True(t, tr.hasBranchesByLong([]outcome{0, long, 0}))
	require.False(t, tr.hasBranchesByLong([]outcome{0, short, long}))
}

// TestRounds: eight at most, and so many that they weigh 20 million presses.
func TestRounds(t *testing.T) {
	e := estimator{rig: narrow()}
	e.mins, e.longs = make([]gridPoint, 3), make([]gridPoint, 2)
	require.Equal(t, []int{8, 4}, []int{e.rounds(10), e.rounds(1000)}, "1000² · (3 + 2) = 5 million")
	e.rig.Camera.ToggleOn = sim.ToggleOnPress
	require.Equal(t, 2, e.rounds(1000), "for each of two points of long_press")
	require.Equal(t, maxWork/4001, newUnknowns(flightOf(2000, func(int) sim.Micros { return ms })).maxCells)
}

// TestEqualBehavioursAreJoined: those that end the same press with the same
// verdict and make the same changes.
func TestEqualBehavioursAreJoined(t *testing.T) {
	at := []change{{moment{base: 5}, sim.StateOff}}
	first := behaviour{verdict: sim.VerdictLong, pairStart: 7, changes: at}
	for i, later := range []behaviour{first, {verdict: sim.VerdictShort, pairStart: 7, changes: at}, {verdict: sim.VerdictLong, pairStart: 8, changes: at}, {verdict: sim.VerdictLong, pairStart: 7}} {
		b := builder{trellis: trellis{behaviours: []behaviour{first, later}}}
		want := int32(1)
		if i == 0 {
			want = 0
		}
		require.Equal(t, want, b.joinEqual(0, 1))
		require.Len(t, b.trellis.behaviours, int(want)+1)
	}
}

// TestLongLogarithms: ten glances that nothing explains weigh (10⁻⁶/2)¹⁰ = 10⁻⁶³;
// those of one section are 10⁻¹⁰⁰ at least, so that a history is left.
func TestLongLogarithms(t *testing.T) {
	rig := narrow(func(r *sim.Rig) { r.Camera.MinPress, r.Doubt.Ignored = sim.Exactly(60*ms), 0.1 })
	for _, n := range []int{10, 20, 60} {
		var seen []Glance
		for range n {
			seen = append(seen, Glance{s, LightOff}, Glance{8 * s, LightOff})
		}
		e := newEstimator([]*sectionedFlight{newSectionedFlight(flightWith(rig, 10*s, 5*s, 5*s+100*ms), seen)}, true, nil, 100)
		e.weigh()
		want := 2 * max(float64(n)*math.Log(0.5e-6), math.Log(1e-100))
		require.InDelta(t, want, e.total, 1e-9)
		require.InDelta(t, 0.9, e.best([][]outcome{{0, toggles, 0}}).weight, 1e-9)
		require.Equal(t, []outcome{0, toggles, 0}, e.likeliest(nil).outcomes)
	}
}

// TestAFlightWithoutPresses has nothing in hand.
func TestAFlightWithoutPresses(t *testing.T) {
	rig := narrow(func(r *sim.Rig) { r.Doubt.Ignored = 0.1 })
	result, err := Resolve(flightWith(rig, 10*s), Observations{})
	require.NoError(t, err)
	require.Empty(t, result.Replay.Presses)
	require.Equal(t, []Ending{{sim.StateStandby, 1, 10 * s}}, result.Endings())
}

// TestOffCentre: the distance of a piece's middle from that of the ranges, each of
// which counts as 1.
func TestOffCentre(t *testing.T) {
	u := unknowns{rectangle: newRegion(interval(60, 110), interval(1000, 1400))}
	require.Zero(t, u.offCentre(u.rectangle))
	require.InDelta(t, math.Hypot(0.4, 0.25), u.offCentre(newRegion(interval(60, 70), interval(1200, 1400))), 1e-12)
}

// TestNumbersOfTakes: a press of 100 ms toggles where min_press of 60 to 160 ms is
// shorter, in 4 of 10, and is not ignored, in 9 of 10. It is computed
// from 64 pairs of thresholds.
func TestNumbersOfTakes(t *testing.T) {
	rig := narrow(func(r *sim.Rig) { r.Doubt.Ignored = 0.1 })
	replay := flightWith(rig, 10*s, 5*s, 5*s+100*ms)
	var e *estimator
	for _, points := range []int{8, 2500} { // a pair of thresholds for many, or for one
		e = newEstimator([]*sectionedFlight{newSectionedFlight(replay, nil)}, false, nil, points)
		e.weigh()
		counts := e.countTakes()
		require.InDelta(t, 0.36, counts[1], 1./countsPoints)
		require.InDelta(t, 1, counts[0]+counts[1], 1e-9)
	}
	e.card = &card{}
	require.Nil(t, e.countTakes(), "the card was read")
}

// TestDoubtfulBelow95: a press that is ignored in one of twenty is just sure.
func TestDoubtfulBelow95(t *testing.T) {
	for ignored, doubtful := range map[float64]bool{0.05: false, 0.0501: true} {
		rig := narrow(func(r *sim.Rig) { r.Camera.MinPress, r.Doubt.Ignored = sim.Exactly(60*ms), ignored })
		result, err := Resolve(flightWith(rig, 10*s, 5*s, 5*s+100*ms), Observations{})
		require.NoError(t, err)
		require.InDelta(t, 1-ignored, result.Replay.Presses[0].Chance, exact)
		require.Equal(t, doubtful, result.Replay.Presses[0].Doubtful)
		require.Equal(t, doubtful, result.Replay.Belief != nil)
	}
}

// TestTooManyHistoriesToCount: the likeliest history is shown all the same, and an
// unknown start stays unknown (M8).
func TestTooManyHistoriesToCount(t *testing.T) {
	for _, start := range []sim.StartState{sim.StartStandby, sim.StartUnknown} {
		rig := narrow(func(r *sim.Rig) { r.Camera.Start, r.Doubt.Ignored = start, 0.001 })
		replay := flightWith(rig, 20*s, 5*s, 5*s+70*ms, 7*s, 7*s+80*ms, 9*s, 9*s+150*ms, 11*s, 11*s+300*ms)
		result, err := resolveWith(1, replay, Observations{})
		require.NoError(t, err)
		require.Zero(t, result.Histories, "more than two")
		require.Equal(t, rig.Doubt, result.Replay.Rig.Doubt)
		require.Equal(t, sim.State(start), result.Replay.States[0].State)
		var verdicts []sim.Verdict
		for _, p := range result.Replay.Presses {
			verdicts = append(verdicts, p.Verdict)
		}
		want := []sim.Verdict{sim.VerdictShort, sim.VerdictShort, sim.VerdictToggle, sim.VerdictToggle} // min_press 80 to 150 ms is most of it
		if start == sim.StartUnknown {
			want = []sim.Verdict{sim.VerdictUnknown, sim.VerdictUnknown, sim.VerdictUnknown, sim.VerdictUnknown}
		}
		require.Equal(t, want, verdicts)
	}
}

// TestLikelihood: with four cells of min_press, a press of 100 ms toggles in the
// two whose middle is below. A light that shows recording is then right, else
// misread: 10⁻⁶ and one of two answers, so ln(0.5·10⁻⁶/(1 − 10⁻⁶)) = −14.508657.
func TestLikelihood(t *testing.T) {
	replay := flightWith(narrow(), 10*s, 5*s, 5*s+100*ms)
	grid := GridOf(replay.Rig.Camera, 4)
	require.Equal(t, Grid{interval(60*ms, 160*ms), sim.Exactly(1500 * ms), 4, 1}, grid)
	require.Equal(t, []gridPoint{
		{low: 0, high: 3, at: 1.25, prior: 1}, {low: 3, high: 5, at: 3.75, prior: 1}, {low: 5, high: 8, at: 6.25, prior: 1}, {low: 8, high: 10, at: 8.75, prior: 1},
	}, grid.points(interval(0, 10), 4))
	likelihood := func(glances ...Glance) []int64 {
		all, err := Likelihood(Outing{Flights: []Flight{{replay, glances}}}, grid)
		require.NoError(t, err)
		return all
	}
	glance := Glance{8 * s, LightRecording}
	require.Equal(t, []int64{0, 0, -14_508_657, -14_508_657}, likelihood(glance))
	require.Equal(t, []int64{0, 0, -100e6, -100e6}, likelihood(glance, glance, glance, glance, glance, glance, glance), "never less")
	require.Nil(t, likelihood())

	seen := Outing{Flights: []Flight{{replay, []Glance{glance}}}}
	all, err := Likelihood(seen, Grid{grid.MinPress, grid.LongPress, 1, 1})
	require.NoError(t, err)
	require.Nil(t, all, "one cell says nothing")
	seen.Flights[0].Seen = []Glance{{11 * s, LightOff}}
	_, err = Likelihood(seen, grid)
	require.ErrorContains(t, err, "outside the log")
	replay.Presses = make([]sim.Press, maxPresses+1)
	seen.Flights[0].Seen = []Glance{glance}
	_, err = Likelihood(seen, grid)
	require.ErrorContains(t, err, "5001 presses")

	both := GridOf(narrow(func(r *sim.Rig) { r.Camera.MinPress, r.Camera.LongPress = sim.Exactly(60*ms), interval(s, 2*s) }).Camera, 4)
	require.Equal(t, [2]int{1, 4}, [2]int{both.MinCells, both.LongCells})
	rig := narrow(func(r *sim.Rig) { r.Camera.LongPress = interval(s, 2*s) })
	square := Outing{Flights: []Flight{{flightWith(rig, 10*s, 5*s, 5*s+100*ms), []Glance{glance}}}}
	all, err = Likelihood(square, GridOf(rig.Camera, 4))
	require.NoError(t, err)
	require.Equal(t, append(make([]int64, 8), -14_508_657, -14_508_657, -14_508_657, -14_508_657, -14_508_657, -14_508_657, -14_508_657, -14_508_657), all)
}
