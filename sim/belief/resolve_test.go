package belief

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"flicktally/sim"
)

const exact = 1e-9

// cutsAslant reports whether a line long − min = c can cut cells.
func cutsAslant(spec sim.CameraSpec, seen Observations) bool {
	return (spec.ToggleOn == sim.ToggleOnPress || seen.Clips != nil) && !spec.MinPress.Exact() && !spec.LongPress.Exact()
}

// TestBeliefEqualsGrid (M9): the chance of recording is the share of a fine grid
// over what is not known in which the camera records, among the points that
// explain what was seen: at every µs, and, where no cell is cut aslant, at every
// half µs between.
func TestBeliefEqualsGrid(t *testing.T) {
	open := 0
	rapid.Check(t, func(t *rapid.T) {
		for range casesPerCheck {
			if requireGridsChances(t) {
				open++
			}
		}
	})
	require.Greater(t, open, casesPerCheck, "cases in which it stays open whether the camera records")
}

// casesPerCheck is how many cases a check of chance looks at: in most the camera
// does the same whatever its thresholds are.
const casesPerCheck = 5

// requireGridsChances draws a case and compares it with the grid. It reports
// whether a moment is left at which the camera may record or not.
func requireGridsChances(t *rapid.T) (open bool) {
	replay := drawReplay(t)
	if allKnown(replay.Rig.Camera) {
		return false // nothing to integrate over
	}
	seen := drawObservations(t, replay)
	share, total := make([]float64, 2*replay.End+1), 0.0 // at every half µs
	eachOnGrid(replay, func(_ sim.StartState, _ sim.Window, record *sim.Record, weight float64) {
		if !explains(record, seen) {
			return
		}
		total += weight
		for i := range share {
			if record.StateAt(sim.Micros(i)*gridSteps/2) == sim.StateRecording {
				share[i] += weight
			}
		}
	})
	result, err := Resolve(replay, seen)
	require.NoError(t, err)
	requireCover(t, result.Replay.Belief, replay.End)
	require.Equal(t, total == 0, result.Unexplained > 0)
	if total == 0 {
		return false
	}
	step := 1
	if cutsAslant(replay.Rig.Camera, seen) {
		step = 2
	}
	for i := 0; i < max(1, 2*int(replay.End)); i += step { // what begins at the log's end has no stretch
		chance := share[i] / total
		require.InDelta(t, chance, chanceAt(result.Replay.Belief, i), exact, "at %d/2 µs", i)
		open = open || chance > 0 && chance < 1
	}
	return open
}

// requireCover checks that the stretches cover the log without a gap, and hold
// chances.
func requireCover(t *rapid.T, belief []sim.BeliefStretch, end sim.Micros) {
	at := sim.Micros(0)
	for _, b := range belief {
		require.Equal(t, at, b.From)
		require.True(t, b.To > b.From || end == 0)
		for _, p := range []float64{b.Recording, b.RecordingTo} {
			require.True(t, p >= 0 && p <= 1)
		}
		at = b.To
	}
	require.Equal(t, end, at)
}

// drawObservations makes up what was seen: of a history of events that is
// possible, so that mostly there is something that explains it, or out of thin
// air.
func drawObservations(t *rapid.T, r *sim.Replay) Observations {
	var seen Observations
	truth := drawTruth(t, r)
	invented := rapid.Bool().Draw(t, "invented")
	for range rapid.IntRange(0, 2).Draw(t, "glances") {
		at := sim.Micros(rapid.IntRange(0, int(r.End)).Draw(t, "glance"))
		light, known := lightOf(truth.StateAt(at * gridSteps))
		if invented || !known {
			light = rapid.SampledFrom(Lights).Draw(t, "light")
		}
		seen.Seen = append(seen.Seen, Glance{at, light})
	}
	if rapid.Bool().Draw(t, "card read") {
		seen.ClipError = sim.Micros(rapid.IntRange(0, 4).Draw(t, "clip error"))
		seen.Clips = clipsOf(truth)
		if invented {
			seen.Clips = drawClips(t)
		}
	}
	return seen
}

// drawTruth returns a history of events, in steps of the grid, that is possible.
func drawTruth(t *rapid.T, r *sim.Replay) *sim.Record {
	var all []*sim.Record
	eachOnGrid(r, func(_ sim.StartState, _ sim.Window, record *sim.Record, _ float64) { all = append(all, record) })
	return rapid.SampledFrom(all).Draw(t, "truth")
}

// clipsOf lists the files of a history of events, in whole µs; every other one
// says when it began.
func clipsOf(record *sim.Record) []Clip {
	clips := []Clip{}
	for i, k := range record.Takes {
		clips = append(clips, Clip{Length: k.Length() / gridSteps, Start: 100 + k.Start/gridSteps, HasStart: i%2 == 0})
	}
	return clips
}

func drawClips(t *rapid.T) []Clip {
	clips := []Clip{}
	for range rapid.IntRange(0, 3).Draw(t, "clips") {
		clips = append(clips, Clip{
			Length:   sim.Micros(rapid.IntRange(0, 30).Draw(t, "length")),
			Start:    sim.Micros(rapid.IntRange(100, 160).Draw(t, "clip start")),
			HasStart: rapid.Bool().Draw(t, "clip has start"),
		})
	}
	return clips
}

// explains decides again, by the words of the package comment, whether a history
// of events, in steps of the grid, explains what was seen.
func explains(record *sim.Record, seen Observations) bool {
	for _, g := range seen.Seen {
		wanted := map[sim.State]Light{
			sim.StateRecording: LightRecording,
			sim.StateStandby:   LightStandby, sim.StateStarting: LightStandby, sim.StateStopping: LightStandby,
			sim.StateOff: LightOff, sim.StateBooting: LightOff,
			sim.StateUnknown: g.Light,
		}
		if wanted[record.StateAt(g.At*gridSteps)] != g.Light {
			return false
		}
	}
	return seen.Clips == nil || explainsClips(record, seen)
}

func explainsClips(record *sim.Record, seen Observations) bool {
	unknownAtEnd := record.States[len(record.States)-1].State == sim.StateUnknown
	if extra := len(seen.Clips) - len(record.Takes); extra < 0 || extra > 0 && !unknownAtEnd {
		return false
	}
	off := seen.ClipError * gridSteps
	fromBefore := func(k sim.Take) bool { return k.Start == 0 && record.States[0].State == sim.StateRecording }
	for i, k := range record.Takes {
		clip := seen.Clips[i]
		longer := k.Ended == sim.EndLog || k.Ended == sim.EndUnknown || fromBefore(k)
		if d := clip.Length*gridSteps - k.Length(); d < -off || d > off && !longer {
			return false
		}
		for j := range i {
			before := seen.Clips[j]
			d := (clip.Start-before.Start)*gridSteps - (k.Start - record.Takes[j].Start)
			if clip.HasStart && before.HasStart && (d < -off || d > off && !fromBefore(record.Takes[j])) {
				return false
			}
		}
	}
	return true
}

// TestDoubtfulEqualsGrid (M9): a press is doubtful where the grid shows another
// verdict among the points that explain what was seen; the thresholds that the
// result calls possible hold all those points.
func TestDoubtfulEqualsGrid(t *testing.T) {
	doubtful := 0
	rapid.Check(t, func(t *rapid.T) {
		for range casesPerCheck {
			doubtful += requireGridsDoubt(t)
		}
	})
	require.Greater(t, doubtful, casesPerCheck, "doubtful presses")
}

// requireGridsDoubt draws a case and compares it with the grid. It returns how
// many presses are doubtful.
func requireGridsDoubt(t *rapid.T) (doubtful int) {
	replay := drawReplay(t)
	seen := drawObservations(t, replay)
	verdicts := map[int]map[sim.Verdict]bool{}
	var points []sim.Window
	eachOnGrid(replay, func(_ sim.StartState, w sim.Window, record *sim.Record, _ float64) {
		if !explains(record, seen) {
			return
		}
		points = append(points, w)
		for _, p := range record.Presses {
			if verdicts[p.N] == nil {
				verdicts[p.N] = map[sim.Verdict]bool{}
			}
			verdicts[p.N][p.Verdict] = true
		}
	})
	result, err := Resolve(replay, seen)
	require.NoError(t, err)
	if len(points) == 0 {
		require.Positive(t, result.Unexplained)
		return 0
	}
	for _, w := range points {
		require.True(t, within(result.MinPress, w.MinPress) && within(result.LongPress, w.LongPress))
	}
	if replay.Rig.Camera.Start == sim.StartUnknown && seen.None() {
		return 0
	}
	for _, p := range result.Replay.Presses {
		require.Equal(t, len(verdicts[p.N]) > 1, p.Doubtful, "press %d", p.N)
		if p.Doubtful {
			doubtful++
		}
		if hasWholeMicrosWithin(result.cells[0]) {
			require.True(t, verdicts[p.N][p.Verdict], "press %d", p.N)
		}
	}
	return doubtful
}

// hasWholeMicrosWithin reports whether a cell holds whole µs that are not on its
// border, at which other rules of M7 may hold.
func hasWholeMicrosWithin(c possibleCell) bool {
	wide := func(i sim.Interval) bool { return i.Exact() || i.High-i.Low > 1 }
	return wide(c.minPress) && wide(c.longPress)
}

func within(i sim.Interval, at sim.Micros) bool {
	return at >= i.Low*gridSteps && at <= i.High*gridSteps
}

// TestAllKnown: without ranges there is no belief, and the replay stays what it
// is.
func TestAllKnown(t *testing.T) {
	replay := flightOf(4, func(int) sim.Micros { return 300 * sim.Millisecond })
	replay.Window = replay.Rig.Camera.Window()
	replay.Record = sim.RunCamera(replay.Rig.Camera, replay.Window, replay.Lanes.Wire, replay.End, nil)
	result, err := Resolve(replay, Observations{})
	require.NoError(t, err)
	require.Nil(t, result.Replay.Belief)
	require.Equal(t, replay, result.Replay)
	require.Empty(t, result.Ask)
	require.Len(t, result.cells, 1)
}

// TestUnknownStart (M9): both starts are equally likely; without an observation
// the shown state stays unknown (M8), with one it is the likelier.
func TestUnknownStart(t *testing.T) {
	replay := flightOf(1, func(int) sim.Micros { return 300 * sim.Millisecond })
	replay.Rig.Camera.Start = sim.StartUnknown
	result, err := Resolve(replay, Observations{})
	require.NoError(t, err)
	require.Equal(t, []sim.BeliefStretch{
		{From: 0, To: replay.End, Recording: 0.5, RecordingTo: 0.5},
	}, result.Replay.Belief, "a toggle swaps the two starts")
	require.Equal(t, sim.VerdictUnknown, result.Replay.Presses[0].Verdict)
	require.False(t, result.Replay.Presses[0].Doubtful)
	require.InDelta(t, 1, result.Ask[0].Gain, exact, "one glance settles two equal starts: one bit")

	result, err = Resolve(replay, Observations{Seen: []Glance{{At: 7 * sim.Second, Light: LightRecording}}})
	require.NoError(t, err)
	require.Equal(t, []sim.BeliefStretch{
		{From: 0, To: 5300 * sim.Millisecond},
		{From: 5300 * sim.Millisecond, To: replay.End, Recording: 1, RecordingTo: 1},
	}, result.Replay.Belief)
	require.Equal(t, sim.StateStandby, result.Replay.States[0].State)
	require.Zero(t, result.StartRecording)
}

// TestLikeliestCell (M9): shown is the likeliest cell, of equals the one nearest
// the middle, at its centre.
func TestLikeliestCell(t *testing.T) {
	ms := sim.Millisecond
	for _, test := range []struct {
		name  string
		holds []sim.Micros
		min   sim.Micros
	}{
		{"no hold in range: the middle", []sim.Micros{300 * ms}, 85 * ms},
		{"the larger part", []sim.Micros{70 * ms}, 90 * ms},
		{"the middle one of three", []sim.Micros{70 * ms, 100 * ms}, 85 * ms},
		{"of five equal ones the middle", []sim.Micros{70 * ms, 80 * ms, 90 * ms, 100 * ms}, 85 * ms},
	} {
		t.Run(test.name, func(t *testing.T) {
			replay := flightOf(len(test.holds), func(i int) sim.Micros { return test.holds[i] })
			replay.Rig.Camera.MinPress = sim.Interval{Low: 60 * ms, High: 110 * ms}
			result, err := Resolve(replay, Observations{})
			require.NoError(t, err)
			require.Equal(t, test.min, result.Replay.Window.MinPress)
			require.Equal(t, replay.Rig.Camera.LongPress.Low, result.Replay.Window.LongPress)
		})
	}
}

// TestObservationsAreChecked: what cannot have been seen is refused.
func TestObservationsAreChecked(t *testing.T) {
	replay := flightOf(1, func(int) sim.Micros { return 300 * sim.Millisecond })
	for _, test := range []struct {
		seen Observations
		want string
	}{
		{Observations{Seen: []Glance{{At: 11 * sim.Second, Light: LightOff}}}, "glance 0:11.000=off: found a time outside the log, want one from 0:00.000 to 0:10.000"},
		{Observations{Seen: []Glance{{Light: "blue"}}}, `glance at 0:00.0: found "blue", want "recording", "standby" or "off"`},
		{Observations{ClipError: -1}, "timing error of clips: found -1us, want a duration that is not negative"},
		{Observations{Clips: []Clip{{Length: -sim.Second}}}, "clip 1: found a length of -1s and a start of 0s, want a length up to 1000h and a time of a clock"},
	} {
		_, err := Resolve(replay, test.seen)
		require.EqualError(t, err, test.want)
	}
}

func TestParseGlance(t *testing.T) {
	g, err := ParseGlance("0:12.5=recording")
	require.NoError(t, err)
	require.Equal(t, Glance{12_500 * sim.Millisecond, LightRecording}, g)
	for text, want := range map[string]string{
		"12.5s":        `found "12.5s", want TIME=recording, TIME=standby or TIME=off, such as 0:12.5=recording`,
		"12.5s=red":    `found "red" after the time, want "recording", "standby" or "off"`,
		"12.5=standby": `found "12.5", want a time such as 12.5s or 0:12.5`,
	} {
		_, err := ParseGlance(text)
		require.EqualError(t, err, want)
	}
}

// If all is known, the only cell is the replay itself.
func TestAllThatIsKnownIsTheReplayItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawReplay(t)
		c := &r.Rig.Camera
		c.MinPress.High, c.LongPress.High = c.MinPress.Low, c.LongPress.Low
		if c.Start == sim.StartUnknown {
			c.Start = sim.StartRecording
		}
		r.Window = c.Window()
		r.Record = sim.RunCamera(*c, r.Window, r.Lanes.Wire, r.End, nil)
		result, err := Resolve(r, Observations{})
		require.NoError(t, err)
		require.Equal(t, r, result.Replay)
		require.Equal(t, []possibleCell{{c.MinPress, c.LongPress, c.Start, 1, 0, r.Window}}, result.cells)
		require.Empty(t, result.Ask)
	})
}
