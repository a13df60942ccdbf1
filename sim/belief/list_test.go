package belief

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"flicktally/sim"
)

// TestAClipFitsATake to within the error, or is longer where the log's ends cut the
// take. Steps are quarters of a µs: a clip of 10 µs is 40.
func TestAClipFitsATake(t *testing.T) {
	c := card{err: 4}
	fits := func(clip Clip, ended sim.Micros, fromStart, open bool) bool {
		_, ok := c.fit(newListState(), clip, 0, ended, fromStart, open)
		return ok
	}
	ten := Clip{Length: 10}
	for ended, want := range map[sim.Micros]bool{35: false, 36: true, 40: true, 44: true, 45: false} {
		require.Equal(t, want, fits(ten, ended, false, false), "%d", ended)
	}
	require.True(t, fits(ten, 35, true, false))
	require.True(t, fits(ten, 35, false, true))
	require.False(t, fits(ten, 45, true, true), "it is not shorter")
	require.True(t, fits(Clip{NoLength: true}, 1000, false, false))
}

// TestOffsetsOfAClock: each pair with a start leaves the offsets within the error
// of it; a take that ran already may have begun earlier.
func TestOffsetsOfAClock(t *testing.T) {
	c := card{err: 4}
	at := func(start sim.Micros) Clip { return Clip{NoLength: true, Start: start, HasStart: true} }
	first, ok := c.fit(newListState(), at(100), 40, 80, false, false)
	require.True(t, ok)
	require.Equal(t, [2]sim.Micros{356, 364}, [2]sim.Micros{first.low, first.high}, "400 − 40, and the error")
	second, ok := c.fit(first, at(112), 80, 120, false, false)
	require.True(t, ok, "448 − 80 is 368, which leaves 364")
	require.Equal(t, [2]sim.Micros{364, 364}, [2]sim.Micros{second.low, second.high})
	_, ok = c.fit(second, at(112), 79, 120, false, false)
	require.False(t, ok)
	ran, _ := c.fit(newListState(), at(100), 0, 80, true, false)
	require.Equal(t, [2]sim.Micros{396, anyTime}, [2]sim.Micros{ran.low, ran.high})
}

// TestWaysOnInTheList: a take is on no clip, on the next, or on a later one, and
// then those before are of their own.
func TestWaysOnInTheList(t *testing.T) {
	c := card{clips: []Clip{{NoLength: true}, {NoLength: true}, {NoLength: true}}, unlisted: 0.1, foreign: 0.2}
	toCome := 3
	weights := func(p listState) (weights []float64, next []int32) {
		for _, o := range c.take(p, 4, 8, false, toCome, nil) {
			weights, next = append(weights, o.weight*c.foreigners(o.skipped)), append(next, o.state.next)
		}
		return weights, next
	}
	w, next := weights(listState{began: 4, high: anyTime})
	require.InDeltaSlice(t, []float64{0.1, 0.9, 0.18, 0.036}, w, 1e-12)
	require.Equal(t, []int32{0, 1, 2, 3}, next)
	w, _ = weights(listState{free: true})
	require.InDeltaSlice(t, []float64{0.1, 0.9, 0.9, 0.9}, w, 1e-12, "the camera may have recorded them unseen")
	w, next = weights(listState{next: 2})
	require.InDeltaSlice(t, []float64{0.1, 0.9}, w, 1e-12)
	require.Equal(t, []int32{2, 3}, next)
	c.foreign = 1e-8
	w, _ = weights(listState{})
	require.Len(t, w, 3, "10⁻¹⁶ is not followed")
	toCome = 2
	w, _ = weights(listState{})
	require.Len(t, w, 4, "one has no take in any case")
	require.Equal(t, []int{3, 1, 0, 0}, []int{c.clipsLeft(listState{}), c.clipsLeft(listState{next: 2}), c.clipsLeft(listState{next: 3}), c.clipsLeft(listState{free: true})})
}

// TestTwoTakesOfATransition: their weights multiply, and the take that runs on is
// remembered.
func TestTwoTakesOfATransition(t *testing.T) {
	b := builder{model: model{card: &card{clips: []Clip{{NoLength: true}}, unlisted: 0.1, foreign: 0.2}}}
	two := transition{takes: []sim.Take{{Start: 4, End: 8}, {Start: 9, End: 9}, {Start: 12, End: 16}}, recording: true, began: 20}
	var weights []float64
	for _, o := range b.matchTakes(two, newListState()) {
		weights = append(weights, o.weight)
		require.EqualValues(t, 20, o.state.began)
		require.False(t, o.state.fromStart)
	}
	require.InDeltaSlice(t, []float64{0.01, 0.09, 0.09}, weights, 1e-12, "neither, the first, the second; one of no length is none")

	running := listState{began: 4, fromStart: true}
	require.Equal(t, running, b.matchTakes(transition{recording: true}, running)[0].state)
	require.Equal(t, listState{}, b.matchTakes(transition{}, running)[0].state)
	b.stage.section = &section{}
	require.Equal(t, listState{fromStart: true}, b.matchTakes(transition{recording: true}, listState{began: 4})[0].state)
}

// TestPairsOfAnOuting: clips without a take stand before the take after them, and
// what is left over with the last flight.
func TestPairsOfAnOuting(t *testing.T) {
	result := func(takes int) *Result {
		r := &Result{Replay: &sim.Replay{}}
		r.Replay.Takes = make([]sim.Take, takes)
		return r
	}
	c := card{clips: make([]Clip, 4)}
	require.Equal(t, [][]Pair{{{0, 1}, {1, 0}, {2, 2}}, {}, {{3, 1}, {4, 0}}},
		c.pairsOf([]*Result{result(2), result(0), result(1)}, []int{-1, 1, 2}))
}

// TestALongerClip is a take that the log's end cut, or that ended when nobody knew
// what the camera did; else it is none.
func TestALongerClip(t *testing.T) {
	for ended, want := range map[sim.TakeEnd][]Pair{
		sim.EndLog: {{1, 1}}, sim.EndUnknown: {{1, 1}}, sim.EndPress: {{0, 1}, {1, 0}},
	} {
		r := &Result{Replay: &sim.Replay{End: 100}}
		r.Replay.States = []sim.StateChange{{State: sim.StateStandby}}
		r.Replay.Takes = []sim.Take{{N: 1, Start: 40, End: 80, Ended: ended}}
		c := card{clips: []Clip{{Length: 60}}, err: 4, unlisted: 0.1, foreign: 0.2}
		require.Equal(t, [][]Pair{want}, c.pair([]*Result{r}), "%s", ended)
		r.Replay.States[0].State = sim.StateRecording
		r.Replay.Takes[0].Start, r.Replay.Takes[0].End = 0, 40
		require.Equal(t, [][]Pair{{{1, 1}}}, c.pair([]*Result{r}), "it ran when the log began")
		r.Replay.States[0].State = sim.StateStandby
		require.Equal(t, [][]Pair{want}, c.pair([]*Result{r}), "it began at once")
	}
}

// TestWaysThatAreFollowed: the likeliest 400.
func TestWaysThatAreFollowed(t *testing.T) {
	r := &Result{Replay: &sim.Replay{}}
	r.Replay.States = []sim.StateChange{{State: sim.StateStandby}}
	c := card{unlisted: 1, foreign: 0.02}
	for _, n := range []int{400, 500} {
		var before []matched
		for i := range n {
			before = append(before, matched{state: listState{low: sim.Micros(i)}, weight: float64(i)})
		}
		ways := c.matchTake(before, r, sim.Take{Start: 40, End: 80}, 1)
		require.Len(t, ways, 400)
		for i, m := range ways {
			want := i
			if n > 400 {
				want = n - 1 - i
			}
			require.Equal(t, matched{listState{low: sim.Micros(want)}, float64(want), want, -1}, m)
		}
	}
}

// TestPairsBehindManyOlderClips: however many clips of other flights stand in front,
// whose starts fit this or that take by chance, the takes get their own.
func TestPairsBehindManyOlderClips(t *testing.T) {
	const older, n = 60, 12
	r := &Result{Replay: &sim.Replay{End: sim.Hour}}
	r.Replay.States = []sim.StateChange{{State: sim.StateStandby}}
	c := card{err: s * finer, unlisted: 0.02, foreign: 0.02}
	for i := range sim.Micros(older) {
		c.clips = append(c.clips, Clip{Length: 30 * s, Start: 100*s + i*(61+i)*s, HasStart: true})
	}
	at := sim.Micros(50) * s
	for i := range sim.Micros(n) {
		at += (97 + 13*i*i%41) * s
		r.Replay.Takes = append(r.Replay.Takes, sim.Take{N: int(i) + 1, Start: at, End: at + 30*s, Ended: sim.EndPress})
		c.clips = append(c.clips, Clip{Length: 30 * s, Start: 20000*s + at, HasStart: true})
	}
	var want []Pair
	for i := range older + n {
		want = append(want, Pair{i + 1, max(0, i+1-older)})
	}
	require.Equal(t, [][]Pair{want}, c.pair([]*Result{r}))
}

// TestMisfit: a second weighs 10⁻⁷, up to an hour.
func TestMisfit(t *testing.T) {
	c := card{clips: []Clip{{Length: 10 * s}, {NoLength: true}, {Length: 5 * sim.Hour}}, err: 3 * s * finer}
	take := sim.Take{Start: 5 * s, End: 17 * s}
	require.InDelta(t, 2e-7, c.misfit(0, take), 1e-15)
	require.InDelta(t, 3e-7, c.misfit(1, take), 1e-15)
	require.InDelta(t, 3600e-7, c.misfit(2, take), 1e-12)
}

// TestNearestTake to a clip that is none: by length, of those without a file first.
func TestNearestTake(t *testing.T) {
	r := Result{Replay: &sim.Replay{}}
	for i, length := range []sim.Micros{10, 20, 30} {
		r.Replay.Takes = append(r.Replay.Takes, sim.Take{N: i + 1, Start: 100 * s, End: (100 + length) * s})
	}
	nearest := func(seconds sim.Micros) int {
		take, ok := r.nearestTake(Clip{Length: seconds * s})
		require.True(t, ok)
		return take.N
	}
	require.Equal(t, []int{1, 2, 2, 3, 3}, []int{nearest(11), nearest(19), nearest(25), nearest(26), nearest(99)})
	r.Pairs = []Pair{{1, 1}, {0, 2}, {0, 3}}
	require.Equal(t, 2, nearest(11), "the first has its file")
	r.Pairs = []Pair{{1, 1}, {2, 2}, {3, 3}}
	require.Equal(t, []int{1, 3}, []int{nearest(11), nearest(29)})
	_, ok := (&Result{Replay: &sim.Replay{}}).nearestTake(Clip{})
	require.False(t, ok)
}

// TestRunningCurve: the chances change in steps and on slopes, up to the log's end.
func TestRunningCurve(t *testing.T) {
	c := newCurve()
	shift(c.jumps, 0, -1, 1, 2)    // standby
	shift(c.jumps, 10, 1, 0, 1)    // in half of it recording begins at 10
	shift(c.bends, 20, 1, 0, 0.1)  // in the other half somewhere between 20 and 30
	shift(c.bends, 30, 1, 0, -0.1) //
	shift(c.jumps, 50, 0, 2, 2)    // after the end
	standby, half, on := lights{0, 1}, lights{0.5, 0.5}, lights{1}
	span := func(from, to sim.Micros) sim.Span { return sim.Span{From: from, To: to} }
	all := c.stretches(40, 2)
	require.Equal(t, []stretch{{span(0, 10), standby, standby}, {span(10, 20), half, half}, {span(20, 30), half, on}, {span(30, 40), on, on}}, all)
	require.Equal(t, []stretch{{span(0, 0), standby, standby}}, c.stretches(0, 2))
	require.Equal(t, []stretch{{span(0, 10), standby, standby}}, c.stretches(10, 2))
	all[3].from, all[3].to = half, half
	all[2] = stretch{span(20, 30), half, half}
	require.Equal(t, []sim.BeliefStretch{{From: 0, To: 10}, {From: 10, To: 40, Recording: 0.5, RecordingTo: 0.5}}, recording(all))
}

// TestStretchesOnOneLine are joined, to two in ten thousand.
func TestStretchesOnOneLine(t *testing.T) {
	through := func(middle float64) int {
		return len(simplified([]sim.BeliefStretch{{From: 0, To: 10, RecordingTo: middle}, {From: 10, To: 20, Recording: middle, RecordingTo: 0.2}}))
	}
	require.Equal(t, []int{1, 1, 1, 2, 2}, []int{through(0.1), through(0.10019), through(0.09981), through(0.10021), through(0.09979)})
	step := []sim.BeliefStretch{{From: 0, To: 10, RecordingTo: 0.1}, {From: 10, To: 20, Recording: 0.11, RecordingTo: 0.2}}
	require.Equal(t, step, simplified(step), "a step is told")
	joined := simplified([]sim.BeliefStretch{{From: 5, To: 10, Recording: 0.3, RecordingTo: 0.25}, {From: 10, To: 20, Recording: 0.25, RecordingTo: 0.15}, {From: 20, To: 25, Recording: 0.15, RecordingTo: 0.15}})
	require.Equal(t, []sim.BeliefStretch{{From: 5, To: 20, Recording: 0.3, RecordingTo: 0.15}, {From: 20, To: 25, Recording: 0.15, RecordingTo: 0.15}}, joined)
	require.Len(t, simplified([]sim.BeliefStretch{{}, {To: 5}}), 2)
}

// TestEndings: the next press is safe from when on 95 in 100 of what the camera may
// be accept it.
func TestEndings(t *testing.T) {
	r := Result{ends: []Ending{{sim.StateStandby, 0.5, 10}, {sim.StateStandby, 0.45, 30}, {sim.StateStarting, 0.05, 20}}}
	require.Equal(t, sim.StateStandby, r.EndState(), "0.95 is enough")
	require.EqualValues(t, 30, r.SafeFrom())
	r.ends = []Ending{{sim.StateStandby, 0.95, 10}, {sim.StateOff, 0.05, sim.Never}}
	require.EqualValues(t, 10, r.SafeFrom())
	r.ends = []Ending{{sim.StateStandby, 0.94, 10}, {sim.StateOff, 0.06, sim.Never}}
	require.Equal(t, sim.Never, r.SafeFrom())
	require.Equal(t, sim.StateUnknown, r.EndState())
	require.Equal(t, []Ending{{sim.StateOff, 0.6, 5}, {sim.StateOff, 0.2, 1}, {sim.StateStandby, 0.2, 1}},
		inOrder([]Ending{{sim.StateStandby, 0.2, 1}, {sim.StateOff, 0.2, 1}, {sim.StateOff, 0.6, 5}}))
}

// TestAskedGlances: of equally informative stretches the longest, of moments the one
// that is more informative than any stretch.
func TestAskedGlances(t *testing.T) {
	flat := func(from, to sim.Micros, chance float64) stretch {
		return stretch{sim.Span{From: from, To: to}, lights{chance, 1 - chance}, lights{chance, 1 - chance}}
	}
	asked := ask([]stretch{flat(10, 20, 0.5), flat(30, 50, 0.5), flat(60, 100, 0.4)}, nil, worthAsking)
	require.Equal(t, []Question{{Gain: 1, At: 40, From: 30, To: 50, Recording: 0.5}}, asked)
	slope := stretch{sim.Span{From: 0, To: 1000}, lights{0.3, 0.7}, lights{0.8, 0.2}}
	asked = ask([]stretch{slope, flat(1000, 2000, 0.8)}, []float64{1, 3}, worthAsking)
	require.Len(t, asked, 3)
	require.EqualValues(t, 400, asked[0].At, "0.3 + 0.4 · 0.5 is one half")
	require.True(t, asked[1].CountClips)
	require.InDelta(t, bits(0.25, 0.75), asked[1].Gain, 1e-12)
	require.InDelta(t, bits(0.8, 0.2), asked[2].Gain, 1e-12)
	require.Empty(t, ask([]stretch{flat(0, 10, 1)}, nil, worthAsking))
	require.Len(t, ask([]stretch{flat(0, 10, 0.5)}, nil, 1), 1, "just worth it")
	require.True(t, math.Abs(surprise(0.5)-0.5) < 1e-15 && surprise(0) == 0)
}

// TestOpenStretches: where every press is in some doubt, 95 in 100 settles it; else
// only certainty does.
func TestOpenStretches(t *testing.T) {
	r := Result{Replay: &sim.Replay{}, cells: []possibleCell{{}}}
	piece := func(from, to sim.Micros, a, b float64) sim.BeliefStretch {
		return sim.BeliefStretch{From: from * s, To: to * s, Recording: a, RecordingTo: b}
	}
	r.Replay.Belief = []sim.BeliefStretch{
		piece(0, 10, 1, 1), piece(10, 20, 0.96, 1), piece(20, 30, 0.03, 0.98), piece(30, 40, 0.5, 0.5), piece(40, 50, 0.5, 0.5), piece(50, 60, 0.95, 0.95), piece(60, 70, 0, 0), piece(70, 80, 0.05, 0),
	}
	all := r.Replay.Belief
	joined := piece(30, 50, 0.5, 0.5)
	require.Equal(t, []sim.BeliefStretch{all[1], all[2], joined, all[5], all[7]}, r.openStretches())
	r.cells = nil
	require.Equal(t, []sim.BeliefStretch{all[2], joined}, r.openStretches())
}

// TestSigned: what is as long has a sign too.
func TestSigned(t *testing.T) {
	require.Equal(t, []string{"+0 ms", "+5 ms", "−5 ms"}, []string{signed(0), signed(5 * ms), signed(-5 * ms)})
}

// TestQuestionsInWords: at a moment, at some time, and of the files.
func TestQuestionsInWords(t *testing.T) {
	require.Contains(t, Question{At: 5 * s, From: 5 * s, To: 5 * s}.Text(), "at 0:05.0?")
	require.Contains(t, Question{At: 5 * s, From: 4 * s, To: 6 * s}.Text(), "from 0:04.0 to 0:06.0?")
	require.Contains(t, Question{CountClips: true, Gain: 0.5}.Text(), "files are on the card? (worth 0.50 bit)")
}

// TestHistoriesInWords: how many, how likely the shown one is, and that none is shown.
func TestHistoriesInWords(t *testing.T) {
	r := Result{Replay: &sim.Replay{}, Likeliest: 0.4}
	r.Replay.States = []sim.StateChange{{State: sim.StateStandby}}
	require.Equal(t, "the likeliest has a chance of 40 %; that one is shown", r.historiesText())
	r.Histories = 3
	require.Equal(t, "3 by the thresholds and the start alone, the likeliest with a chance of 40 %; that one is shown", r.historiesText())
	r.cells, r.Replay.States[0].State = []possibleCell{{}}, sim.StateUnknown
	require.Equal(t, "3, the likeliest with a chance of 40 %; none is shown, as nothing shows the camera's state at the start", r.historiesText())
	r.Unexplained, r.MinPress = 1, interval(1, 2)
	require.Nil(t, r.NarrowedKeys(), "what was seen does not fit")
}

// TestAWholeCard: 1000 clips of other flights before and after this one's weigh
// less than a float holds, and change nothing.
func TestAWholeCard(t *testing.T) {
	const before = 300
	rig := narrow(func(r *sim.Rig) { r.Doubt = sim.DefaultRig().Doubt })
	replay := flightWith(rig, 30*s, 5*s, 5*s+100*ms, 20*s, 20*s+300*ms, 25*s, 25*s+300*ms)
	clips := []Clip{{Length: 15200 * ms}, {Length: 8 * s}}
	few, err := Resolve(replay, Observations{Clips: clips, ClipError: 10 * ms})
	require.NoError(t, err)
	others := slices.Repeat([]Clip{{Length: s}}, 1000)
	clips = slices.Concat(others[:before], clips, others[before:])
	many, err := Resolve(replay, Observations{Clips: clips, ClipError: 10 * ms})
	require.NoError(t, err)
	require.Equal(t, []Pair{{before + 1, 1}, {before + 2, 2}}, many.Pairs[before:before+2])
	require.Len(t, many.Findings, 1, "one for all")
	require.Equal(t, "nothing explains 1000 of the 1002 clips: 1–300, 303–1002", many.Findings[0].Text)
	require.Greater(t, many.Replay.Presses[0].Chance, 0.99)
	require.Equal(t, few.Replay.Presses, many.Replay.Presses)
	require.InDelta(t, few.Likeliest, many.Likeliest, exact)
	require.Equal(t, few.MinPress, many.MinPress)

	e := newEstimator([]*sectionedFlight{newSectionedFlight(flightWith(rig, 30*s), nil)}, true, &card{clips: clips}, 100)
	e.weigh()
	require.InDelta(t, 1002*math.Log(0.02), newForwardBackward(e.kept[0]).forwardPass(0, 0), 1e-9, "all are of their own")
}
